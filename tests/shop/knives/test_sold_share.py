"""What a sold knife carries of its billet stands still, whoever joins the billet later."""

from __future__ import annotations

from datetime import date

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from billets.history import writing as history
from billets.models import Measurement
from shop.costing.knife import Kept, length_of, shares_beside_sold
from shop.knives import cost
from shop.knives import writing as knives
from shop.models import Knife
from shop.rates import writing as rates
from stock import clock
from stock.house import House
from stock.ledger import by_hand
from tests.conftest import IN
from tests.kinds import Billet, Client, MakeLayup, MakePiece, Person, Saw
from tests.shop.knife_posts import page

DAY = date(2026, 4, 1)


@pytest.fixture
def billet(owner: Person, make_layup: MakeLayup, make_bar: MakePiece, saw: Saw) -> Billet:
    """A billet of 36.00 of metal."""
    made = history.make_billet(layup=make_layup(), by=owner)
    by_hand.cut_by_hand(
        piece=make_bar(price_cents=3600), length_nm=36 * IN, kerf_nm=0, job=made.job, by=owner
    )
    return made


def measure(billet: Billet, *, by: Person, inches: int = 10) -> None:
    """Write down how long the billet is."""
    Measurement.objects.create(
        billet=billet,
        length_nm=inches * IN,
        width_nm=IN,
        thickness_nm=IN // 4,
        by=by,
        at=clock.now(),
    )


def costs() -> list[int]:
    """What each knife costs, the oldest first."""
    return [
        cost.knife_cost(one, history=rates.history(), house=House()).cents
        for one in Knife.objects.order_by("pk")
    ]


def sell(knife: Knife) -> Knife:
    """Sell it to Ada."""
    return knives.sell(knife=knife, sold_to="Ada", sold_on=DAY, price_cents=10_000)


SHARES: list[tuple[tuple[int, ...], int | None, tuple[Kept | None, ...], tuple[int, ...], int, int]]
SHARES = [
    ((10, 0), 10, (Kept(10_000, 10), None), (10_000, 0), 0, 0),  # it took all of it
    ((4, 3), 10, (Kept(4000, 4), None), (4000, 3000), 3000, 3),
    ((4, 3), 10, (Kept(7000, 4), None), (7000, 1500), 1500, 3),  # the others share what is over
    ((0, 0), None, (Kept(5000, 0), None), (5000, 5000), 0, 0),
    ((0, 0, 0), None, (Kept(5000, 0), None, None), (5000, 2500, 2500), 0, 0),
    ((0,), None, (Kept(9000, 0),), (9000,), 1000, 0),  # money that came after the sale
    ((6,), 10, (Kept(11_000, 6),), (11_000,), -1000, 4),  # the billet costs less by now
    ((6, 2), 10, (Kept(11_000, 6), None), (11_000, 0), -1000, 2),
]


@pytest.mark.parametrize(("lengths", "whole", "sold", "cents", "rest", "rest_nm"), SHARES)
def test_open_blades_share_what_the_sold_ones_leave(
    lengths: tuple[int, ...],
    whole: int | None,
    sold: tuple[Kept | None, ...],
    cents: tuple[int, ...],
    rest: int,
    rest_nm: int,
) -> None:
    found = shares_beside_sold(10_000, lengths_nm=lengths, billet_nm=whole, sold=sold)

    assert (found.cents, found.rest_cents, found.rest_nm) == (cents, rest, rest_nm)


@pytest.mark.parametrize(
    ("place", "lengths", "whole", "length"),
    [(0, (4, 0), 10, 4), (1, (4, 0), 10, 6), (1, (4, 0, 0), 11, 3), (0, (0,), None, 0)],
)
def test_a_share_rests_on_what_it_took_or_what_the_others_leave(
    place: int, lengths: tuple[int, ...], whole: int | None, length: int
) -> None:
    assert length_of(place, lengths_nm=lengths, billet_nm=whole) == length


KEPT = st.none() | st.builds(Kept, cents=st.integers(0, 10**9), length_nm=st.integers(0, 10**10))


@given(
    cents=st.integers(0, 10**9),
    blades=st.lists(st.tuples(st.integers(0, 10**10), KEPT), min_size=1, max_size=8),
    whole=st.none() | st.integers(1, 10**11),
)
def test_sold_blades_stand_still_and_all_add_up_to_the_billet_exactly(
    cents: int, blades: list[tuple[int, Kept | None]], whole: int | None
) -> None:
    lengths, sold = [one[0] for one in blades], [one[1] for one in blades]

    found = shares_beside_sold(cents, lengths_nm=lengths, billet_nm=whole, sold=sold)

    assert sum(found.cents) + found.rest_cents == cents
    assert min(found.cents) >= 0
    for share, kept in zip(found.cents, sold, strict=True):
        assert kept is None or share == kept.cents


