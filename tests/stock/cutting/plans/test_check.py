"""The checker names what is wrong with a plan for bars or sheets, and nothing else."""

from dataclasses import replace
from typing import Any

import pytest

from stock.cutting.plans.checks import PlanFault, certain, faults
from stock.cutting.plans.plan import (
    BarCase,
    BarPlan,
    CutBar,
    Left,
    Offer,
    OnHand,
    Placed,
    Rectangle,
    SheetCase,
    SheetPlan,
    Wanted,
)

CASE = BarCase(
    name="bars",
    kerf_nm=2,
    keep_from_nm=10,
    reference_nm=100,
    on_hand=(OnHand(100, 1),),
    offers=(Offer(200, 50),),
    pieces=(Wanted(40, 4),),
)
# Loss: 100 + 100²/200 for the bar on hand, of which 16 are left: 16 + 16²/200 = 17.28;
# of the bought bar 116 are left: 116 + 116²/200 = 183.28. 150 − 17.28 − 183.28 = −50.56.
PLAN = BarPlan(
    name="bars",
    proved=False,
    spent_cents=50,
    spent_at_least=0,
    loss=-51,
    loss_at_least=-60,
    seconds=0.1,
    bars=(CutBar("on_hand", 100, (40, 40)), CutBar("offer", 200, (40, 40))),
)


def test_a_right_plan_for_bars_has_no_faults() -> None:
    assert faults(CASE, PLAN) == ()
    assert certain(CASE, PLAN) is PLAN


def only(plan: BarPlan) -> str:
    (fault,) = faults(CASE, plan)
    return fault


def test_cuts_longer_than_the_bar_are_named() -> None:
    bars = (CutBar("on_hand", 100, (40, 40, 40)), CutBar("offer", 200, (40,)))

    found = faults(CASE, replace(PLAN, bars=bars))

    assert found[0] == "Bar 0 is 100 nm long; its cuts need 124 nm with the kerf between them."


def test_a_kerf_may_not_be_saved_between_two_cuts() -> None:
    case = replace(CASE, pieces=(Wanted(50, 2),))
    plan = replace(PLAN, bars=(CutBar("on_hand", 100, (50, 50)),))

    assert faults(case, plan)[0] == (
        "Bar 0 is 100 nm long; its cuts need 102 nm with the kerf between them."
    )


def test_an_uncut_bar_is_named() -> None:
    plan = replace(PLAN, bars=(*PLAN.bars, CutBar("offer", 200, ())), spent_cents=100)

    assert faults(CASE, plan)[0] == "Bar 2 (200 nm) is used but not cut."


def test_more_bars_than_are_on_hand_are_named() -> None:
    bars = (CutBar("on_hand", 100, (40, 40)), CutBar("on_hand", 100, (40, 40)))

    found = faults(CASE, replace(PLAN, bars=bars))

    assert found[0] == "2 bars of 100 nm are cut; 1 are on hand."


def test_a_bar_that_nobody_sells_is_named() -> None:
    bars = (PLAN.bars[0], CutBar("offer", 201, (40, 40)))

    assert faults(CASE, replace(PLAN, bars=bars))[0] == "Bar 1 of 201 nm is not on offer."


def test_a_source_that_does_not_exist_is_named() -> None:
    bars = (PLAN.bars[0], CutBar("attic", 200, (40, 40)))

    found = faults(CASE, replace(PLAN, bars=bars))

    assert found[0] == "Bar 1 comes from 'attic', which is no source."


def test_a_missing_piece_is_named() -> None:
    bars = (PLAN.bars[0], CutBar("offer", 200, (40,)))

    assert faults(CASE, replace(PLAN, bars=bars))[0] == (
        "4 pieces of 40 nm are wanted; 3 are cut and 0 are said to be short."
    )


def test_a_piece_that_nobody_asked_for_is_named() -> None:
    bars = (PLAN.bars[0], CutBar("offer", 200, (40, 40, 7)))

    assert faults(CASE, replace(PLAN, bars=bars))[0] == (
        "0 pieces of 7 nm are wanted; 1 are cut and 0 are said to be short."
    )


def test_a_piece_said_to_be_short_but_cut_is_named() -> None:
    assert only(replace(PLAN, short=(Wanted(40, 1),))) == (
        "4 pieces of 40 nm are wanted; 4 are cut and 1 are said to be short."
    )


def test_money_that_does_not_add_up_is_named() -> None:
    assert only(replace(PLAN, spent_cents=49)) == "The bars cost 50 cents; the plan says 49."


def test_a_wrong_loss_is_named() -> None:
    assert only(replace(PLAN, loss=-50)) == (
        "The rack loses -50.56 nm of worth; the plan says -50."
    )


def test_bounds_above_the_figures_are_named() -> None:
    found = faults(CASE, replace(PLAN, spent_at_least=51, loss_at_least=-50))

    assert found == (
        "51 cents cannot be a bound on 50.",
        "A loss of -50 cannot be a bound on -51.",
    )


