"""How much of each floor ran, by hand-made reports."""

from __future__ import annotations

from shop.running import covered


def counted(*, lines: int, run: int, branches: int = 0, taken: int = 0) -> dict[str, object]:
    """A file of the report, as coverage.py writes one."""
    summary = {
        "num_statements": lines,
        "covered_lines": run,
        "num_branches": branches,
        "covered_branches": taken,
    }
    return {"summary": summary}


def test_files_are_summed_by_the_floor_they_lie_on() -> None:
    files = {
        "stock/units.py": counted(lines=100, run=98, branches=20, taken=15),
        "stock/cutting/bars.py": counted(lines=300, run=300, branches=60, taken=57),
        "billets/heat.py": counted(lines=50, run=45),
        "shop/forms.py": counted(lines=200, run=190, branches=8, taken=8),
    }

    stock, billets, shop = covered.floors(files)

    assert str(stock) == "stock: 99.5 % of 400 lines, 90.0 % of 80 branches"
    assert str(billets) == "billets: 90.0 % of 50 lines, 100.0 % of 0 branches"
    assert str(shop) == "shop: 95.0 % of 200 lines, 100.0 % of 8 branches"


def test_a_floor_passes_from_ninety_five_percent_of_its_lines_on() -> None:
    files = {
        "stock/a.py": counted(lines=1000, run=950, branches=10, taken=0),
        "billets/a.py": counted(lines=1000, run=949),
    }

    stock, billets, shop = covered.floors(files)

    assert stock.is_enough
    assert not billets.is_enough
    assert shop.is_enough  # nothing there, so nothing lacks


def test_a_folder_elsewhere_that_bears_a_floors_name_is_not_counted() -> None:
    files = {"tests/shop/test_a.py": counted(lines=10, run=0), "shop/a.py": counted(lines=2, run=2)}

    assert [floor.lines for floor in covered.floors(files)] == [0, 0, 2]
