"""Long pages lead on themselves with plain links, and fold what is seldom wanted."""

from __future__ import annotations

from typing import Any

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from billets.models import Billet, Layup
from shop.class_money import writing as class_money
from shop.models import ForgeClass
from tests.kinds import Client, MakeClass, Person


def page_at(client: Client, name: str, *args: Any) -> BeautifulSoup:
    """A page, read."""
    return BeautifulSoup(client.get(reverse(name, args=args)).text, "html.parser")


def jumps_of(page: BeautifulSoup) -> list[str]:
    """The ids that the row of links under the head names."""
    return [str(link["href"]).removeprefix("#") for link in page.select("nav.jumps a")]


@pytest.fixture
def billet(planned_class: MakeClass) -> Billet:
    """A billet of a planned class."""
    planned_class(students=1)
    return Billet.objects.order_by("id")[0]


@pytest.mark.slow
def test_the_links_under_a_billets_head_lead_to_its_parts_in_their_order(
    as_helper: Client, billet: Billet
) -> None:
    page = page_at(as_helper, "billets:billet-detail", billet.mark)

    assert jumps_of(page) == [
        "hours",
        "size",
        "heats",
        "stack",
        "heat",
        "press",
        "line",
        "treatment",
        "origins",
    ]
    ids = [str(part["id"]) for part in page.select("main [id]")]
    places = [ids.index(name) for name in jumps_of(page)]
    assert places == sorted(places)


@pytest.mark.slow
def test_the_links_under_a_layups_head_lead_to_parts_that_are_there(
    as_helper: Client, billet: Billet
) -> None:
    layup = Layup.objects.get()

    page = page_at(as_helper, "billets:layup-edit", layup.pk)

    assert jumps_of(page)[:5] == ["layers", "blanks", "sizes", "save", "before"]
    assert [name for name in jumps_of(page) if page.find(id=name) is None] == []


@pytest.mark.slow
def test_a_new_layup_has_no_link_to_what_does_not_follow_yet(
    as_helper: Client, billet: Billet
) -> None:
    page = page_at(as_helper, "billets:layup-add")

    assert [name for name in jumps_of(page) if page.find(id=name) is None] == []


@pytest.mark.slow
@pytest.mark.parametrize(("state", "is_folded"), [("open", False), ("held", True)])
def test_spares_are_folded_once_the_class_is_over(
    as_owner: Client, make_class: MakeClass, owner: Person, state: str, is_folded: bool
) -> None:
    row = make_class()
    class_money.set_terms(forge_class=row, changes={"fee_cents": 40000}, by=owner)
    ForgeClass.objects.filter(pk=row.pk).update(state=state)

    page = page_at(as_owner, "shop:class-money", row.pk)

    plate = page.select_one("#spares")
    assert plate is not None
    folded = plate.select_one("details:not([open])")
    assert (folded is not None and folded.find("table") is not None) is is_folded
    assert "spares" in jumps_of(page)


@pytest.mark.slow
def test_why_a_billet_failed_is_folded_until_something_is_typed_there(
    as_helper: Client, billet: Billet
) -> None:
    row = ForgeClass.objects.get()

    before = page_at(as_helper, "shop:after-class", row.pk)
    sent = as_helper.post(
        reverse("shop:after-class", args=[row.pk]),
        {"spool": "", f"b{billet.pk}-note": "a bare note"},
    )

    assert before.select_one(".outcome details[open]") is None
    after = BeautifulSoup(sent.text, "html.parser")
    open_fold = after.select_one(".outcome details[open]")
    assert open_fold is not None
    assert open_fold.select_one(f"[name=b{billet.pk}-note]") is not None
