"""Proofs against brute force that tries every cut, and laws that every layout keeps."""

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stock.cutting.plans.checks import sheet_faults
from stock.cutting.plans.plan import Rectangle, SheetCase
from stock.cutting.sheets.best import solve
from stock.cutting.sheets.bounds import area_bound, sums_of
from stock.cutting.sheets.flow import price_bound
from stock.cutting.sheets.problem import problem_of
from stock.cutting.sheets.search import best_rows
from tests.stock.shears import (
    area_listed,
    can_be_sheared,
    case_of,
    least_roll,
    parts_after_cutting,
    parts_listed,
)

LONGEST = 40  # of any roll that brute force looks at


def tiny_case(seed: int) -> SheetCase:
    """Up to five pieces with sides up to 6, a roll up to 8 wide, up to two small sheets."""
    rng = Random(seed)
    pieces = tuple(
        Rectangle(rng.randint(1, 6), rng.randint(1, 6), 1, rng.random() < 0.7)
        for _ in range(rng.randint(1, 5))
    )
    sheets = tuple((rng.randint(1, 7), rng.randint(1, 7)) for _ in range(rng.randint(0, 2)))
    return SheetCase("tiny", (rng.randint(4, 8), LONGEST), sheets, pieces)


@pytest.mark.slow
@pytest.mark.parametrize("seeds", [range(start, start + 25) for start in range(0, 200, 25)])
def test_tiny_layouts_take_what_brute_force_finds_least(seeds: range) -> None:
    for seed in seeds:
        case = tiny_case(seed)
        least = least_roll(case, LONGEST)

        plan = solve(case, limit_s=2)

        assert sheet_faults(case, plan) == ()
        if least is None:
            assert plan.short, f"seed {seed}: pieces that fit nowhere are not named"
        else:
            assert (plan.roll_length_nm, plan.short) == (least, ()), f"seed {seed}"
            assert plan.proved, f"seed {seed}"


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(40))
def test_what_tiny_sheets_hold_agrees_with_brute_force(seed: int) -> None:
    rng = Random(seed)
    width, length = rng.randint(3, 9), rng.randint(3, 9)
    pieces = tuple(Rectangle(rng.randint(1, 6), rng.randint(1, 6), 1) for _ in range(4))
    case = SheetCase("tiny", None, ((width, length),), pieces)
    sizes = tuple(sorted((piece.width_nm, piece.length_nm, True) for piece in pieces))

    plan = solve(case, limit_s=2)

    assert (plan.short == ()) == can_be_sheared(width, length, sizes)


@pytest.mark.parametrize("seed", range(60))
def test_bounds_are_never_above_what_brute_force_finds(seed: int) -> None:
    case = tiny_case(1000 + seed)
    least = least_roll(case, LONGEST)
    problem, short = problem_of(case)

    bounds = (area_bound(problem), price_bound(problem, goes_on=lambda: True))

    if least is not None and not any(short):
        assert max(bounds) * problem.unit_nm <= least


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(60))
def test_the_best_rows_are_a_layout_and_never_beat_brute_force(seed: int) -> None:
    case = tiny_case(2000 + seed)
    problem, short = problem_of(case)
    least = least_roll(case, LONGEST)
    if least is None or any(short):
        return

    found = best_rows(problem, limit_s=5)

    assert found is not None
    assert found.layout.counts(len(problem.kinds)) == problem.counts
    assert found.layout.strip_length * problem.unit_nm >= least


def test_rows_and_columns_that_waste_nothing_are_found_by_the_programme() -> None:
    # rows of 4: one 8 wide, one of two columns of two 4 x 2
    case = case_of((8, 4, 1), (4, 2, 4), roll=(8, 100))
    problem, _ = problem_of(case)

    found = best_rows(problem, limit_s=5)

    assert found is not None
    assert (found.layout.strip_length * problem.unit_nm, found.at_least * problem.unit_nm) == (8, 8)


def test_pieces_wider_than_half_the_roll_cannot_lie_side_by_side() -> None:
    # by area four 7 x 7 take 17 of a roll 12 wide; no two fit beside each other, so 28
    problem, _ = problem_of(case_of((7, 7, 4), (5, 1, 1), roll=(12, 100)))

    assert price_bound(problem, goes_on=lambda: True) == 28


def test_sums_are_those_that_sides_in_a_row_can_have() -> None:
    sums = sums_of([((3, 5), 2), ((4,), 1)], 12)

    assert sums.values.tolist() == [0, 3, 4, 5, 6, 7, 8, 9, 10, 12]
    assert sums.most(11) == 10
    assert sums.next(11) == 12


rectangles = st.builds(
    Rectangle,
    st.sampled_from([1, 2, 3, 5, 7, 12, 31_750_003, 152_400_041, 76_200_011]),
    st.sampled_from([1, 2, 3, 5, 7, 12, 31_750_003, 25_400_017, 304_800_007]),
    st.integers(0, 6),
    st.booleans(),
)
sizes = st.tuples(
    st.sampled_from([1, 6, 13, 100, 304_800_000, 150_000_001]),
    st.sampled_from([1, 6, 13, 100, 7_620_000_000, 200_000_003]),
)


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(st.lists(rectangles, max_size=4), st.none() | sizes, st.lists(sizes, max_size=3))
def test_every_plan_is_sound_and_its_areas_add_up(
    pieces: list[Rectangle], roll: tuple[int, int] | None, sheets: list[tuple[int, int]]
) -> None:
    case = SheetCase("any", roll, tuple(sheets), tuple(pieces))

    plan = solve(case, limit_s=0.6)

    assert sheet_faults(case, plan) == ()
    assert parts_after_cutting(case, plan) == parts_listed(plan)
    touched = {placed.sheet for placed in plan.placed if placed.sheet is not None}
    metal = sum(sheets[sheet][0] * sheets[sheet][1] for sheet in touched)
    metal += plan.roll_length_nm * (roll[0] if roll else 0)
    assert metal == area_listed(plan)


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**9), st.integers(2, 12))
def test_a_cut_up_rectangle_is_put_together_again(seed: int, n: int) -> None:
    rng = Random(seed)
    parts = [(60, 90)]
    while len(parts) < n:
        width, length = parts.pop(rng.randrange(len(parts)))
        if width < 2 or length < 2:
            parts.append((width, length))
            continue
        at = rng.randint(1, max(width, length) - 1)
        if width >= length:
            parts += [(at, length), (width - at, length)]
        else:
            parts += [(width, at), (width, length - at)]
    case = case_of(*((width, length, 1) for width, length in parts), roll=(60, 1000))

    plan = solve(case, limit_s=10)

    assert plan.roll_length_nm == 90
    assert plan.left == ()
