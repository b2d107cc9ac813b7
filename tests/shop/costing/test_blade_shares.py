"""Several blades of one billet: shares to the cent, also while part of it is unused."""

from __future__ import annotations

from datetime import date

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from billets.history import writing as history
from billets.models import Measurement, Step, StepKind
from shop.costing.knife import BladeShares, blade_shares, left_nm
from shop.knives import cost as knife_cost
from shop.knives import share
from shop.knives import writing as knives
from shop.models import Knife
from shop.rates import writing as rates
from stock import clock
from stock.house import House
from stock.ledger import by_hand
from tests.conftest import IN
from tests.kinds import Billet, Client, MakeLayup, MakePiece, Person, Saw
from tests.shop.knife_posts import page


@pytest.mark.parametrize(
    ("lengths", "whole", "cents", "rest"),
    [
        ((4, 3), 10, (4000, 3000), 3000),  # three tenths are not used yet
        ((4, 6), 10, (4000, 6000), 0),
        ((4, 0), 10, (4000, 6000), 0),  # no length: what the other leaves
        ((4, 0, 0), 10, (4000, 3000, 3000), 0),
        ((4, 2), None, (6667, 3333), 0),  # nobody measured: among themselves
        ((0, 0, 0), None, (3334, 3333, 3333), 0),
        ((4, 0), None, (5000, 5000), 0),
        ((0,), 10, (10000,), 0),
        ((6, 6), 10, (5000, 5000), 0),  # measured shorter later on
        ((), 10, (), 10000),
    ],
)
def test_a_billet_is_shared_by_length(
    lengths: tuple[int, ...], whole: int | None, cents: tuple[int, ...], rest: int
) -> None:
    found = blade_shares(10_000, lengths_nm=lengths, billet_nm=whole)

    assert (found.cents, found.rest_cents) == (cents, rest)


@given(
    cents=st.integers(0, 10**9),
    lengths=st.lists(st.integers(0, 10**10), min_size=1, max_size=8),
    whole=st.none() | st.integers(1, 10**11),
)
def test_blades_and_rest_add_up_to_the_billet_exactly(
    cents: int, lengths: list[int], whole: int | None
) -> None:
    found = blade_shares(cents, lengths_nm=lengths, billet_nm=whole)

    assert sum(found.cents) + found.rest_cents == cents
    assert min(*found.cents, found.rest_cents, 0) == 0


def test_what_is_left_is_known_only_of_a_measured_billet() -> None:
    assert left_nm(10, taken_nm=[3, 4]) == 3
    assert left_nm(10, taken_nm=[8, 4]) == 0
    assert left_nm(None, taken_nm=[3]) is None
    assert BladeShares(()).rest_cents == 0


@pytest.fixture
def billet(owner: Person, make_layup: MakeLayup, make_bar: MakePiece, saw: Saw) -> Billet:
    """A billet of 36.00 of metal, measured 10 in long."""
    made = history.make_billet(layup=make_layup(), by=owner)
    by_hand.cut_by_hand(
        piece=make_bar(price_cents=3600), length_nm=36 * IN, kerf_nm=0, job=made.job, by=owner
    )
    Measurement.objects.create(
        billet=made, length_nm=10 * IN, width_nm=IN, thickness_nm=IN // 4, by=owner, at=clock.now()
    )
    return made


def test_a_knife_of_half_a_billet_leaves_half_of_its_cost(
    as_owner: Client, owner: Person, billet: Billet
) -> None:
    knife = knives.make_knife(pattern="petty", by=owner, billet=billet, length_nm=5 * IN)

    cost = knife_cost.knife_cost(knife, history=rates.history(), house=House())
    shown = as_owner.get(reverse("shop:knife-detail", args=[knife.pk])).text

    assert (cost.cents, cost.rest_cents) == (1800, 1800)
    assert "5 in of its 10 in; 5 in of it is left" in shown
    assert "carries another $18.00" in shown


