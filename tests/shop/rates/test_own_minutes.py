"""The shop's own usual times: offered from five billets on, taken over by the owner's own hand."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from billets.history import writing as history
from billets.hours import writing as hours
from billets.models import Billet
from shop.models import RateSheet
from shop.rates import writing as rates
from shop.rates.own_minutes import own_minutes
from shop.rates.own_times import OwnTime, own_time
from tests.kinds import Client, MakeClass, MakeLayup, Person

Build = Callable[..., Billet]


@pytest.fixture
def worked(make_layup: MakeLayup, owner: Person) -> Build:
    """A billet that was welded shut in so many minutes of cutting, cleaning, welding."""
    layup = make_layup()

    def build(cut: int, clean: int, weld: int, *, is_welded: bool = True) -> Billet:
        billet = history.make_billet(layup=layup, by=owner)
        for kind in ("cut", "cleaned", *(["welded"] if is_welded else [])):
            history.record_step(billet=billet, kind=kind, by=owner)
        for step, minutes in (("cut", cut), ("clean", clean), ("weld", weld)):
            if minutes:
                hours.add_minutes(billets=[billet], step=step, minutes=minutes, person=owner)
        return billet

    return build


@pytest.mark.parametrize(
    ("seconds", "found"),
    [
        ([600, 540, 480, 2400, 660], OwnTime(600, 5)),
        ([100, 200, 300, 400, 500, 601], OwnTime(350, 6)),
        ([1, 2, 3, 4], None),
        ([], None),
    ],
)
def test_the_median_wants_five_billets(seconds: list[int], found: OwnTime | None) -> None:
    assert own_time(seconds) == found


def test_a_time_is_offered_as_it_is_typed() -> None:
    assert OwnTime(570, 5).minutes == "9.5"
    assert OwnTime(1800, 5).minutes == "30"


@pytest.mark.slow
def test_four_billets_offer_nothing_and_five_do(worked: Build) -> None:
    for cut in (7, 8, 9, 30):
        worked(cut, 12, 20)
    four = own_minutes()

    worked(10, 12, 20)
    five = own_minutes()

    assert (four.steps, four.before_class) == ((), None)
    assert five.typed() == {"cut_s": "9", "clean_s": "12", "weld_s": "20"}
    # 39, 40, 41, 42 and 62 minutes.
    assert five.before_class == OwnTime(41 * 60, 5)


def test_a_billet_that_is_not_welded_yet_does_not_count_for_welding(worked: Build) -> None:
    for _ in range(4):
        worked(8, 12, 20)
    worked(8, 12, 3, is_welded=False)

    found = own_minutes()

    assert found.typed() == {"cut_s": "8", "clean_s": "12"}
    assert found.before_class is None


@pytest.mark.slow
def test_a_billet_without_hours_at_one_step_is_left_out_of_the_whole(worked: Build) -> None:
    for _ in range(4):
        worked(8, 12, 20)
    worked(8, 0, 20)

    found = own_minutes()

    assert set(found.typed()) == {"cut_s", "weld_s"}
    assert found.before_class is None


@pytest.mark.slow
def test_the_rates_offer_them_and_the_owner_decides(
    as_owner: Client, owner: Person, worked: Build
) -> None:
    rates.set_rates(from_date=date(2020, 1, 1), values={"cut_s": 600}, by=owner)
    for _ in range(5):
        worked(8, 12, 20)

    plain = as_owner.get(reverse("shop:rates"))
    taken = as_owner.get(reverse("shop:rates"), {"own": "1"})

    assert "cut 8 min" in " ".join(BeautifulSoup(plain.text, "html.parser").text.split())
    assert cut_field(plain.text) == "10"
    assert cut_field(taken.text) == "8"
    assert RateSheet.objects.get().values == {"cut_s": 600}


def cut_field(page: str) -> str:
    """What stands in the field for cutting."""
    field = BeautifulSoup(page, "html.parser").select_one('input[name="cut_s"]')
    assert field is not None
    return str(field["value"])


@pytest.mark.slow
def test_without_five_the_rates_say_what_it_takes(as_owner: Client) -> None:
    page = as_owner.get(reverse("shop:rates")).text

    assert "Once five billets have hours written down at a step" in page


@pytest.mark.slow
@pytest.mark.parametrize(("who", "has_link"), [("owner", True), ("helper", False)])
def test_the_dates_tell_them_beside_the_usual_minutes(
    request: pytest.FixtureRequest,
    client: Client,
    worked: Build,
    make_class: MakeClass,
    who: str,
    has_link: bool,
) -> None:
    client.force_login(request.getfixturevalue(who))
    for _ in range(5):
        worked(8, 12, 20)
    row = make_class(
        layup=Billet.objects.latest("pk").layup,
        starts_on=date(2199, 5, 9),
        ends_on=date(2199, 5, 10),
    )

    page = client.get(reverse("shop:class-dates", args=[row.pk])).text

    assert "Written down at the shop’s last 5 billets: 40 min each, the median" in page
    assert ("put it into the rates" in page) is has_link
