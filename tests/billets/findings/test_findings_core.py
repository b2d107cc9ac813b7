"""Symmetry about the core and its thickness."""

import pytest

from billets.findings import finding
from billets.layup import limits, stack
from billets.layup.design import Layer
from stock.house import House
from tests.billets.stacks import (
    MM,
    around,
    clad,
    codes,
    core,
    five,
    judged,
    lay,
    line,
    only,
)


@pytest.mark.parametrize(("top_mm", "is_said"), [(4.44, False), (4.45, True), (3.6, False)])
def test_ten_percent_of_difference_is_allowed(top_mm: float, is_said: bool) -> None:
    # 4 against 4.44 differs by 9.91 %, 4 against 4.45 by 10.11 %, 3.6 against 4 by exactly 10 %
    found = judged(lay(clad(), line(), core(), line(), clad(mm=top_mm)))

    assert ("asymmetric" in codes(found, "care")) is is_said


def test_an_uneven_stack_names_both_layers_and_the_one_to_change() -> None:
    one = only(judged(lay(clad(mm=5), line(), core(), line(), clad())), "asymmetric")

    assert one.layers == (0, 4)
    assert one.figure is not None
    assert one.figure.value == pytest.approx(20.0)
    assert one.sentence("metric") == (
        "The two sides of the core differ: layer 1 (1018 mild steel), 5 mm, against layer 5 "
        "(1018 mild steel), 4 mm. The edge leaves the middle in drawing, and the blade warps in "
        "the quench. Make layer 5 the same as layer 1, or mirror the stack about the core."
    )


def test_a_missing_layer_is_counted() -> None:
    one = only(judged(lay(clad(), line(), core(), clad())), "asymmetric")

    assert one.sentence("inch").startswith("There are 2 layers below the core and 1 above it.")


@pytest.mark.parametrize("layers", [(clad(mm=5), line(), core()), (core(), line(), clad(mm=5))])
def test_mirroring_puts_an_uneven_stack_right(layers: tuple[Layer, ...]) -> None:
    mirrored = stack.mirror(lay(*layers))

    assert "asymmetric" not in {one.code for one in judged(mirrored)}


def test_a_lost_core_says_what_to_start_with_and_what_to_forge_to() -> None:
    # 9, 0.5, 1, 0.5, 9 = 20 mm forged to 6.5: the core is 0.325. Needed: 0.25 + 2 x 0.2 = 0.65.
    # Start: c with 6.5 c / (19 + c) = 0.65 is 2.111; forge: 0.65 x 20 / 1 = 13.
    one = only(judged(around(core(mm=1.0), clad(mm=9.0), line())), "core-too-thin")

    assert one.layers == (2,)
    assert one.figure is not None
    assert one.figure.value == 325_000
    assert one.limit is not None
    assert one.limit.value == 650_000
    assert one.words("metric").to_do == (
        "Start with a core of 2.2 mm, or forge the billet no thinner than 13 mm."
    )
    assert one.words("inch").to_do == (
        "Start with a core of 3/32 in, or forge the billet no thinner than 33/64 in."
    )


@pytest.mark.parametrize(
    ("core_mm", "finish_mm", "is_said"),
    [(2.2, 6.5, False), (2.1, 6.5, True), (1.0, 13.0, False), (1.0, 12.9, True)],
)
def test_what_a_lost_core_is_told_to_do_puts_it_right(
    core_mm: float, finish_mm: float, is_said: bool
) -> None:
    design = around(core(mm=core_mm), clad(mm=9.0), line(), finish_mm=finish_mm)

    assert ("core-too-thin" in codes(judged(design), "stop")) is is_said


def test_a_core_below_the_shops_finished_least_is_a_care_with_figures() -> None:
    # 4 of 13 mm forged to 5 is 1.538; 1/16 in is 1.5875. Start: 1.5875 x 9 / 3.4125 = 4.187;
    # forge: 1.5875 x 13 / 4 = 5.159
    one = only(judged(five(finish_thickness_nm=5 * MM)), "core-thin-finished")

    assert one.sentence("metric") == (
        "The finished core is 1.54 mm thick. The shop's least is 1.59 mm. Start with a core of "
        "4.2 mm, or forge the billet no thinner than 5.2 mm."
    )


def test_a_core_can_not_be_thickened_where_the_whole_billet_is_thinner_than_it_must_be() -> None:
    # a billet of 0.6 mm holds no core of 0.65; forging to 0.65 x 13 / 4 = 2.1125 does
    one = only(judged(five(finish_thickness_nm=600_000)), "core-too-thin")

    assert one.words("metric").to_do == "Forge the billet no thinner than 2.2 mm."


def test_the_edge_and_the_drift_are_the_shops() -> None:
    rules = limits.rules_of(House(drift_allowance_nm=1 * MM, edge_thickness_nm=500_000))

    found = judged(five(), rules=rules)

    assert only(found, "core-too-thin").limit == finding.Measure(2_500_000, "thick")


def test_a_core_beside_the_middle_is_a_stop() -> None:
    # 4, 0.5, 3, 0.5, 4 = 12: the middle at 6 lies in the 3 mm layer
    one = only(judged(lay(clad(), line(), clad(mm=3), line(), core())), "core-off-middle")

    assert one.sentence("metric").startswith("The middle of the billet does not lie in the core.")


def test_a_core_that_hardly_reaches_past_the_middle_is_a_stop() -> None:
    # 5.0, 0.5 | 4 | 0.5, 1.6 = 11.6, middle 5.8; the core begins at 5.5, 0.3 below it in the
    # stack; forged to 5.8 mm that is 0.15, and 0.325 are needed
    design = lay(clad(mm=5.0), line(), core(), line(), clad(mm=1.6), finish_mm=5.8)

    one = only(judged(design), "core-off-middle")

    assert one.figure is not None
    assert one.figure.value == pytest.approx(150_000)
    assert "reaches only 0.15 mm past the middle" in one.sentence("metric")
