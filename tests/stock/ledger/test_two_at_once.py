"""Several people at the same bar at once: each cut is booked once, and none overdraws."""

from collections.abc import Callable
from datetime import date
from functools import partial
from typing import Any

import pytest

from stock.ledger import by_hand, receiving, set_asides
from stock.ledger.proof import proved
from stock.ledger.refusals import CannotUndo, LedgerError, NotEnough, NotStanding
from stock.ledger.set_asides import Promise
from stock.models import Entry, Piece, SentBack, SetAside
from tests.at_once import all_at_once
from tests.kinds import MakePiece, Person

MM = 1_000_000
pytestmark = pytest.mark.django_db(transaction=True)
at_once = partial(all_at_once, refusals=(LedgerError,))


def promise(bar: Piece, *, length_nm: int) -> Promise:
    """One blank of a bar."""
    return Promise(
        piece_id=bar.pk,
        kind="blank",
        amount=length_nm,
        length_nm=length_nm,
        job="billet:1",
        position=1,
    )


def test_twelve_people_cut_ten_lengths_out_of_one_bar(make_bar: MakePiece, owner: Person) -> None:
    bar = make_bar(length_nm=1000 * MM, price_cents=1000)

    def cut() -> None:
        by_hand.cut_by_hand(piece=bar, length_nm=100 * MM, kerf_nm=0, job="", by=owner)

    outcomes = at_once([cut] * 12)

    bar.refresh_from_db()
    assert sorted(outcomes, key=str).count(None) == 10
    assert outcomes.count(NotEnough) == 2
    assert (bar.on_hand, bar.value_cents) == (0, 0)
    assert proved().faults == ()


def test_of_two_plans_over_the_same_bar_one_wins(make_bar: MakePiece, owner: Person) -> None:
    bar = make_bar(length_nm=1000 * MM)

    def plan(name: str) -> Callable[[], Any]:
        return lambda: set_asides.set_aside(
            plan=name, promises=[promise(bar, length_nm=600 * MM)], by=owner
        )

    outcomes = at_once([plan("class:1"), plan("class:2")])

    bar.refresh_from_db()
    assert {str(one) for one in outcomes} == {"None", str(NotEnough)}
    assert (SetAside.objects.count(), bar.set_aside) == (1, 600 * MM)


def test_one_cut_ticked_on_two_phones_is_booked_once(make_bar: MakePiece, owner: Person) -> None:
    bar = make_bar(length_nm=1000 * MM)
    row = set_asides.set_aside(
        plan="class:1", promises=[promise(bar, length_nm=600 * MM)], by=owner
    )[0]

    outcomes = at_once([lambda: set_asides.tick(set_aside=row, by=owner)] * 4)

    assert (outcomes.count(None), outcomes.count(NotStanding)) == (1, 3)
    assert Entry.objects.filter(set_aside=row).count() == 1


def test_one_act_undone_by_four_people_is_undone_once(make_bar: MakePiece, owner: Person) -> None:
    bar = make_bar(length_nm=1000 * MM, price_cents=1000)
    act = by_hand.scrap(piece=bar, amount=100 * MM, why="bent", by=owner)

    outcomes = at_once([lambda: by_hand.undo(act=act, by=owner)] * 4)

    bar.refresh_from_db()
    assert (outcomes.count(None), outcomes.count(CannotUndo)) == (1, 3)
    assert (bar.on_hand, bar.value_cents) == (1000 * MM, 1000)


def test_ticking_and_cancelling_at_once_do_not_wait_for_each_other(
    make_bar: MakePiece, owner: Person
) -> None:
    bars = [make_bar(length_nm=1000 * MM) for _ in range(3)]
    rows = set_asides.set_aside(
        plan="class:1",
        promises=[promise(bar, length_nm=100 * MM) for bar in bars for _ in range(3)],
        by=owner,
    )
    ticks = [partial(set_asides.tick, set_aside=row, by=owner) for row in rows]

    outcomes = at_once([*ticks, lambda: set_asides.free(plan="class:1")])

    assert set(outcomes) <= {None, NotStanding}
    assert not SetAside.objects.filter(state="standing").exists()
    assert proved().faults == ()


def test_pieces_parted_at_once_get_marks_of_their_own(make_bar: MakePiece, owner: Person) -> None:
    bars = [make_bar(length_nm=1000 * MM) for _ in range(6)]

    outcomes = at_once(
        [partial(by_hand.part, piece=bar, length_nm=100 * MM, kerf_nm=0, by=owner) for bar in bars]
    )

    assert outcomes == [None] * 6
    assert Piece.objects.values("mark").distinct().count() == 12


def test_a_job_let_go_while_its_cuts_are_ticked_leaves_each_cut_or_freed(
    make_bar: MakePiece, owner: Person
) -> None:
    bars = [make_bar(length_nm=1000 * MM) for _ in range(3)]
    rows = set_asides.set_aside(
        plan="class:1",
        promises=[promise(bar, length_nm=100 * MM) for bar in bars for _ in range(2)],
        by=owner,
    )
    ticks = [partial(set_asides.tick, set_aside=row, by=owner) for row in rows]

    outcomes = at_once([*ticks, partial(set_asides.free_job, job="billet:1")])

    assert set(outcomes) <= {None, NotStanding}
    states = list(SetAside.objects.values_list("state", flat=True))
    assert states.count("cut") + states.count("freed") == 6
    assert proved().faults == ()


def test_metal_wanted_back_by_one_and_cut_by_another_goes_to_one_of_them(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar(length_nm=1000 * MM)
    row = set_asides.set_aside(
        plan="class:1", promises=[promise(bar, length_nm=600 * MM)], by=owner
    )[0]
    set_asides.free_job(job="billet:1")

    at_once(
        [
            partial(set_asides.stand_again, ids=[row.pk]),
            partial(
                by_hand.cut_by_hand, piece=bar, length_nm=600 * MM, kerf_nm=0, job="", by=owner
            ),
        ]
    )

    bar.refresh_from_db()
    assert (bar.on_hand // MM, bar.set_aside // MM) in ((1000, 600), (400, 0))
    assert proved().faults == ()


def test_a_bar_sent_back_by_four_people_goes_back_once(make_bar: MakePiece, owner: Person) -> None:
    bar = make_bar(length_nm=1000 * MM, price_cents=1000)
    send = partial(
        receiving.send_back,
        piece=bar,
        amount=1000 * MM,
        credit_cents=900,
        why="bent",
        day=date(2026, 3, 9),
        by=owner,
    )

    outcomes = at_once([send] * 4)

    assert (outcomes.count(None), outcomes.count(NotEnough)) == (1, 3)
    assert SentBack.objects.count() == 1
    assert proved().faults == ()
