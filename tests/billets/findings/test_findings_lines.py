"""How the lines will look."""

import pytest

from billets.layup.design import Blade
from tests.billets.stacks import (
    MM,
    around,
    clad,
    codes,
    core,
    judged,
    line,
    only,
)


def test_a_thick_line_says_how_it_will_look_and_what_to_start_with() -> None:
    # 4, 1.2, 4, 1.2, 4 = 14.4 forged to 6.5: 0.5417 mm. On a flat grind of (4 - 0.25) / 2 over
    # 32 mm the half angle is 3.3533 degrees: 0.5417 / sin = 9.26 mm. Inside the band: x with
    # 6.5 x / (12 + 2 x) = 0.5 is 1.0909.
    one = only(judged(around(core(), clad(), line(mm=1.2))), "line-thick")

    assert one.level == "note"
    assert one.layers == (1, 3)
    assert one.sentence("metric") == (
        "The line of layers 2 and 4 comes out 0.54 mm thick, thicker than the shop's most "
        "(0.5 mm). It shows as a broad band, about 9.26 mm wide on this flat grind. For a line "
        "inside the band start with 1.09 mm or less."
    )


def test_a_thin_line_may_break_up() -> None:
    # 0.1 of 12.2 mm forged to 6.5 is 0.0533; inside: 12 x 0.1 / (6.5 - 0.2) = 0.1905
    one = only(judged(around(core(), clad(), line(mm=0.1))), "line-thin")

    assert "It shows as a hairline and may break up" in one.sentence("metric")
    assert one.words("metric").to_do == "For a line inside the band start with 0.2 mm or more."


@pytest.mark.parametrize(("start_mm", "is_said"), [(1.09, False), (1.1, True)])
def test_what_a_thick_line_is_told_to_start_with_puts_it_right(
    start_mm: float, is_said: bool
) -> None:
    found = judged(around(core(), clad(), line(mm=start_mm)))

    assert ("line-thick" in codes(found, "note")) is is_said


def test_touching_strips_of_one_copper_are_judged_as_one_line() -> None:
    found = judged(around(core(), clad(), line(mm=0.6), line(mm=0.6)))

    assert only(found, "line-thick").layers == (1, 2, 4, 5)


def test_the_width_is_not_told_for_a_grind_that_is_not_flat() -> None:
    blade = Blade(spine_nm=4 * MM, height_nm=32 * MM, grind="hollow")

    one = only(judged(around(core(), clad(), line(mm=1.2), blade=blade)), "line-thick")

    assert "wide on this flat grind" not in one.sentence("metric")


def test_cladding_ground_away_says_what_to_forge_to() -> None:
    # 1 of 12 mm a side: what is left is F/12 - (F - 4)/2, above 0 while F is under 4.8
    design = around(core(mm=9.0), clad(mm=1.0), line(), finish_mm=6.0)

    one = only(judged(design), "ground-through")

    assert one.layers == (0, 1, 3, 4)
    assert "Each face loses 1 mm. Forge the billet to 4.7 mm" in one.sentence("metric")
