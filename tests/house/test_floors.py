"""Floors and their rooms: imports go down, nothing goes round, and roots hold the named few."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from tests.house.source import DJANGOS_FOLDERS, FLOORS, ROOT, imported, made, modules, python_files

# What stands at a floor's root beside its rooms.
AT_EVERY_ROOT = {
    "__init__.py", "apps.py", "urls.py", "migrations", "models", "templatetags",
}  # fmt: skip
AT_ROOT = {
    "stock": AT_EVERY_ROOT | {"clock.py", "house.py", "who.py"},
    "billets": AT_EVERY_ROOT | {"errors.py"},
    "shop": AT_EVERY_ROOT | {"management", "root_urls.py", "settings.py", "static", "wsgi.py"},
}
# These tie a floor together, so they may name every room of it; no room may need them.
TIES = {"apps", "root_urls", "settings", "urls", "wsgi"}
FEWEST, MOST = 3, 17
SMALL = {
    "stock.cutting": "a landing: its rooms are the solvers, beside it only their process",
    "stock.cutting.bench": "measured cases of both solvers, which belong to neither",
}


def upward(floor: str, root: Path = ROOT) -> list[str]:
    """Modules of a floor that import one above it."""
    above = FLOORS[FLOORS.index(floor) + 1 :]
    return sorted(
        f"{path.relative_to(root)} imports {one}"
        for path in python_files(floor, root=root)
        for one in imported(path)
        if one.split(".")[0] in above
    )


def go_round(needs: Mapping[str, set[str]]) -> set[str]:
    """Names that need each other in a ring, and those that stand between two rings."""
    left = {name: used & set(needs) - {name} for name, used in needs.items()}
    while True:
        needed: set[str] = set().union(*left.values())
        free = {name for name, used in left.items() if not used or name not in needed}
        if not free:
            return set(left)
        left = {name: used - free for name, used in left.items() if name not in free}


def module_needs(root: Path = ROOT) -> dict[str, set[str]]:
    """What each module needs of ours; an empty `__init__` needs and gives nothing."""
    ours = modules(root)
    told = {
        name for name, path in ours.items() if path.name != "__init__.py" or path.stat().st_size
    }
    return {name: set(imported(ours[name]) & told) - {name} for name in told}


def room_of(name: str, root: Path = ROOT) -> str:
    """A module's folder; a file at a floor's root stands for itself."""
    parts = name.split(".")
    is_folder = (root.joinpath(*parts)).is_dir()
    return name if is_folder or len(parts) <= 2 else ".".join(parts[:-1])


def room_needs(root: Path = ROOT) -> dict[str, set[str]]:
    """What each room needs of other rooms; the files that tie a floor together are left out."""
    found: dict[str, set[str]] = {}
    for name, used in module_needs(root).items():
        room = room_of(name, root)
        if room.rpartition(".")[2] not in TIES:
            found.setdefault(room, set()).update(room_of(one, root) for one in used)
    return {room: used - {room} for room, used in found.items()}


def needing_a_tie(root: Path = ROOT) -> list[str]:
    """Modules that import what ties a floor together; a command may, as it starts the whole."""
    ties = {f"{floor}.{tie}" for floor in FLOORS for tie in TIES}
    return sorted(
        f"{name} imports {one}"
        for name, used in module_needs(root).items()
        for one in used & ties
        if name not in ties and ".management." not in name
    )


def strangers(floor: str, root: Path = ROOT) -> list[str]:
    """What stands at a floor's root and is neither a room nor one of the named few."""
    return sorted(
        path.name
        for path in (root / floor).iterdir()
        if path.name not in AT_ROOT[floor] | {"__pycache__"}
        and not (path.is_dir() and (path / "__init__.py").exists())
    )


def room_sizes(root: Path = ROOT) -> dict[str, int]:
    """Modules of every room, its `__init__` not counted."""
    folders = {path.parent for path in modules(root).values()}
    return {
        ".".join(folder.relative_to(root).parts): sum(
            path.name != "__init__.py" for path in folder.glob("*.py")
        )
        for folder in folders
        if folder.parent != root and not DJANGOS_FOLDERS & set(folder.relative_to(root).parts)
    }


