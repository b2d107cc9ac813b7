"""Cut plans against published figures."""

from stock.cutting.bars import best
from stock.cutting.bench.cases import published_case
from stock.cutting.plans.checks import faults
from stock.cutting.plans.plan import BarCase, OnHand, Wanted

MM = 1_000_000


def test_the_published_paper_machine_instance_takes_73_rolls() -> None:
    # Encyclopedia article "Cutting stock problem": 13 widths from rolls of 5600 mm; the best
    # pattern uses 73 rolls and wastes 0.401 %.
    case = published_case()

    plan = best.solve(case, limit_s=30)

    assert faults(case, plan) == ()
    assert len(plan.bars) == 73
    assert (plan.spent_cents, plan.spent_at_least) == (73, 73)
    wanted = sum(piece.length_nm * piece.count for piece in case.pieces)
    waste_percent = 100 * (73 * 5600 * MM - wanted) / (73 * 5600 * MM)
    assert f"{waste_percent:.3f}" == "0.401"


def test_the_published_instance_is_proved_for_worth_as_well() -> None:
    plan = best.solve(published_case(), limit_s=30)

    assert plan.proved


def test_a_bar_gives_no_more_pieces_than_the_formula_allows() -> None:
    # n pieces of L with kerf k from a bar S: n ≤ ⌊(S + k) / (L + k)⌋. By hand:
    # (3000 + 2) / (150 + 2) = 19.75; (1200 + 1.6) / (152.4 + 1.6) = 7.80; 100 / 25 = 4.
    for bar, piece, kerf, most in (
        (3000 * MM, 150 * MM, 2 * MM, 19),
        (1200 * MM, 152_400_000, 1_600_000, 7),
        (100 * MM, 25 * MM, 0, 4),
    ):
        case = BarCase("formula", kerf, 0, 0, (OnHand(bar, 1),), (), (Wanted(piece, 50),))

        plan = best.solve(case, limit_s=10)

        assert [len(cut.cuts) for cut in plan.bars] == [most]
        assert plan.short == (Wanted(piece, 50 - most),)
