"""The page of one piece, and every act on it: done, refused, undone."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.urls import reverse

from stock.ledger import by_hand, receiving
from stock.models import Entry, Piece
from tests.conftest import HTMX
from tests.kinds import (
    Client,
    DjangoAssertNumQueries,
    MakeMaterial,
    MakePiece,
    Person,
    Saw,
    Supplier,
)
from tests.stock.reading import act_on, read, standing

IN = 25_400_000
MM = 1_000_000
Build = Callable[..., Any]
pytestmark = pytest.mark.django_db


def page_of(client: Client, piece: Piece) -> Any:
    """The piece's page."""
    return client.get(reverse("stock:piece-detail", args=[piece.mark]))


def test_the_page_says_what_is_there_where_from_and_what_it_is_promised_to(
    as_owner: Client, make_bar: MakePiece, promise: Build
) -> None:
    bar = make_bar(length_nm=36 * IN, price_cents=2400, heat_lot="HL-7", place="rack 2")
    promise(bar, length_nm=6 * IN)

    text = " ".join(read(page_of(as_owner, bar).content).text.split())

    for said in (
        f"Bar {bar.mark}",
        "1084 · flat bar 1/8 × 1-1/4 in",
        "came as 36 in",
        "on hand 36 in 914.4 mm",
        "free 30 in",
        "set aside 6 in",
        "worth $24.00",
        "K27-1",
        "a hook",
        "rack 2",
        "Marrow & Daughter Steels",
        "HL-7",
        "received +36 in",
        "Orla",
    ):
        assert said in text, said


def test_a_helper_sees_no_money_on_it(as_helper: Client, make_bar: MakePiece) -> None:
    text = page_of(as_helper, make_bar(price_cents=2400)).text

    assert "$" not in text
    assert "worth" not in text


def test_a_typed_mark_is_put_right_and_an_unknown_one_is_not_found(
    as_owner: Client, make_bar: MakePiece
) -> None:
    bar = make_bar()

    found = as_owner.get(reverse("stock:piece-detail", args=[bar.mark.lower()]))

    assert found["Location"] == reverse("stock:piece-detail", args=[bar.mark])
    assert as_owner.get(reverse("stock:piece-detail", args=["XY77"])).status_code == 404
    assert as_owner.get(reverse("stock:piece-detail", args=["9999999"])).status_code == 404


def test_strangers_and_gets_do_nothing(client: Client, make_bar: MakePiece, helper: Person) -> None:
    bar = make_bar(length_nm=36 * IN)
    url = reverse("stock:piece-act", args=[bar.mark, "cut"])

    stranger = client.post(url, {"cut-length_nm": "9 in"})
    client.force_login(helper)
    read = client.get(url)

    assert "/sign-in/" in stranger["Location"]
    assert read.status_code == 405
    assert standing(bar)[0] == 36 * IN


def test_a_length_is_cut_for_a_job_with_the_saws_kerf(
    as_owner: Client, make_bar: MakePiece, saw: Saw
) -> None:
    bar = make_bar(length_nm=36 * IN, price_cents=2400)

    response = act_on(
        as_owner, bar, "cut", length_nm="9 1/2", saw=str(saw.pk), job="a hook", why="for the door"
    )

    assert response["Location"] == reverse("stock:piece-detail", args=[bar.mark])
    kinds = dict(bar.entries.exclude(kind="received").values_list("kind", "amount"))
    assert kinds == {"blank": -241_300_000, "kerf": -1_000_000}
    assert set(bar.entries.exclude(job="").values_list("job", "why")) == {
        ("a hook", "for the door")
    }


def test_without_a_job_the_length_is_scrap(as_owner: Client, make_bar: MakePiece) -> None:
    bar = make_bar(length_nm=36 * IN, price_cents=2400)

    act_on(as_owner, bar, "cut", length_nm="1 in", saw="")

    assert bar.entries.get(kind="scrap").amount == -IN


def test_an_end_too_short_to_keep_is_said_to_be_scrap(
    as_owner: Client, make_bar: MakePiece
) -> None:
    bar = make_bar(length_nm=10 * IN, price_cents=1000)

    response = as_owner.post(
        reverse("stock:piece-act", args=[bar.mark, "cut"]),
        {"cut-length_nm": "9 in", "cut-saw": "", "cut-job": "a hook"},
        follow=True,
    )

    assert standing(bar) == (0, 0)
    assert "What was left was too short to keep" in response.text


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("40 in", "36 in (914.4 mm) free"),
        ("0", "not above 0"),
        ("-3", "is below 0"),
        ("1e9 in", "1e9 in"),
        ("nan", "nan"),
        ("9**9**9 mm", "9**9**9 mm"),
        ("", "is needed"),
    ],
)
def test_a_cut_that_cannot_be_comes_back_as_typed_with_a_sentence(
    as_owner: Client, make_bar: MakePiece, typed: str, told: str
) -> None:
    bar = make_bar(length_nm=36 * IN)

    response = act_on(as_owner, bar, "cut", length_nm=typed, saw="", job="a <hook>", why="")

    page = read(response.content)
    field = page.select_one("#id_cut-length_nm")
    assert response.status_code == 422
    assert field is not None
    assert field.get("value", "") == typed
    assert page.select_one("#id_cut-job")["value"] == "a <hook>"
    assert told in field.parent.text
    assert field.find_parent("details").has_attr("open")
    assert standing(bar)[0] == 36 * IN


