"""Shear cuts as steps to follow, and what a new plan changes."""

from __future__ import annotations

from shop.planning.cut_plan import Shear, Source, plan_changes
from shop.planning.cut_steps import shear_steps

IN = 25_400_000


def test_a_strip_is_taken_off_and_cut_along_part_by_part() -> None:
    off_the_roll = Shear("across", 6 * IN, 0, 0, 5 * IN, 60 * IN, ("part", "roll"))
    first_blank = Shear("along", IN, 0, 0, 5 * IN, 6 * IN, ("piece", "part"))
    second_blank = Shear("along", 3 * IN, IN, 0, 4 * IN, 6 * IN, ("piece", "left"))

    steps = shear_steps(
        [off_the_roll, first_blank, second_blank],
        names={(0, 0, IN, 6 * IN): "B-1-2", (IN, 0, 2 * IN, 6 * IN): "B-1-4"},
    )

    assert [step.part for step in steps] == ["", "A", "B"]
    assert steps[0].is_across
    assert [side.kind for side in steps[0].sides] == ["part", "roll"]
    assert steps[1].from_edge_nm == IN
    assert steps[1].sides[0].name == "B-1-2"
    assert steps[2].from_edge_nm == 2 * IN  # 3 in from the sheet's corner, 2 in from the part's
    assert steps[2].sides[0].name == "B-1-4"
    assert (steps[2].sides[1].width_nm, steps[2].sides[1].length_nm) == (2 * IN, 6 * IN)


def test_parts_after_z_go_on_with_two_letters() -> None:
    cuts = [
        Shear("across", (n + 1) * IN, 0, n * IN, IN, (40 - n) * IN, ("left", "part"))
        for n in range(28)
    ]

    steps = shear_steps(cuts, names={})

    assert steps[0].sides[1].name == "A"
    assert steps[25].sides[1].name == "Z"
    assert steps[26].sides[1].name == "AA"
    assert steps[27].part == "AA"


def test_the_same_plan_again_changes_nothing() -> None:
    plan = {"B-1-1": Source("K4R", IN, 6 * IN)}

    changes = plan_changes(plan, dict(plan))

    assert changes.is_nothing
    assert changes.same == 1


def test_a_blank_from_another_bar_is_told_with_both_marks() -> None:
    changes = plan_changes(
        {"B-1-1": Source("K4R", IN, 6 * IN)}, {"B-1-1": Source("M7P", IN, 6 * IN)}
    )

    assert [(one.name, one.before.mark, one.after.mark) for one in changes.moved] == [
        ("B-1-1", "K4R", "M7P")
    ]
    assert changes.moved[0].is_elsewhere
    assert not changes.moved[0].is_resized


def test_a_blank_that_grew_is_told_as_resized() -> None:
    changes = plan_changes(
        {"B-1-1": Source("K4R", IN, 6 * IN)}, {"B-1-1": Source("K4R", IN, 7 * IN)}
    )

    assert changes.moved[0].is_resized
    assert not changes.moved[0].is_elsewhere


def test_a_turned_blank_is_the_same_blank() -> None:
    changes = plan_changes({"B-1-2": Source("R2", IN, 6 * IN)}, {"B-1-2": Source("R2", 6 * IN, IN)})

    assert changes.is_nothing


def test_new_and_dropped_blanks_are_told_apart() -> None:
    changes = plan_changes({"B-1-1": Source("K4R", IN, IN)}, {"B-2-1": Source("K4R", IN, IN)})

    assert [name for name, _ in changes.added] == ["B-2-1"]
    assert [name for name, _ in changes.dropped] == ["B-1-1"]