def test_a_sold_knife_costs_the_same_when_another_joins_its_billet(
    owner: Person, billet: Billet
) -> None:
    first = sell(knives.make_knife(pattern="petty", by=owner, billet=billet))

    knives.make_knife(pattern="paring", by=owner, billet=billet)

    assert (first.sold_share_cents, first.sold_share_nm) == (3600, 0)
    assert costs() == [3600, 0]


def test_a_later_knife_shares_what_a_sold_one_left_of_the_length(
    owner: Person, billet: Billet
) -> None:
    measure(billet, by=owner)
    sold = sell(knives.make_knife(pattern="petty", by=owner, billet=billet, length_nm=4 * IN))

    knives.make_knife(pattern="paring", by=owner, billet=billet, length_nm=3 * IN)
    measure(billet, by=owner, inches=9)

    assert (sold.sold_share_cents, sold.sold_share_nm) == (1440, 4 * IN)
    assert costs() == [1440, 1296]  # 36.00 - 14.40 for 5 in, of which 3 are taken


def test_a_sold_knife_that_took_all_of_it_leaves_no_length(owner: Person, billet: Billet) -> None:
    measure(billet, by=owner)
    sell(knives.make_knife(pattern="petty", by=owner, billet=billet))

    with pytest.raises(knives.TooLong) as refused:
        knives.make_knife(pattern="paring", by=owner, billet=billet, length_nm=IN)

    assert refused.value.left_nm == 0


def test_a_sale_taken_back_shares_anew_and_one_put_right_does_not(
    owner: Person, billet: Billet
) -> None:
    first = sell(knives.make_knife(pattern="petty", by=owner, billet=billet))
    knives.make_knife(pattern="paring", by=owner, billet=billet)

    sell(first)
    put_right = costs()
    knives.take_sale_back(knife=first)

    first.refresh_from_db()
    assert put_right == [3600, 0]
    assert costs() == [1800, 1800]
    assert (first.sold_share_cents, first.sold_share_nm) == (None, 0)


def test_a_knife_sold_before_shares_were_kept_gets_its_own_when_another_joins(
    owner: Person, billet: Billet
) -> None:
    first = knives.make_knife(pattern="petty", by=owner, billet=billet)
    Knife.objects.filter(pk=first.pk).update(sold_to="Ada", sold_on=DAY, price_cents=10_000)

    knives.make_knife(pattern="paring", by=owner, billet=billet)

    assert costs() == [3600, 0]


def test_the_blade_of_a_sold_knife_is_not_changed(
    as_owner: Client, owner: Person, billet: Billet
) -> None:
    knife = sell(knives.make_knife(pattern="petty", by=owner, billet=billet))
    about = {"pattern": "utility", "billet": str(billet.pk), "margin": "30"}

    refused = page(as_owner, "change", knife, **about, length_nm="2 in")
    named = page(as_owner, "change", knife, **about)

    knife.refresh_from_db()
    assert refused.status_code == 422
    assert "Take the sale back first" in refused.text
    assert named.status_code == 302
    assert (knife.pattern, knife.length_nm) == ("utility", 0)


@pytest.mark.slow
def test_the_page_says_what_no_knife_carries(
    as_owner: Client, owner: Person, billet: Billet, make_bar: MakePiece
) -> None:
    knife = sell(knives.make_knife(pattern="petty", by=owner, billet=billet))
    address = reverse("shop:knife-detail", args=[knife.pk])
    more = by_hand.cut_by_hand(
        piece=make_bar(price_cents=3600), length_nm=36 * IN, kerf_nm=0, job=billet.job, by=owner
    )
    after = as_owner.get(address).text
    by_hand.undo(act=more, by=owner, why="not for it")
    Knife.objects.filter(pk=knife.pk).update(sold_share_cents=4000)
    less = as_owner.get(address).text

    assert "Another $36.00 came to billet" in after
    assert "carry $4.00 more than it costs by now" in less
    assert "kept as it was sold" in less


def test_a_knife_of_bar_keeps_no_share(owner: Person) -> None:
    knife = sell(knives.make_knife(pattern="petty", by=owner))

    assert (knife.sold_share_cents, knife.sold_share_nm) == (None, 0)
