"""What a smith gets from a layout: all pieces, least roll, cuts that shears can follow."""

import pytest

from stock.cutting.plans.checks import sheet_faults
from stock.cutting.plans.plan import Progress, Rectangle, SheetCase, SheetPlan
from stock.cutting.sheets.best import solve
from tests.stock.shears import area_listed, case_of, parts_after_cutting, parts_listed

IN = 25_400_000


def checked(case: SheetCase, *, limit_s: float = 5.0) -> SheetPlan:
    """The plan, after shears have followed its cuts and found what it lists."""
    plan = solve(case, limit_s=limit_s)
    assert sheet_faults(case, plan) == ()
    assert parts_after_cutting(case, plan) == parts_listed(plan)
    return plan


def test_blanks_for_a_class_take_the_least_roll_and_it_is_proved() -> None:
    case = case_of((6 * IN, 5 * IN // 4, 24), roll=(12 * IN, 300 * IN))

    plan = checked(case)

    # two blanks side by side, 12 rows of 1-1/4 in
    assert plan.roll_length_nm == 15 * IN
    assert plan.proved
    assert plan.at_least_nm == 15 * IN
    assert plan.left == ()
    assert plan.claim == "Proved best: no layout that shears can cut takes less of the roll."


def test_sheet_offcuts_are_used_before_the_roll() -> None:
    case = case_of((6 * IN, 5 * IN // 4, 20), roll=(12 * IN, 300 * IN), sheets=((12 * IN, 5 * IN),))

    plan = checked(case)

    # the offcut holds 8 of 20; the other 12 are six rows of two
    assert sum(placed.source == "sheet" for placed in plan.placed) == 8
    assert plan.roll_length_nm == 7.5 * IN
    assert plan.proved


def test_no_roll_is_taken_when_the_offcuts_hold_all() -> None:
    case = case_of((3, 2, 4), roll=(12, 100), sheets=((6, 4),))

    plan = checked(case)

    assert plan.roll_length_nm == 0
    assert plan.proved
    assert plan.left == ()
    assert plan.claim == "No roll is needed."


def test_a_sheet_that_saves_no_roll_is_left_whole() -> None:
    # a grained 6 x 30 fits the roll alone and takes 30 of it; 6 x 4 then lies beside it
    case = case_of((6, 30, 1), (6, 4, 1), roll=(12, 100), sheets=((20, 20),), may_turn=False)

    plan = checked(case)

    assert plan.roll_length_nm == 30
    assert {placed.source for placed in plan.placed} == {"roll"}


def test_the_smaller_of_two_offcuts_is_cut_and_the_larger_kept() -> None:
    case = case_of((6, 4, 1), sheets=((20, 20), (7, 5)))

    plan = checked(case)

    assert {placed.sheet for placed in plan.placed} == {1}


def test_what_is_left_of_a_sheet_is_one_large_offcut_not_slivers() -> None:
    case = case_of((2, 10, 3), sheets=((20, 10),))

    plan = checked(case)

    assert [(left.width_nm, left.length_nm) for left in plan.left] == [(14, 10)]


def test_a_piece_wider_than_the_roll_goes_lengthwise() -> None:
    case = case_of((15 * IN, 2 * IN, 3), roll=(12 * IN, 100 * IN))

    plan = checked(case)

    assert plan.roll_length_nm == 15 * IN
    assert {(placed.width_nm, placed.length_nm) for placed in plan.placed} == {(2 * IN, 15 * IN)}


def test_both_directions_are_considered() -> None:
    # 5 x 3 lies twice across 10; turned it would lie three times across 9 only
    case = case_of((5, 3, 4), roll=(10, 100))
    narrower = case_of((5, 3, 3), roll=(9, 100))

    assert checked(case).roll_length_nm == 6
    assert checked(narrower).roll_length_nm == 5


def test_grain_forbids_turning() -> None:
    free = case_of((5, 3, 3), roll=(9, 100))
    grained = case_of((5, 3, 3), roll=(9, 100), may_turn=False)

    assert checked(free).roll_length_nm == 5
    assert checked(grained).roll_length_nm == 9


def test_a_grained_piece_wider_than_all_metal_is_named_as_short() -> None:
    case = case_of((15, 2, 3), (4, 2, 2), roll=(12, 100), may_turn=False)

    plan = checked(case)

    assert plan.short == (Rectangle(15, 2, 3, False),)
    assert len(plan.placed) == 2
    assert plan.claim.startswith("Not all pieces fit, and no layout holds more metal.")


@pytest.mark.slow
def test_a_roll_that_is_too_short_gives_what_it_can() -> None:
    case = case_of((6, 5, 10), roll=(12, 22))

    plan = checked(case)

    assert plan.short == (Rectangle(6, 5, 2),)
    assert len(plan.placed) == 8
    assert plan.roll_length_nm == 20


@pytest.mark.slow
def test_of_equal_pieces_the_last_asked_for_are_short() -> None:
    wanted = (Rectangle(6, 5, 2), Rectangle(5, 6, 2))
    case = SheetCase("case", None, ((12, 5), (6, 5)), wanted)

    plan = checked(case)

    assert plan.short == (Rectangle(5, 6, 1),)


def test_without_any_metal_all_is_short() -> None:
    plan = checked(case_of((6, 5, 3)))

    assert plan.short == (Rectangle(6, 5, 3),)
    assert plan.placed == ()
    assert plan.roll_length_nm == 0


def test_nothing_asked_takes_nothing() -> None:
    plan = checked(case_of(roll=(12, 100), sheets=((5, 5),)))

    assert plan.proved
    assert (plan.placed, plan.left, plan.short, plan.cuts) == ((), (), (), ())


def test_pieces_of_no_size_are_short_and_nothing_raises() -> None:
    plan = checked(case_of((0, 5, 2), (3, 3, 0), (3, 3, 1), roll=(12, 100)))

    assert plan.short == (Rectangle(0, 5, 2),)
    assert len(plan.placed) == 1


def test_a_roll_or_sheet_of_no_size_is_no_metal() -> None:
    plan = checked(case_of((3, 3, 1), roll=(12, 0), sheets=((0, 9),)))

    assert plan.short == (Rectangle(3, 3, 1),)


def test_metal_that_is_no_whole_number_of_pieces_is_accounted_for() -> None:
    case = case_of((4, 4, 5), roll=(9, 1001), sheets=((5, 7),))

    plan = checked(case)

    assert plan.roll_length_nm == 8
    assert area_listed(plan) == 9 * 8 + 5 * 7


def test_the_first_cut_on_the_roll_frees_the_strip() -> None:
    plan = checked(case_of((6, 5, 3), roll=(12, 100)))

    first = plan.cuts[0]
    assert (first.source, first.direction, first.at_nm) == ("roll", "across", 10)
    assert first.leaves == ("part", "roll")


@pytest.mark.slow
def test_progress_is_told_of_complete_plans_that_only_get_better() -> None:
    case = case_of((31, 17, 9), (23, 11, 11), (43, 29, 7), roll=(96, 10_000))
    told: list[Progress] = []

    plan = solve(case, limit_s=3, progress=told.append)

    best = [progress.best for progress in told]
    lengths = [each.roll_length_nm for each in best if isinstance(each, SheetPlan)]
    assert lengths
    assert lengths == sorted(lengths, reverse=True)
    assert lengths[-1] == plan.roll_length_nm
    assert all(sheet_faults(case, each) == () for each in best if isinstance(each, SheetPlan))


def test_identical_sheets_bought_as_a_pack_are_filled_together() -> None:
    # nine of 4 x 4 fill a 12 x 12 sheet
    plan = checked(case_of((4, 4, 27), sheets=((12, 12),) * 3))

    assert plan.short == ()
    assert plan.left == ()


@pytest.mark.slow
def test_ten_thousand_blanks_are_answered_honestly_in_time() -> None:
    # rows of two: 5000 x 1-1/4 in, and no line can cover more than the 12 in that they do
    case = case_of((6 * IN, 5 * IN // 4, 10_000), roll=(12 * IN, 10_000 * IN))

    plan = solve(case, limit_s=5)

    assert len(plan.placed) == 10_000
    assert plan.roll_length_nm == 6_250 * IN
    assert plan.proved


@pytest.mark.slow
def test_three_thousand_thin_strips_fill_a_long_sheet() -> None:
    plan = checked(case_of((4, 1, 3000), sheets=((4, 3000),)), limit_s=3)

    assert len(plan.placed) == 3000
    assert plan.short == ()