def test_more_of_a_billet_than_is_left_is_refused_by_the_length(
    as_owner: Client, owner: Person, billet: Billet
) -> None:
    first = knives.make_knife(pattern="petty", by=owner, billet=billet, length_nm=7 * IN)
    form = {"pattern": "paring", "billet": str(billet.pk), "length_nm": "3-1/2 in", "margin": "30"}

    finished(billet, by=owner)
    response = as_owner.post(reverse("shop:knife-add"), form)

    assert response.status_code == 422
    assert "3-1/2 in was given, and 3 in of billet" in response.text
    assert list(Knife.objects.all()) == [first]


def finished(billet: Billet, *, by: Person) -> None:
    """Bring a billet to where a knife may be made of it."""
    Step.objects.create(billet=billet, kind=StepKind.FINISHED, by=by, at=clock.now())


def test_a_knife_may_keep_its_own_length_when_it_is_changed(
    as_owner: Client, owner: Person, billet: Billet
) -> None:
    knife = knives.make_knife(pattern="petty", by=owner, billet=billet, length_nm=10 * IN)
    about = {"pattern": "utility", "billet": str(billet.pk), "margin": "30"}

    page(as_owner, "change", knife, **about, length_nm="10 in")
    refused = page(as_owner, "change", knife, **about, length_nm="11 in")

    knife.refresh_from_db()
    assert knife.pattern == "utility"
    assert refused.status_code == 422
    assert knife.length_nm == 10 * IN


def test_a_sale_pays_the_card_fee_of_its_own_day(owner: Person, knife: Knife) -> None:
    rates.set_rates(from_date=date(2020, 1, 1), values={"card_fee_bp": 300}, by=owner)
    rates.set_rates(from_date=date(2035, 1, 1), values={"card_fee_bp": 500}, by=owner)

    old = knives.sell(knife=knife, sold_to="Ada", sold_on=date(2026, 4, 1), price_cents=10_000)
    before = knife_cost.knife_cost(old, history=rates.history(), house=House())
    new = knives.sell(knife=knife, sold_to="Ada", sold_on=date(2036, 4, 1), price_cents=10_000)
    after = knife_cost.knife_cost(new, history=rates.history(), house=House())

    assert before.brought is not None
    assert after.brought is not None
    assert (before.brought.profit_cents, after.brought.profit_cents) == (9700, 9500)


def test_a_billet_measured_shorter_since_lets_its_knife_be_changed(
    as_owner: Client, owner: Person, billet: Billet
) -> None:
    knife = knives.make_knife(pattern="petty", by=owner, billet=billet, length_nm=10 * IN)
    Measurement.objects.create(
        billet=billet,
        length_nm=9 * IN,
        width_nm=IN,
        thickness_nm=IN // 4,
        by=owner,
        at=clock.now(),
    )
    about = {"pattern": "utility", "billet": str(billet.pk), "margin": "30", "length_nm": "10 in"}

    page(as_owner, "change", knife, **about)

    knife.refresh_from_db()
    cost = knife_cost.knife_cost(knife, history=rates.history(), house=House())
    assert knife.pattern == "utility"
    assert (cost.cents, cost.rest_cents) == (3600, 0)


def test_a_share_is_told_in_words(owner: Person, billet: Billet) -> None:
    def told() -> list[str]:
        return [share.share_words(one, house=House()) for one in Knife.objects.order_by("pk")]

    first = knives.make_knife(pattern="petty", by=owner, billet=billet)
    alone = told()
    knives.make_knife(pattern="paring", by=owner, billet=billet)
    both = told()
    knives.change_knife(knife=first, changes={"length_nm": 4 * IN})
    one_said = told()
    knives.make_knife(pattern="bird and trout", by=owner, billet=billet)

    names = [str(one) for one in Knife.objects.order_by("pk")]
    assert alone == ["all of it"]
    assert both == [
        f"an equal share; shared with {names[1]}",
        f"an equal share; shared with {names[0]}",
    ]
    assert one_said == [
        f"4 in of its 10 in; shared with {names[1]}",
        f"what the others leave; shared with {names[0]}",
    ]
    assert told()[2].startswith("an equal share of what the others leave; shared with")
