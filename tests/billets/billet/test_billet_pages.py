"""The list of billets, planning one by itself, cutting it."""

from typing import Any

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from billets.history import writing as history
from billets.models import Billet
from stock.models import Entry, Piece
from tests.conftest import HTMX, IN
from tests.kinds import (
    ClassMetal,
    Client,
    DjangoAssertNumQueries,
    MakeBillet,
    MakeLayup,
    Person,
    Response,
    Saw,
    ShopSettings,
)


def url(name: str, *args: Any) -> str:
    """Address of a page of this floor."""
    return reverse(f"billets:{name}", args=args)


def marks_on(response: Response) -> list[str]:
    """Marks in the list, in their order."""
    page = BeautifulSoup(response.text, "html.parser")
    return [one.text for one in page.select(".billet-rows a.mark")]


def chosen(billet: Billet, stocked: ClassMetal, **changes: str) -> dict[str, str]:
    """The cutting form: a piece for each blank."""
    names = ("clad", "roll", "core", "roll", "clad")
    return {f"piece-{at}": str(stocked[name].pk) for at, name in enumerate(names)} | changes


def test_an_empty_list_says_where_billets_come_from(as_helper: Client) -> None:
    assert "No billet yet." in as_helper.get(url("billet-list")).text


def test_billets_are_found_by_stage_layup_and_mark(
    as_helper: Client, make_billet: MakeBillet, make_layup: MakeLayup
) -> None:
    first, second = make_billet(), make_billet(stage="bonded")
    other = make_billet(layup=make_layup(name="Other"))

    assert marks_on(as_helper.get(url("billet-list"))) == [other.mark, second.mark, first.mark]
    assert marks_on(as_helper.get(url("billet-list") + "?stage=bonded")) == [second.mark]
    layup = f"?layup={other.layup_id}"
    assert marks_on(as_helper.get(url("billet-list") + layup)) == [other.mark]
    typed = f"?q={first.mark.lower()[:1]}-{first.mark[1:]}"
    assert marks_on(as_helper.get(url("billet-list") + typed)) == [first.mark]


@pytest.mark.parametrize(
    "query", ["?stage=nonsense", "?layup=abc", "?layup=99999999999999", "?page=x"]
)
def test_a_filter_that_makes_no_sense_breaks_nothing(
    as_helper: Client, make_billet: MakeBillet, query: str
) -> None:
    make_billet()

    assert as_helper.get(url("billet-list") + query).status_code == 200


def test_with_htmx_the_list_alone_comes_back(as_helper: Client, make_billet: MakeBillet) -> None:
    make_billet()

    response = as_helper.get(url("billet-list"), headers=HTMX)

    assert response.text.strip().startswith('<section class="plate" id="billets">')
    assert "HX-Request" in response["Vary"]


@pytest.mark.parametrize("count", [1, 15])
def test_the_list_asks_the_database_no_more_for_many_billets(
    as_owner: Client,
    make_billet: MakeBillet,
    count: int,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    for _ in range(count):
        make_billet()

    with django_assert_max_num_queries(8):
        as_owner.get(url("billet-list"))


def test_a_billet_is_planned_without_a_class_and_asks_for_its_metal(
    as_helper: Client, make_layup: MakeLayup
) -> None:
    layup = make_layup()

    response = as_helper.post(url("billet-add"), {"layup": layup.pk, "knife": "petty, 5 in"})

    billet = Billet.objects.get()
    assert response["Location"] == url("billet-cut", billet.mark)
    assert (billet.knife, billet.layup, billet.blanks.count()) == ("petty, 5 in", layup, 5)


def test_a_stack_with_a_stop_is_planned_only_with_the_owners_reason(
    as_helper: Client, make_layup: MakeLayup, owner: Person
) -> None:
    layup = make_layup(layers=[("c10200", IN // 50, "line"), ("1095", IN // 4, "core")])

    response = as_helper.post(url("billet-add"), {"layup": layup.pk})

    assert response.status_code == 422
    assert "Mend the layup, or let the owner write down why" in response.text
    assert Billet.objects.count() == 0
    layup.override_reason, layup.override_by = "shows what runs", owner
    layup.save()
    as_helper.post(url("billet-add"), {"layup": layup.pk})
    assert Billet.objects.get().override_reason == "shows what runs"


def test_a_layup_that_was_put_away_is_not_offered(as_helper: Client, make_layup: MakeLayup) -> None:
    layup = make_layup(is_retired=True)

    response = as_helper.post(url("billet-add"), {"layup": layup.pk})

    assert response.status_code == 422
    assert Billet.objects.count() == 0


def test_a_piece_is_proposed_for_each_blank(
    as_helper: Client, make_billet: MakeBillet, stocked: ClassMetal
) -> None:
    billet = make_billet()

    page = BeautifulSoup(as_helper.get(url("billet-cut", billet.mark)).text, "html.parser")

    picked = [str(one["value"]) for one in page.select("select[name^=piece] option[selected]")]
    assert picked == list(chosen(billet, stocked).values())
    assert "Layer 3: 1095, 3/16 in, cut 6 in long" in page.text


def test_cutting_books_every_blank_at_once(
    as_helper: Client, make_billet: MakeBillet, stocked: ClassMetal, saw: Saw
) -> None:
    billet = make_billet()

    response = as_helper.post(
        url("billet-cut", billet.mark), chosen(billet, stocked, saw=str(saw.pk))
    )

    assert response["Location"] == url("billet-detail", billet.mark)
    assert history.stage(billet) == "cut"
    assert Piece.objects.get(pk=stocked["core"].pk).on_hand == 24 * IN - 6 * IN - 1_000_000
    assert Entry.objects.filter(job=billet.job, kind="blank").count() == 5


def test_the_same_cut_sent_twice_is_booked_once(
    as_helper: Client, make_billet: MakeBillet, stocked: ClassMetal
) -> None:
    billet = make_billet()
    data = chosen(billet, stocked)
    as_helper.post(url("billet-cut", billet.mark), data)

    response = as_helper.post(url("billet-cut", billet.mark), data)

    assert response.status_code == 422
    assert "is not waiting to be cut" in response.text or "Every blank" in response.text
    assert Entry.objects.filter(job=billet.job, kind="blank").count() == 5


def test_a_piece_that_is_not_offered_cannot_be_sent(
    as_helper: Client, make_billet: MakeBillet, stocked: ClassMetal
) -> None:
    billet = make_billet()
    data = chosen(billet, stocked, **{"piece-0": str(stocked["core"].pk)})

    response = as_helper.post(url("billet-cut", billet.mark), data)

    assert response.status_code == 422
    assert "This piece has changed since. Choose another." in response.text
    assert not Entry.objects.filter(job=billet.job).exists()


def test_what_the_rack_lacks_is_said_layer_by_layer(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    billet = make_billet()

    text = as_helper.get(url("billet-cut", billet.mark)).text

    assert text.count("no free piece on the rack is that alloy") == 5


@pytest.mark.parametrize("name", ["billet-list", "billet-add", "trace", "calibration"])
def test_a_stranger_sees_no_billet(client: Client, shop_row: ShopSettings, name: str) -> None:
    assert client.get(url(name)).status_code == 302


def test_a_stranger_cuts_nothing(
    client: Client, make_billet: MakeBillet, stocked: ClassMetal
) -> None:
    billet = make_billet()

    response = client.post(url("billet-cut", billet.mark), chosen(billet, stocked))

    assert "/sign-in/" in response["Location"]
    assert not Entry.objects.filter(job=billet.job).exists()
