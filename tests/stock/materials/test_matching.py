"""Which stock stands for which, and which does not."""

import pytest

from billets.known.how_we_know import known_modules
from stock.materials.matching import is_as_thick, is_stock_for

MM = 1_000_000


@pytest.mark.parametrize(
    ("thickness_mm", "width_mm", "fits"),
    [
        (3.175, 31.75, True),  # 1/8 x 1-1/4 in itself
        (3.2, 32.0, True),  # the metric bar of that size
        (3.275, 31.75, True),  # 0.1 mm off is one stock still
        (3.276, 31.75, False),
        (3.0, 31.75, False),
        (3.175, 31.7, False),  # narrower than the blank
        (3.175, 38.1, True),  # 1/4 in wider is ground down
        (3.175, 38.11, False),
    ],
)
def test_a_bar_fits_by_thickness_and_by_width(
    thickness_mm: float, width_mm: float, fits: bool
) -> None:
    assert (
        is_stock_for(
            form="flat",
            thickness_nm=round(thickness_mm * MM),
            width_nm=round(width_mm * MM),
            wanted_thickness_nm=3_175_000,
            wanted_width_nm=31_750_000,
        )
        is fits
    )


@pytest.mark.parametrize("form", ["roll", "sheet"])
def test_what_is_sheared_fits_at_any_width(form: str) -> None:
    assert is_stock_for(
        form=form,
        thickness_nm=508_000,
        width_nm=0,
        wanted_thickness_nm=508_000,
        wanted_width_nm=31_750_000,
    )


def test_thicknesses_a_tenth_of_a_millimetre_apart_are_one_stock() -> None:
    assert is_as_thick(3_175_000, 3_275_000)
    assert is_as_thick(3_275_000, 3_175_000)
    assert not is_as_thick(3_175_000, 3_275_001)


def test_the_page_shows_the_tolerances_that_decide() -> None:
    module = next(one for one in known_modules() if one.name == "stock.materials.matching")

    assert [(one.word, one.value, one.mark) for one in module.figures] == [
        ("thickness tolerance", "0.1 mm", "practice"),
        ("width slack", "6.35 mm", "practice"),
    ]
