"""The rack's page: what is there, what of it is free, found with a script and without."""

from collections.abc import Callable
from typing import Any

import pytest
from django.urls import reverse

from stock.ledger import by_hand
from stock.models import Piece
from tests.conftest import HTMX
from tests.kinds import (
    Client,
    DjangoAssertNumQueries,
    MakeMaterial,
    MakePiece,
    Person,
    ShopSettings,
    Supplier,
)
from tests.stock.reading import read

IN = 25_400_000
Build = Callable[..., Any]
pytestmark = pytest.mark.django_db
RACK = "/rack/"


def seen(client: Client, **asked: str) -> Any:
    """The page as a reader takes it in."""
    response = client.get(RACK, asked)
    assert response.status_code == 200
    return read(response.content)


def marks_seen(client: Client, **asked: str) -> set[str]:
    """Marks of the pieces that the page lists."""
    return {one.text for one in seen(client, **asked).select("#rack a.mark")}


def test_a_stranger_is_sent_to_the_sign_in(client: Client, shop_row: ShopSettings) -> None:
    response = client.get(RACK)

    assert response.status_code == 302
    assert "/sign-in/" in response["Location"]


def test_an_empty_rack_says_how_to_begin(as_owner: Client) -> None:
    page = seen(as_owner)

    assert "Nothing is on the rack yet" in page.text
    assert len(page.select(f'#main a[href="{reverse("stock:receive")}"]')) == 1


def test_bars_are_summed_up_by_alloy_and_section(
    as_owner: Client, make_bar: MakePiece, promise: Build
) -> None:
    bar = make_bar(length_nm=36 * IN, price_cents=2400)
    make_bar(length_nm=20 * IN, price_cents=1000)
    promise(bar, length_nm=6 * IN)

    group = seen(as_owner).select_one("#rack .plate")

    assert group is not None
    assert " ".join(group.header.text.split()) == (
        "1084 · flat bar 1/8 × 1-1/4 in 50 in free of 56 in · 2 pieces · longest 30 in · $34.00"
    )


def test_each_piece_is_drawn_to_the_scale_of_the_longest_with_its_promises_striped(
    as_owner: Client, make_bar: MakePiece, promise: Build
) -> None:
    long = make_bar(length_nm=40 * IN)
    short = make_bar(length_nm=10 * IN)
    promise(long, length_nm=4 * IN)
    page = seen(as_owner)

    drawn = {
        row.select_one("a.mark").text: [
            (part["class"][0], part["x"], part["width"]) for part in row.select("svg rect")
        ]
        for row in page.select("ul.pieces li")
    }

    assert drawn[long.mark] == [("is-aside", "0.0%", "10.0%"), ("is-free", "10.0%", "90.0%")]
    assert drawn[short.mark] == [("is-free", "0.0%", "25.0%")]
    label = page.select_one("ul.pieces svg")["aria-label"]
    assert label == f"{long.mark}: 40 in, 4 in set aside, 36 in free"


def test_sheets_are_small_rectangles_with_their_size_and_area(
    as_owner: Client, sheet: Piece
) -> None:
    row = seen(as_owner).select_one("ul.offcuts li")

    assert row is not None
    assert (row.svg["width"], row.svg["height"]) == ("220.0", "110.0")
    assert " ".join(row.select_one(".length").text.split()) == "6 × 12 in72 in²"


def test_wire_and_counted_things_have_groups_of_their_own(
    as_owner: Client, spool: Piece, box: Piece
) -> None:
    titles = [one.text for one in seen(as_owner).select("#rack h2")]

    assert titles == ["ER70S-6 filler wire · wire 0.035 in", "Counted things"]
    assert "belts 36 grit" in seen(as_owner).text
    assert "10 lb" in seen(as_owner, form="wire").text


def test_a_helper_sees_no_money(as_helper: Client, make_bar: MakePiece) -> None:
    make_bar(price_cents=2400)

    text = seen(as_helper).text

    assert "$" not in text
    assert "worth" not in text


