"""A list of what to buy holds while nothing it rests on changes: what was ordered may come."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.urls import reverse

from shop.buying.facts import Asked, Stocked
from shop.models import ForgeClass
from stock import clock
from stock.ledger import by_hand, receiving
from stock.materials.reorder import Change
from stock.models import Material, Offer, Purchase, Supplier
from tests.kinds import ClassMetal, Client, MakeClass, Person
from tests.shop.buying.test_buying_pages import BUYING, IN, look, order

LOOK_AGAIN = "has changed since"
JUNE = date(2026, 6, 1)


@pytest.fixture
def two_shorts(
    class_metal: ClassMetal,
    make_class: MakeClass,
    weighed_here: None,
    supplier: Supplier,
    owner: Person,
) -> ForgeClass:
    """Three students; cladding is sold by one supplier, core by another, and both are short."""
    by_hand.scrap(piece=class_metal["core"], amount=30 * IN, why="bent", by=owner)
    cladding, core = (class_metal[name].material for name in ("cladding", "core"))
    other = Supplier.objects.create(name="Quarry Lane Metals", days_to_deliver=9)
    Offer.objects.create(supplier=supplier, material=cladding, price_cents=900, length_nm=12 * IN)
    Offer.objects.create(supplier=other, material=core, price_cents=2000, length_nm=36 * IN)
    day = clock.today() + timedelta(days=40)
    row: ForgeClass = make_class(students=3, starts_on=day, ends_on=day)
    return row


def received(*, by: Person) -> None:
    """The order that is to come is here."""
    receiving.receive(purchase=Purchase.objects.get(state="ordered"), on=clock.today(), by=by)


@pytest.mark.slow
def test_after_one_order_came_the_other_can_still_be_placed(
    as_owner: Client, owner: Person, two_shorts: ForgeClass, supplier: Supplier
) -> None:
    run = look(as_owner)
    order(as_owner, run, supplier.name)
    received(by=owner)

    page = as_owner.get(BUYING)

    assert not page.context["is_stale"]
    assert [one.is_ordered for one in page.context["lacks"]].count(True) == 1
    assert "Order from Quarry Lane Metals" in page.text
    order(as_owner, run, "Quarry Lane Metals")
    assert Purchase.objects.filter(state="ordered").count() == 1


@pytest.mark.slow
def test_what_came_by_its_page_leaves_the_list_as_it_is(
    as_owner: Client, two_shorts: ForgeClass, supplier: Supplier
) -> None:
    order(as_owner, look(as_owner), supplier.name)
    purchase = Purchase.objects.get(state="ordered")

    as_owner.post(
        reverse("stock:purchase-receive", args=[purchase.pk]),
        {f"place-{purchase.lines.get().pk}": "rack 4"},
    )

    assert not as_owner.get(BUYING).context["is_stale"]


@pytest.mark.slow
def test_what_came_and_was_cut_at_once_makes_the_list_stale(
    as_owner: Client, owner: Person, two_shorts: ForgeClass, supplier: Supplier
) -> None:
    order(as_owner, look(as_owner), supplier.name)
    received(by=owner)
    piece = Material.objects.get(alloy="1084").pieces.latest("id")
    by_hand.scrap(piece=piece, amount=IN, why="dented", by=owner)

    page = as_owner.get(BUYING)

    assert page.context["is_stale"]


@pytest.mark.slow
def test_a_dropped_order_makes_the_list_stale(
    as_owner: Client, two_shorts: ForgeClass, supplier: Supplier
) -> None:
    order(as_owner, look(as_owner), supplier.name)
    receiving.drop(purchase=Purchase.objects.get(state="ordered"))

    assert as_owner.get(BUYING).context["is_stale"]


@pytest.mark.slow
def test_on_the_next_day_it_holds_and_says_the_days_anew(
    as_owner: Client, two_shorts: ForgeClass
) -> None:
    ForgeClass.objects.update(starts_on=date(2026, 6, 27), ends_on=date(2026, 6, 27))
    with clock.as_of(datetime(2026, 6, 1, 12, tzinfo=UTC)):
        first = as_owner.post(BUYING, follow=True)
    with clock.as_of(datetime(2026, 6, 2, 12, tzinfo=UTC)):
        second = as_owner.get(BUYING)

    assert "here Wed 10 Jun" in first.text
    assert not second.context["is_stale"]
    assert "here Thu 11 Jun" in second.text


@pytest.mark.slow
def test_once_a_supplier_is_too_slow_it_holds_no_more(
    as_owner: Client, two_shorts: ForgeClass
) -> None:
    ForgeClass.objects.update(starts_on=date(2026, 6, 27), ends_on=date(2026, 6, 27))
    with clock.as_of(datetime(2026, 6, 1, 12, tzinfo=UTC)):
        look(as_owner)

    # Metal is wanted by Wednesday the 24th; nine days before that is the 15th.
    with clock.as_of(datetime(2026, 6, 15, 12, tzinfo=UTC)):
        assert not as_owner.get(BUYING).context["is_stale"]
    with clock.as_of(datetime(2026, 6, 16, 12, tzinfo=UTC)):
        assert as_owner.get(BUYING).context["is_stale"]


def facts(*, on_hand: int, level: int, changes: tuple[Change, ...], day: date = JUNE) -> Asked:
    """Facts about one material with a level, and nothing else."""
    stocked = Stocked("1", "copper", "roll", (1,), on_hand, level, changes)
    return Asked(day, 0, (), (), (), (), (), (stocked,), {})


TAKEN = Change(date(2026, 6, 20), -300, "June class")


def test_an_order_that_comes_before_the_next_class_changes_nothing_of_a_level() -> None:
    to_come = Change(date(2026, 6, 10), 400, "on order")

    before = facts(on_hand=500, level=200, changes=(TAKEN, to_come))
    after = facts(on_hand=900, level=200, changes=(TAKEN,))

    assert before.fingerprint() == after.fingerprint()


def test_an_order_that_lifts_it_over_its_level_changes_the_list() -> None:
    to_come = Change(date(2026, 6, 10), 400, "on order")

    before = facts(on_hand=100, level=200, changes=(TAKEN, to_come))
    after = facts(on_hand=500, level=200, changes=(TAKEN,))

    assert before.fingerprint() != after.fingerprint()


def test_an_order_that_was_to_come_after_the_class_changes_the_list() -> None:
    to_come = Change(date(2026, 6, 25), 400, "on order")

    before = facts(on_hand=500, level=200, changes=(TAKEN, to_come))
    after = facts(on_hand=900, level=200, changes=(TAKEN,))

    assert before.fingerprint() != after.fingerprint()


def test_another_amount_taken_changes_the_list() -> None:
    more = Change(date(2026, 6, 20), -301, "June class")

    before = facts(on_hand=500, level=200, changes=(TAKEN,))

    assert before.fingerprint() != facts(on_hand=500, level=200, changes=(more,)).fingerprint()
