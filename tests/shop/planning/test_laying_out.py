"""From blanks and free metal to named pieces: what fits, what is left, what is short."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.planning.cut_plan import CutPlan, FreePiece, Need
from shop.planning.laying_out import Solvers, fits_section, laid_out, seats_that_fit
from stock.cutting.bars import best
from stock.cutting.plans.checks import PlanFault
from stock.cutting.plans.plan import BarCase, BarPlan, CutBar, SheetCase, SheetPlan
from stock.cutting.sheets import best as sheets

IN = 25_400_000
KERF = 1_000_000
KEEP = 2 * IN


def solve_bars(case: BarCase) -> BarPlan:
    return best.solve(case, limit_s=3)


def solve_sheets(case: SheetCase) -> SheetPlan:
    return sheets.solve(case, limit_s=3)


SOLVERS = Solvers(bars=solve_bars, sheets=solve_sheets)


def need(seat: int, position: int = 0, **changes: Any) -> Need:
    """A blank of 1084, 1/8 x 1-1/4 x 6 in."""
    about: dict[str, Any] = {
        "seat_id": seat,
        "position": position,
        "alloy": "1084",
        "role": "cladding",
        "thickness_nm": IN // 8,
        "width_nm": 5 * IN // 4,
        "length_nm": 6 * IN,
    }
    return Need(**(about | changes))


def bar(piece_id: int = 1, **changes: Any) -> FreePiece:
    """A bar of 1084, 1/8 x 1-1/4 x 36 in."""
    about: dict[str, Any] = {
        "piece_id": piece_id,
        "mark": f"K{piece_id}",
        "material_id": 1,
        "form": "flat",
        "alloy": "1084",
        "thickness_nm": IN // 8,
        "width_nm": 5 * IN // 4,
        "length_nm": 36 * IN,
        "keep_from_nm": KEEP,
    }
    return FreePiece(**(about | changes))


def lay(needs: list[Need], pieces: list[FreePiece]) -> CutPlan:
    return laid_out(needs, pieces=pieces, kerf_nm=KERF, solvers=SOLVERS)


@pytest.mark.parametrize(
    ("changes", "fits"),
    [
        ({}, True),
        ({"alloy": "1095"}, False),
        ({"thickness_nm": 3_200_000}, True),  # 3.2 mm bar is sold for 1/8 in
        ({"thickness_nm": 3_276_000}, False),
        ({"width_nm": 3 * IN // 2}, True),  # 1/4 in wider is ground down
        ({"width_nm": 3 * IN // 2 + 1}, False),
        ({"width_nm": 5 * IN // 4 - 1}, False),
    ],
)
def test_a_section_fits_within_its_tolerances(changes: dict[str, Any], fits: bool) -> None:
    assert fits_section(need(1), bar(**changes)) is fits


def test_a_layer_that_names_its_material_takes_no_other() -> None:
    wanted = need(1, material_id=7)

    assert not fits_section(wanted, bar(material_id=1))
    assert fits_section(wanted, bar(material_id=7))


def test_cuts_run_from_the_end_with_a_kerf_each() -> None:
    plan = lay([need(1), need(2)], [bar()])

    cuts = plan.parts[0].pieces[0].cuts
    assert [(cut.need, cut.y_nm, cut.amount) for cut in cuts] == [
        ("1/0", 0, 6 * IN + KERF),
        ("2/0", 6 * IN + KERF, 6 * IN + KERF),
    ]
    assert plan.parts[0].pieces[0].left_nm == 24 * IN - 2 * KERF


def test_a_short_end_is_scrap_and_a_long_one_stays_on_the_bar() -> None:
    plan = lay([need(1)], [bar(length_nm=7 * IN)])

    piece = plan.parts[0].pieces[0]
    assert piece.left_nm == 0
    assert [(rest.length_nm, rest.is_kept) for rest in piece.rests] == [(IN - KERF, False)]


def test_the_short_end_of_a_shared_bar_is_nobodys_scrap() -> None:
    plan = lay([need(1)], [bar(length_nm=7 * IN, is_shared=True)])

    assert plan.parts[0].pieces[0].rests == ()


def test_a_bar_of_exactly_the_length_is_used_up_without_a_kerf() -> None:
    plan = lay([need(1)], [bar(length_nm=6 * IN)])

    piece = plan.parts[0].pieces[0]
    assert piece.cuts[0].amount == 6 * IN
    assert (piece.left_nm, piece.rests) == (0, ())


def test_what_one_width_leaves_the_next_may_use() -> None:
    wide = need(1, width_nm=5 * IN // 4, length_nm=20 * IN)
    narrow = need(2, width_nm=9 * IN // 8, length_nm=14 * IN)

    plan = lay([wide, narrow], [bar()])

    assert plan.is_whole
    assert [piece.before_nm for part in plan.parts for piece in part.pieces] == [
        36 * IN,
        16 * IN - KERF,
    ]


def test_what_is_short_is_told_with_its_length_and_the_longest_left() -> None:
    plan = lay([need(1), need(2), need(3)], [bar(length_nm=17 * IN)])

    short = plan.short[0]
    assert (short.count, short.missing_nm) == (1, 6 * IN + KERF)
    assert short.largest_free_nm == 5 * IN - 2 * KERF
    assert short.needs == ("3/0",)


def test_one_piece_longer_than_every_bar_is_named_and_the_rest_is_planned() -> None:
    plan = lay([need(1, length_nm=40 * IN), need(2)], [bar()])

    assert [one.needs for one in plan.short] == [("1/0",)]
    assert [cut.need for cut in plan.parts[0].pieces[0].cuts] == ["2/0"]


def test_nothing_on_hand_is_all_short() -> None:
    plan = lay([need(1), need(2)], [])

    assert plan.parts == ()
    assert (plan.short[0].count, plan.short[0].largest_free_nm) == (2, 0)


def test_as_many_seats_as_fit_are_found_first_ones_first() -> None:
    needs = [need(seat, position) for seat in (4, 5, 6) for position in (0, 4)]

    fits = seats_that_fit(needs, pieces=[bar(length_nm=30 * IN)], kerf_nm=KERF, solvers=SOLVERS)

    # 30 in gives four blanks of 6 in, which is two seats of two blanks.
    assert fits == (4, 5)


def test_a_seat_that_nothing_fits_does_not_keep_the_others_from_fitting() -> None:
    needs = [need(1, width_nm=9 * IN), need(2), need(3, width_nm=9 * IN), need(4), need(5)]

    fits = seats_that_fit(needs, pieces=[bar(length_nm=15 * IN)], kerf_nm=KERF, solvers=SOLVERS)

    # Nothing is 9 in wide; 15 in gives two blanks of 6 in.
    assert fits == (2, 4)


def test_a_smaller_seat_fits_where_a_larger_one_does_not() -> None:
    needs = [need(1), need(2, length_nm=20 * IN), need(3)]

    fits = seats_that_fit(needs, pieces=[bar(length_nm=15 * IN)], kerf_nm=KERF, solvers=SOLVERS)

    assert fits == (1, 3)


def copper(piece_id: int, form: str, **changes: Any) -> FreePiece:
    """A roll or sheet of copper, 0.02 in, 6 in wide and 60 in long."""
    about: dict[str, Any] = {
        "form": form,
        "alloy": "c10200",
        "thickness_nm": IN // 50,
        "width_nm": 6 * IN,
        "length_nm": 60 * IN,
    }
    return bar(piece_id, **(about | changes))


def line(seat: int, position: int) -> Need:
    return need(seat, position, alloy="c10200", role="line", thickness_nm=IN // 50)


def test_a_sheet_offcut_is_used_before_the_roll() -> None:
    offcut = copper(2, "sheet", width_nm=5 * IN // 2, length_nm=6 * IN)

    plan = lay([line(1, 1), line(1, 3)], [copper(1, "roll"), offcut])

    assert [piece.piece_id for part in plan.parts for piece in part.pieces] == [2]
    assert plan.parts[0].pieces[0].rests == ()


def test_a_strip_off_the_roll_carries_its_blanks_and_leaves_the_rest() -> None:
    plan = lay(
        [line(seat, position) for seat in (1, 2) for position in (1, 3)], [copper(1, "roll")]
    )

    piece = plan.parts[0].pieces[0]
    assert (piece.strip_nm, piece.left_nm) == (5 * IN, 55 * IN)
    assert len(piece.cuts) == 4
    assert piece.shears


def test_grain_keeps_blanks_from_being_turned() -> None:
    plan = lay([line(seat, 1) for seat in (1, 2, 3, 4)], [copper(1, "roll", grain_matters=True)])

    piece = plan.parts[0].pieces[0]
    assert piece.strip_nm == 6 * IN
    assert {(cut.width_nm, cut.length_nm) for cut in piece.cuts} == {(5 * IN // 4, 6 * IN)}


def test_a_plan_survives_its_json() -> None:
    plan = lay(
        [need(1), need(2), line(1, 1), need(3, length_nm=99 * IN)], [bar(), copper(2, "roll")]
    )

    assert CutPlan.from_json(plan.to_json()) == plan


def test_a_solver_that_cuts_too_much_is_caught() -> None:
    def greedy(case: BarCase) -> BarPlan:
        honest = solve_bars(case)
        cut = CutBar(source="on_hand", length_nm=36 * IN, cuts=(6 * IN,) * 7)
        return replace(honest, bars=(cut,))

    with pytest.raises(PlanFault):
        laid_out(
            [need(seat) for seat in range(7)],
            pieces=[bar()],
            kerf_nm=KERF,
            solvers=Solvers(bars=greedy, sheets=solve_sheets),
        )


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(
    lengths=st.lists(st.integers(20 * IN // 10, 12 * IN), min_size=1, max_size=8),
    on_hand=st.lists(st.integers(3 * IN, 40 * IN), min_size=1, max_size=4),
    kerf=st.sampled_from([0, 999_983, 3 * IN]),
)
def test_no_plan_cuts_more_than_a_bar_holds(
    lengths: list[int], on_hand: list[int], kerf: int
) -> None:
    needs = [need(seat, length_nm=length) for seat, length in enumerate(lengths)]
    pieces = [bar(number, length_nm=length) for number, length in enumerate(on_hand)]

    plan = laid_out(needs, pieces=pieces, kerf_nm=kerf, solvers=SOLVERS)

    cut = [one.need for part in plan.parts for piece in part.pieces for one in piece.cuts]
    short = [key for one in plan.short for key in one.needs]
    assert sorted(cut + short) == sorted(one.key for one in needs)
    for piece in (piece for part in plan.parts for piece in part.pieces):
        taken = sum(one.amount for one in (*piece.cuts,)) + sum(r.amount for r in piece.rests)
        assert taken + piece.left_nm == piece.before_nm