@pytest.mark.slow
def test_the_filters_narrow_the_list(
    as_owner: Client, make_bar: MakePiece, roll: Piece, promise: Build
) -> None:
    first = make_bar(place="rack 2")
    other = make_bar(alloy="1095", place="rack 3", heat_lot="HL-77")
    promise(other, length_nm=36 * IN)

    assert marks_seen(as_owner) == {first.mark, other.mark, roll.mark}
    assert marks_seen(as_owner, form="roll") == {roll.mark}
    assert marks_seen(as_owner, alloy="1095") == {other.mark}
    assert marks_seen(as_owner, place="rack 2") == {first.mark}
    assert marks_seen(as_owner, free="1") == {first.mark, roll.mark}
    assert marks_seen(as_owner, q="hl-77") == {other.mark}
    assert marks_seen(as_owner, q="tough-pitch") == {roll.mark}
    assert marks_seen(as_owner, q=first.mark.lower()) == {first.mark}
    assert marks_seen(as_owner, q="nothing like it") == set()


@pytest.mark.parametrize(
    "asked",
    [
        {"form": "zzz"},
        {"q": "a\x00b", "place": "\x00"},
        {"q": "'\"<b>"},
        {"free": "9"},
        {"alloy": "🔨"},
    ],
)
def test_a_strange_filter_is_answered(
    as_owner: Client, make_bar: MakePiece, asked: dict[str, str]
) -> None:
    make_bar()

    response = as_owner.get(RACK, asked)

    assert response.status_code == 200
    assert "<b>" not in response.text.split('id="rack"')[0].split("</header>")[-1]


def test_htmx_gets_the_groups_alone(as_owner: Client, make_bar: MakePiece) -> None:
    make_bar()

    response = as_owner.get(RACK, {"q": "1084"}, headers=HTMX)

    assert response.text.lstrip().startswith('<div class="shelves" id="rack">')
    assert "<html" not in response.text
    assert "HX-Request" in response["Vary"]


def test_gone_pieces_leave_the_rack(as_owner: Client, make_bar: MakePiece, owner: Person) -> None:
    bar = make_bar(length_nm=36 * IN)
    by_hand.scrap(piece=bar, amount=36 * IN, why="cracked", by=owner)

    assert marks_seen(as_owner) == set()


@pytest.mark.slow
def test_a_long_rack_takes_as_few_queries_as_a_short_one(
    as_owner: Client,
    make_bar: MakePiece,
    make_material: MakeMaterial,
    sheet: Piece,
    supplier: Supplier,
    owner: Person,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    from datetime import date

    from stock.ledger import receiving

    lines = [
        receiving.Line(material=make_material(alloy=alloy), count=50, price_cents=9, length_nm=IN)
        for alloy in ("1084", "1095", "15n20", "80crv2", "52100", "1075", "o1", "w2")
    ]
    receiving.buy(supplier=supplier, lines=lines, delivery_cents=0, on=date(2026, 3, 2), by=owner)

    with django_assert_max_num_queries(9):
        response = as_owner.get(RACK)

    assert response.text.count('class="mark"') == 401


def test_a_mark_opens_its_piece_however_it_is_written(
    as_owner: Client, make_bar: MakePiece
) -> None:
    bar = make_bar()
    typed = f"{bar.mark[:2].lower()}-{bar.mark[2:]}"

    response = as_owner.get(reverse("stock:mark", args=[typed]))

    assert response["Location"] == reverse("stock:piece-detail", args=[bar.mark])


def test_a_mark_that_is_no_piece_goes_on_to_the_billets(as_owner: Client) -> None:
    response = as_owner.get(reverse("stock:mark", args=["K27"]))

    assert response["Location"] == "/billets/K27/"


@pytest.mark.parametrize("mark", ["what", "9999999", "%00", "K" * 300])
def test_what_is_no_mark_at_all_is_not_found(as_owner: Client, mark: str) -> None:
    assert as_owner.get(f"/m/{mark}/").status_code == 404
    assert as_owner.get(f"/rack/{mark}/").status_code == 404


def test_the_rack_is_only_read(as_owner: Client) -> None:
    assert as_owner.post(RACK).status_code == 405