def out_of_size(sizes: Mapping[str, int]) -> list[str]:
    """Rooms with too many files, or with so few that they are none."""
    return sorted(
        f"{room} has {count} files"
        for room, count in sizes.items()
        if count > MOST or (count < FEWEST and room not in SMALL)
    )


@pytest.mark.slow
@pytest.mark.parametrize("floor", FLOORS)
def test_imports_go_down_only(floor: str) -> None:
    assert upward(floor) == []


@pytest.mark.slow
def test_no_two_modules_need_each_other() -> None:
    assert go_round(module_needs()) == set()


@pytest.mark.slow
def test_no_two_rooms_need_each_other() -> None:
    assert len(room_needs()) > len(room_sizes())
    assert go_round(room_needs()) == set()


@pytest.mark.slow
def test_no_room_needs_what_ties_its_floor_together() -> None:
    assert needing_a_tie() == []


@pytest.mark.parametrize("floor", FLOORS)
def test_a_floors_root_holds_the_named_few(floor: str) -> None:
    assert strangers(floor) == []


def test_a_room_is_neither_a_hall_nor_a_cupboard() -> None:
    assert out_of_size(room_sizes()) == []


def test_a_room_that_may_be_small_is_small() -> None:
    sizes = room_sizes()

    assert {room for room in SMALL if not sizes[room] < FEWEST} == set()


# Every rule, seen to fail.


@pytest.mark.parametrize(
    "text",
    ["import shop.models", "from shop import models", "def f():\n    from shop import models"],
)
def test_an_import_that_goes_up_is_named(text: str, tmp_path: Path) -> None:
    made(tmp_path, {"billets/heat/cooling.py": text, "billets/heat/card.py": "import stock"})

    assert {line.split(" ")[0] for line in upward("billets", tmp_path)} == {
        "billets/heat/cooling.py"
    }


def test_modules_and_rooms_that_go_round_are_named(tmp_path: Path) -> None:
    made(
        tmp_path,
        {
            "shop/home/views.py": "from shop.rates import reading",
            "shop/rates/reading.py": "from shop.yields.spares import few",
            "shop/yields/spares.py": "few = 1",
            "shop/yields/table.py": "from shop.rates import reading",
            "shop/knives/card.py": "from shop.knives import cost",
            "shop/knives/cost.py": "def f():\n    from shop.knives.card import g",
        },
    )

    assert go_round(module_needs(tmp_path)) == {"shop.knives.card", "shop.knives.cost"}
    assert go_round(room_needs(tmp_path)) == {"shop.rates", "shop.yields"}


def test_a_plain_file_at_the_root_is_part_of_a_ring_of_rooms(tmp_path: Path) -> None:
    made(
        tmp_path,
        {
            "stock/house.py": "from stock.rack import reading",
            "stock/rack/reading.py": "from stock import house",
            "stock/urls.py": "from stock.rack import reading",
        },
    )

    assert go_round(room_needs(tmp_path)) == {"stock.house", "stock.rack"}
    assert needing_a_tie(tmp_path) == []


def test_a_room_that_needs_its_floors_addresses_is_named(tmp_path: Path) -> None:
    made(tmp_path, {"shop/urls.py": "app_name = 1", "shop/home/views.py": "import shop.urls"})
    made(tmp_path, {"shop/management/commands/start.py": "import shop.urls"})

    assert needing_a_tie(tmp_path) == ["shop.home.views imports shop.urls"]


def test_a_stranger_at_a_floors_root_is_named(tmp_path: Path) -> None:
    made(
        tmp_path,
        {"billets/urls.py": "", "billets/pricing.py": "", "billets/heat/card.py": ""},
    )
    (tmp_path / "billets" / "notes").mkdir()

    assert strangers("billets", tmp_path) == ["notes", "pricing.py"]


def test_a_hall_and_a_cupboard_are_named(tmp_path: Path) -> None:
    hall = {f"shop/home/m{k}.py": "" for k in range(MOST + 1)}
    room = {f"shop/rates/m{k}.py": "" for k in range(FEWEST)}
    folders_of_django = {"shop/models/people.py": "", "shop/management/commands/start.py": ""}
    made(tmp_path, hall | room | folders_of_django | {"stock/rack/views.py": ""})

    assert out_of_size(room_sizes(tmp_path)) == [
        "shop.home has 18 files",
        "stock.rack has 1 files",
    ]
