"""Hours at a knife typed for an earlier day, and its struck lines."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from shop.knives import writing as knives
from shop.models import Knife, KnifeTime
from stock import clock
from tests.kinds import Client, Person
from tests.shop.knife_posts import T0, page


@pytest.fixture
def begun(owner: Person) -> Knife:
    """A knife that was begun on 1 April."""
    with clock.as_of(T0):
        return knives.make_knife(pattern="petty", by=owner)


def test_typed_hours_belong_to_their_day(as_owner: Client, begun: Knife) -> None:
    with clock.as_of(T0 + timedelta(days=5)):
        page(as_owner, "minutes", begun, step="grind", minutes="90", day="2026-04-03")

    time = KnifeTime.objects.get()
    assert time.stopped_at is not None
    assert timezone.localdate(time.stopped_at) == date(2026, 4, 3)
    assert time.stopped_at - time.started_at == timedelta(minutes=90)


@pytest.mark.parametrize(
    ("day", "says"),
    [("2026-03-31", "was begun on 1 Apr 2026"), ("2026-04-07", "is still to come")],
)
def test_a_day_that_cannot_be_is_refused(
    as_owner: Client, begun: Knife, day: str, says: str
) -> None:
    with clock.as_of(T0 + timedelta(days=5)):
        response = page(as_owner, "minutes", begun, step="grind", minutes="90", day=day)
        shown = as_owner.get(response.url).text

    assert says in shown
    assert not KnifeTime.objects.exists()


def test_struck_lines_are_folded_with_who_struck_them(
    as_helper: Client, helper: Person, owner: Person, begun: Knife
) -> None:
    time = knives.add_minutes(knife=begun, step="grind", minutes=25, person=owner)
    old = knives.add_minutes(knife=begun, step="sheath", minutes=5, person=owner)
    page(as_helper, "time-strike", begun, time.pk)
    KnifeTime.objects.filter(pk=old.pk).update(struck_at=clock.now())  # nobody was kept then

    shown = as_helper.get(reverse("shop:knife-detail", args=[begun.pk])).text

    time.refresh_from_db()
    assert time.struck_by == helper
    assert "<summary>2 struck lines</summary>" in shown
    assert f"struck by {helper}" in shown
    assert "Sheath: 5 min" in shown
