"""What is done to sheets, wire, counted things and whole pieces on their pages."""

from collections.abc import Callable
from typing import Any

import pytest
from django.urls import reverse

from stock.ledger import by_hand
from stock.models import Piece
from tests.kinds import Client, MakePiece, Person
from tests.stock.reading import act_on, standing

IN = 25_400_000
Build = Callable[..., Any]
pytestmark = pytest.mark.django_db


def test_a_whole_sheet_is_sheared_into_two_marked_ones(as_owner: Client, sheet: Piece) -> None:
    act_on(as_owner, sheet, "part", length_nm="4 in")

    assert sorted(sheet.offcuts.values_list("length_nm", flat=True)) == [4 * IN, 8 * IN]
    assert standing(sheet) == (0, 0)


def test_wire_is_used_by_weight_and_the_spool_weighed_without_its_tare(
    as_owner: Client, spool: Piece
) -> None:
    act_on(as_owner, spool, "use", amount="8 oz", job="a gate")
    act_on(as_owner, spool, "count", counted="10 lb", tare="1 lb", why="weighed")

    assert spool.entries.get(kind="used").amount == -226_796_185
    assert standing(spool)[0] == 4_082_331_330  # nine pounds


def test_an_empty_spool_cannot_weigh_more_than_the_scale_shows(
    as_owner: Client, spool: Piece
) -> None:
    response = act_on(as_owner, spool, "count", counted="1 lb", tare="2 lb", why="weighed")

    assert response.status_code == 422
    assert "weighs more than the scale shows" in response.text


def test_counted_things_are_used_and_counted(as_owner: Client, box: Piece) -> None:
    act_on(as_owner, box, "use", amount="3", job="class grinding")
    act_on(as_owner, box, "count", counted="16", why="stock-take")

    assert standing(box) == (16, 4000)


def test_a_count_needs_its_reason(as_owner: Client, make_bar: MakePiece) -> None:
    bar = make_bar()

    response = act_on(as_owner, bar, "count", counted="35 in", why="")

    assert response.status_code == 422
    assert bar.entries.count() == 1


def test_a_piece_counted_as_gone_can_be_found_again(as_owner: Client, make_bar: MakePiece) -> None:
    bar = make_bar(length_nm=36 * IN)

    act_on(as_owner, bar, "count", counted="0", why="not found")
    act_on(as_owner, bar, "count", counted="36 in", why="behind the forge")

    assert standing(bar) == (36 * IN, 0)


def test_scrapping_takes_all_that_is_free_unless_an_amount_is_given(
    as_owner: Client, make_bar: MakePiece, promise: Build
) -> None:
    bar = make_bar(length_nm=36 * IN)
    promise(bar, length_nm=6 * IN)

    act_on(as_owner, bar, "scrap", amount="10 in", why="bent")
    act_on(as_owner, bar, "scrap", amount="", why="cracked")

    assert standing(bar)[0] == 6 * IN


def test_metal_that_is_all_promised_cannot_be_scrapped(
    as_owner: Client, make_bar: MakePiece, promise: Build
) -> None:
    bar = make_bar(length_nm=36 * IN)
    promise(bar, length_nm=36 * IN)

    response = act_on(as_owner, bar, "scrap", amount="", why="cracked")

    assert response.status_code == 422
    assert f"All of {bar.mark} is set aside" in response.text


def test_a_cut_that_is_sent_twice_is_made_once_until_it_is_sent_from_a_fresh_page(
    as_owner: Client, make_bar: MakePiece
) -> None:
    bar = make_bar(length_nm=36 * IN)
    url = reverse("stock:piece-act", args=[bar.mark, "scrap"])
    sent = {"scrap-amount": "6 in", "scrap-why": "bent", "seen": str(bar.entries.get().pk)}
    as_owner.post(url, sent)

    again = as_owner.post(url, sent)

    bar.refresh_from_db()
    assert again.status_code == 422
    assert f"{bar.mark} was changed after this page was opened; 30 in" in again.text
    assert bar.on_hand == 30 * IN
    as_owner.post(url, sent | {"seen": str(bar.entries.latest("pk").pk)})
    bar.refresh_from_db()
    assert bar.on_hand == 24 * IN


def test_place_and_note_are_kept(as_helper: Client, make_bar: MakePiece) -> None:
    bar = make_bar()

    act_on(as_helper, bar, "place", place="rack 9", note="a bow in it")

    bar.refresh_from_db()
    assert (bar.place, bar.note) == ("rack 9", "a bow in it")


def test_a_part_cut_sheet_is_measured_line_by_line(
    as_owner: Client, sheet: Piece, owner: Person
) -> None:
    by_hand.scrap(piece=sheet, amount=20 * IN * IN, why="a corner", by=owner)

    act_on(as_owner, sheet, "measure", sizes="3 x 8 in\n\n2 by 12\n")

    kept = sheet.offcuts.order_by("id").values_list("width_nm", "length_nm")
    assert list(kept) == [(3 * IN, 8 * IN), (2 * IN, 12 * IN)]
    assert standing(sheet) == (0, 0)


def test_a_sheet_that_is_smaller_than_the_books_say_is_measured_too(
    as_owner: Client, sheet: Piece
) -> None:
    act_on(as_owner, sheet, "measure", sizes="6 x 11-3/4 in")

    (kept,) = sheet.offcuts.values_list("width_nm", "length_nm")
    assert kept == (6 * IN, 298_450_000)
    assert standing(sheet) == (0, 0)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("3 x 8 x 1 in", "has 3 sizes"),
        ("3 in", "has 1 sizes"),
        ("three by four", "three by four"),
        ("6 x 11 in", "more than the books have left"),
        ("1/2 x 40 in", "which came as 6 × 12 in"),
        ("6 x 12 in", "is as the books say"),
    ],
)
def test_sizes_that_cannot_be_are_refused(
    as_owner: Client, sheet: Piece, owner: Person, typed: str, told: str
) -> None:
    by_hand.scrap(piece=sheet, amount=20 * IN * IN, why="a corner", by=owner)

    response = act_on(as_owner, sheet, "measure", sizes=typed)

    assert response.status_code == 422
    assert told in response.text
    assert sheet.offcuts.count() == 0