def test_a_claim_of_proof_needs_both_bounds() -> None:
    assert only(replace(PLAN, proved=True, spent_at_least=50)) == (
        "The plan says proved, but a bound is not met."
    )


def test_a_wrong_plan_raises_with_its_faults() -> None:
    with pytest.raises(PlanFault) as caught:
        certain(CASE, replace(PLAN, spent_cents=49))

    assert caught.value.faults == ("The bars cost 50 cents; the plan says 49.",)


SHEETS = SheetCase(
    name="sheets",
    roll=(100, 1000),
    sheets=((50, 50),),
    pieces=(Rectangle(60, 30, 2), Rectangle(40, 60, 1, may_turn=False), Rectangle(50, 20, 1)),
)
LAYOUT = SheetPlan(
    name="sheets",
    proved=True,
    roll_length_nm=60,
    at_least_nm=60,
    seconds=0.1,
    placed=(
        Placed("roll", None, 0, 0, 60, 30, 0),
        Placed("roll", None, 0, 30, 60, 30, 0),
        Placed("roll", None, 60, 0, 40, 60, 1),
        Placed("sheet", 0, 0, 0, 20, 50, 2),
    ),
    left=(Left("sheet", 0, 20, 0, 30, 50),),
)


def moved(number: int, **changes: Any) -> SheetPlan:
    placed = list(LAYOUT.placed)
    placed[number] = replace(placed[number], **changes)
    return replace(LAYOUT, placed=tuple(placed))


def test_a_right_layout_has_no_faults() -> None:
    assert faults(SHEETS, LAYOUT) == ()


def test_a_piece_of_the_wrong_size_is_named() -> None:
    found = faults(SHEETS, moved(0, width_nm=59))

    assert found == ("Placed 0 is 59 × 30 nm; piece 0 is 60 × 30 nm.",)


def test_a_piece_turned_against_the_grain_is_named() -> None:
    layout = replace(
        LAYOUT,
        roll_length_nm=100,
        at_least_nm=100,
        placed=(*LAYOUT.placed[:2], Placed("roll", None, 0, 60, 60, 40, 1), LAYOUT.placed[3]),
    )

    assert faults(SHEETS, layout) == ("Placed 2 is turned, and piece 1 may not turn.",)


def test_two_pieces_that_overlap_are_named() -> None:
    found = faults(SHEETS, moved(1, y_nm=29))

    assert found == ("The roll: (0, 0, 60, 30) and (0, 29, 60, 59) overlap.",)


def test_a_rest_that_overlaps_a_piece_is_named() -> None:
    layout = replace(LAYOUT, left=(Left("sheet", 0, 19, 0, 31, 50),))

    assert faults(SHEETS, layout) == ("Sheet 0: (0, 0, 20, 50) and (19, 0, 50, 50) overlap.",)


def test_a_piece_beyond_the_edge_is_named() -> None:
    found = faults(SHEETS, moved(2, x_nm=61))

    assert found == ("The roll: (61, 0, 101, 60) lies outside.",)


def test_a_sheet_that_does_not_exist_is_named() -> None:
    layout = replace(moved(3, sheet=1), left=())

    assert faults(SHEETS, layout) == ("Sheet 1 is not in the case.",)


def test_a_layout_that_shears_cannot_take_apart_is_named() -> None:
    # Four pieces around a hole: every straight cut from edge to edge meets one of them.
    case = SheetCase("wheel", None, ((30, 30),), (Rectangle(20, 10, 4),))
    placed = (
        Placed("sheet", 0, 0, 0, 20, 10, 0),
        Placed("sheet", 0, 20, 0, 10, 20, 0),
        Placed("sheet", 0, 10, 20, 20, 10, 0),
        Placed("sheet", 0, 0, 10, 10, 20, 0),
    )
    layout = SheetPlan("wheel", True, 0, 0, 0.1, placed)

    assert faults(case, layout) == ("Sheet 0: no straight cut from edge to edge takes it apart.",)


def test_a_missing_rectangle_is_named() -> None:
    layout = replace(LAYOUT, placed=LAYOUT.placed[:3], left=())

    assert faults(SHEETS, layout) == (
        "1 pieces of 50 × 20 nm are wanted; 0 are placed or said to be short.",
    )


def test_more_roll_than_there_is_is_named() -> None:
    case = replace(SHEETS, roll=(100, 59))

    assert faults(case, LAYOUT) == ("The roll has 59 nm; the plan takes 60.",)


def test_a_wrong_roll_length_is_named() -> None:
    layout = replace(LAYOUT, roll_length_nm=61, proved=False)

    assert faults(SHEETS, layout) == ("The pieces take 60 nm of the roll; the plan says 61.",)


def test_a_layout_proved_above_its_bound_is_named() -> None:
    assert faults(SHEETS, replace(LAYOUT, at_least_nm=59)) == (
        "The plan says proved, but its bound is not met.",
    )


def test_a_plan_for_bars_does_not_answer_sheets() -> None:
    assert faults(SHEETS, PLAN) == ("The plan is for another kind of case.",)
