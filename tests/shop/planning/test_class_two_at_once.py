"""Several people at one class at once: one spare goes to one student, and the books stay true."""

from __future__ import annotations

from functools import partial

import pytest

from billets.history import writing as history
from billets.models import Billet
from shop.after_class import writing as after_class
from shop.classes import seat_writing as seating
from shop.cut_list import writing as cut_list
from shop.models import ForgeClass
from shop.planning import writing as planning
from stock.ledger.proof import proved
from stock.ledger.refusals import LedgerError
from stock.models import SetAside
from tests.at_once import all_at_once
from tests.kinds import MakeClass, Person

pytestmark = pytest.mark.django_db(transaction=True)
Refused = (planning.PlanningError, LedgerError, history.WorkshopError)
at_once = partial(all_at_once, refusals=Refused)


def fail(billet: Billet | None, *, by: Person) -> None:
    """Write a billet down as failed."""
    assert billet is not None
    history.record_step(billet=billet, kind="failed", cause="cracked", by=by)


def standing(row: ForgeClass) -> list[SetAside]:
    """Cuts that stand for a class."""
    return list(SetAside.objects.filter(plan=row.plan_key, state="standing").order_by("id"))


def is_tied_right(row: ForgeClass) -> bool:
    """Whether each cut that stands belongs to one blank, and no blank points at a freed one."""
    blanks = [
        blank
        for seat in row.seats.active().with_metal()
        for blank in seat.blanks_by_position().values()
    ]
    tied = {blank.set_aside_id for blank in blanks if blank.has_metal}
    return {one.pk for one in standing(row) if one.kind == "blank"} <= tied


@pytest.mark.slow
def test_one_spare_goes_to_one_of_two_students(planned_class: MakeClass, owner: Person) -> None:
    row = planned_class(students=1, spares=1)
    student, spare = list(row.seats.active().with_metal())
    fail(student.billet, by=owner)
    sound = spare.billet

    outcomes = at_once([partial(seating.give_spare, seat=student, spare=spare)] * 3)

    assert (outcomes.count(None), outcomes.count(seating.NoSpare)) == (1, 2)
    given, left = list(row.seats.active().with_metal())
    assert (given.billet, left.billet) == (sound, student.billet)


@pytest.mark.slow
def test_a_billet_that_fails_while_its_blanks_are_cut_leaves_true_books(
    planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=1)
    billet = row.seats.active().with_metal()[0].billet
    ticks = [
        partial(cut_list.tick_cut, set_aside=one, by=owner)
        for one in standing(row)
        if one.kind == "blank" and one.amount
    ]

    at_once([*ticks, partial(fail, billet, by=owner)])

    assert proved().faults == ()
    assert billet is not None
    assert not SetAside.objects.filter(job=billet.job, state="standing").exists()


@pytest.mark.slow
def test_a_failure_undone_by_three_people_takes_its_metal_back_once(
    planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=1)
    before = len(standing(row))
    billet = row.seats.active().with_metal()[0].billet
    assert billet is not None
    fail(billet, by=owner)

    outcomes = at_once([partial(history.undo_step, billet=billet, by=owner)] * 3)

    assert (outcomes.count(None), outcomes.count(history.NothingToUndo)) == (1, 2)
    assert len(standing(row)) == before
    assert is_tied_right(row)
    assert proved().faults == ()


@pytest.mark.slow
def test_a_class_ended_and_reopened_at_once_ends_up_one_or_the_other(
    planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=1)
    after_class.hold_class(forge_class=row)

    outcomes = at_once([partial(after_class.reopen_class, forge_class=row)] * 3)

    row.refresh_from_db()
    assert (outcomes.count(None), row.state) == (1, "planned")
    assert is_tied_right(row)
    assert proved().faults == ()
