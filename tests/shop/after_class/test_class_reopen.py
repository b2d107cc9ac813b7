"""A class that was marked as over by mistake: what comes back, what does not."""

from __future__ import annotations

import pytest
from django.urls import reverse

from billets.history import writing as history
from shop.after_class import writing as after_class
from shop.class_money import writing as class_money
from shop.cut_list import writing as cut_list
from shop.models import ForgeClass
from shop.planning import writing as planning
from stock.ledger import by_hand
from stock.ledger.proof import proved
from stock.models import Piece, SetAside
from tests.kinds import ClassMetal, Client, MakeClass, Person, Response


def standing(row: ForgeClass) -> int:
    """Cuts that stand for a class: strips and rests too."""
    return SetAside.objects.filter(plan=row.plan_key, state="standing").count()


def reopen(client: Client, row: ForgeClass) -> Response:
    """Undo that a class is over."""
    return client.post(reverse("shop:class-reopen", args=[row.pk]), follow=True)


@pytest.mark.slow
def test_metal_that_the_end_freed_is_set_aside_again(
    as_owner: Client, planned_class: MakeClass
) -> None:
    row = planned_class(students=2)
    before = standing(row)
    after_class.hold_class(forge_class=row)
    assert standing(row) == 0

    response = reopen(as_owner, row)

    assert "Copper blades is not over any more. 10 cuts are set aside again." in response.text
    row.refresh_from_db()
    assert (row.state, standing(row)) == ("planned", before)
    assert planning.unplanned_count(row) == 0
    assert proved().faults == ()


@pytest.mark.slow
def test_metal_that_was_used_since_is_to_be_planned_again(
    as_owner: Client, owner: Person, planned_class: MakeClass, class_metal: ClassMetal
) -> None:
    row = planned_class(students=1)
    after_class.hold_class(forge_class=row)
    core = Piece.objects.get(pk=class_metal["core"].pk)
    by_hand.scrap(piece=core, amount=core.on_hand, why="cracked", by=owner)

    response = reopen(as_owner, row)

    assert "4 cuts are set aside again." in response.text
    assert "1 blank has no metal: make the plan again." in response.text
    row.refresh_from_db()
    assert row.state == "open"


def test_what_was_cut_before_stays_cut(planned_class: MakeClass, owner: Person) -> None:
    row = planned_class(students=1)
    aside = SetAside.objects.filter(plan=row.plan_key, piece__material__alloy="1095").get()
    cut_list.tick_cut(set_aside=aside, by=owner)
    after_class.hold_class(forge_class=row)

    back = after_class.reopen_class(forge_class=row)

    aside.refresh_from_db()
    assert (back.set_aside, back.unplanned, aside.state) == (4, 0, "cut")


@pytest.mark.slow
def test_metal_of_a_cancelled_plan_does_not_come_back(planned_class: MakeClass) -> None:
    row = planned_class(students=1)
    planning.free_plan(forge_class=row)
    after_class.hold_class(forge_class=row)

    back = after_class.reopen_class(forge_class=row)

    assert (back.set_aside, back.unplanned) == (0, 5)


@pytest.mark.slow
def test_a_billet_that_failed_before_the_end_gets_nothing_back(
    planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=2)
    billet = row.seats.active().with_metal()[0].billet
    assert billet is not None
    history.record_step(billet=billet, kind="failed", cause="cracked", by=owner)
    after_class.hold_class(forge_class=row)

    back = after_class.reopen_class(forge_class=row)

    assert (back.set_aside, back.unplanned) == (5, 0)
    assert not SetAside.objects.filter(job=billet.job, state="standing").exists()


@pytest.mark.slow
def test_over_and_undone_twice_is_as_before(planned_class: MakeClass) -> None:
    row = planned_class(students=1)
    before = standing(row)

    for _ in range(2):
        after_class.hold_class(forge_class=row)
        after_class.reopen_class(forge_class=row)

    assert standing(row) == before


@pytest.mark.slow
def test_real_costs_rest_on_the_end_of_a_class(
    as_owner: Client, owner: Person, planned_class: MakeClass
) -> None:
    row = planned_class(students=1)
    after_class.hold_class(forge_class=row)
    class_money.set_real(forge_class=row, real={"place_cents": 12000}, by=owner)

    response = reopen(as_owner, row)

    assert "Empty those fields on its money page first" in response.text
    row.refresh_from_db()
    assert row.state == "held"


def test_a_class_that_is_not_over_has_nothing_to_undo(
    as_owner: Client, planned_class: MakeClass
) -> None:
    row = planned_class(students=1)

    response = reopen(as_owner, row)

    assert "so there is nothing to undo" in response.text


@pytest.mark.slow
def test_a_class_whose_billets_all_ended_says_that_it_ends_again(
    as_owner: Client, owner: Person, planned_class: MakeClass
) -> None:
    row = planned_class(students=1)
    billet = row.seats.active().with_metal()[0].billet
    assert billet is not None
    history.record_step(billet=billet, kind="failed", cause="cracked", by=owner)
    after_class.hold_if_ended(row)

    assert "the next outcome written down ends it again" in reopen(as_owner, row).text


@pytest.mark.parametrize("who", ["as_helper", "client"])
def test_only_an_owner_undoes_it(
    who: str, request: pytest.FixtureRequest, planned_class: MakeClass
) -> None:
    row = planned_class(students=1)
    after_class.hold_class(forge_class=row)
    client = request.getfixturevalue(who)
    if who == "client":
        client.logout()

    reopen(client, row)

    row.refresh_from_db()
    assert row.state == "held"


def test_it_is_undone_by_post_only(as_owner: Client, planned_class: MakeClass) -> None:
    row = planned_class(students=1)

    assert as_owner.get(reverse("shop:class-reopen", args=[row.pk])).status_code == 405


@pytest.mark.slow
def test_the_button_is_for_owners(
    as_owner: Client, helper: Person, planned_class: MakeClass
) -> None:
    row = planned_class(students=1)
    after_class.hold_class(forge_class=row)
    address = reverse("shop:class-detail", args=[row.pk])

    assert "Undo that it is over" in as_owner.get(address).text
    as_owner.force_login(helper)
    assert "Undo that it is over" not in as_owner.get(address).text