def test_a_job_of_the_app_itself_cannot_be_typed(as_owner: Client, make_bar: MakePiece) -> None:
    bar = make_bar()

    response = act_on(as_owner, bar, "cut", length_nm="1 in", saw="", job="class:3")

    assert response.status_code == 422
    assert "without a colon" in response.text
    assert bar.entries.count() == 1


def test_htmx_gets_the_piece_alone_with_what_was_done(
    as_owner: Client, make_bar: MakePiece
) -> None:
    bar = make_bar(length_nm=36 * IN)
    url = reverse("stock:piece-act", args=[bar.mark, "cut"])

    done = as_owner.post(url, {"cut-length_nm": "6", "cut-job": "a hook"}, headers=HTMX)
    refused = as_owner.post(url, {"cut-length_nm": "60", "cut-job": "a hook"}, headers=HTMX)

    assert done.status_code == 200
    assert done.text.lstrip().startswith('<div class="shelves" id="piece">')
    assert "6 in of" in done.text
    assert "cut for a hook" in done.text
    assert refused.status_code == 422
    assert "<html" not in refused.text


def test_a_bar_is_parted_and_says_what_to_paint(
    as_owner: Client, make_bar: MakePiece, saw: Saw
) -> None:
    bar = make_bar(length_nm=36 * IN)

    act_on(as_owner, bar, "part", length_nm="12 in", saw=str(saw.pk))

    end = bar.offcuts.get()
    assert (end.on_hand, standing(bar)[0]) == (12 * IN, 24 * IN - MM)
    assert f"Paint {end.mark} on what was cut off" in page_of(as_owner, bar).text


def test_an_act_that_does_not_suit_the_piece_is_turned_away(
    as_owner: Client, sheet: Piece, spool: Piece
) -> None:
    act_on(as_owner, sheet, "cut", length_nm="1 in")
    act_on(as_owner, spool, "part", length_nm="1 in")
    response = act_on(as_owner, spool, "melt")

    assert response.status_code == 302
    assert Entry.objects.exclude(kind="received").count() == 0


def test_the_latest_act_is_undone_from_the_page(as_owner: Client, make_bar: MakePiece) -> None:
    bar = make_bar(length_nm=36 * IN, price_cents=2400)
    act_on(as_owner, bar, "cut", length_nm="6", job="a hook")
    page = read(page_of(as_owner, bar).content)
    form = page.select_one('form.inline[action*="/undo/"]')
    assert form is not None

    back = page.select_one('form.inline input[name="next"]')["value"]
    response = as_owner.post(form["action"], {"next": back})

    assert response["Location"] == reverse("stock:piece-detail", args=[bar.mark])
    assert standing(bar) == (36 * IN, 2400)


def test_a_line_says_how_many_other_pieces_its_act_moved(
    as_owner: Client, make_material: MakeMaterial, supplier: Supplier, owner: Person
) -> None:
    line = receiving.Line(material=make_material(), count=3, price_cents=30, length_nm=36 * IN)
    first = receiving.buy(
        supplier=supplier, lines=[line], delivery_cents=0, on=date(2026, 3, 2), by=owner
    )[0]

    text = page_of(as_owner, first).text

    assert "and 2 other pieces with it" in text
    assert "takes the whole act back, with 2 other pieces" in text


def test_the_field_that_is_wrong_is_looked_at(as_owner: Client, make_bar: MakePiece) -> None:
    response = act_on(as_owner, make_bar(), "count", counted="35 in", why="")

    assert [one["id"] for one in read(response.content).select("[autofocus]")] == ["id_count-why"]


def test_a_piece_with_a_long_history_takes_few_queries(
    as_owner: Client,
    make_bar: MakePiece,
    owner: Person,
    promise: Build,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    bar = make_bar(length_nm=90 * IN)
    for _ in range(20):
        by_hand.part(piece=bar, length_nm=IN, kerf_nm=MM, by=owner)
        promise(bar, length_nm=IN)

    with django_assert_max_num_queries(14):
        page_of(as_owner, bar)
