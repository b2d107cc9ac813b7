"""Metal sent back to its supplier: out at its value, with the credit beside it, and undone."""

from datetime import date
from typing import Any

import pytest
from django.db import DatabaseError, connection, transaction
from django.urls import reverse

from stock.ledger import by_hand, entries, receiving
from stock.ledger.proof import proved
from stock.ledger.refusals import BadAmount, CannotUndo, NotEnough
from stock.models import Entry, Piece, SentBack
from tests.kinds import Client, MakePiece, Person
from tests.stock.reading import act_on, standing

MM = 1_000_000
IN = 25_400_000
DAY = date(2026, 3, 9)
pytestmark = pytest.mark.django_db


@pytest.fixture
def bar(make_bar: MakePiece) -> Piece:
    """36 in for 24.00, received on 2 March 2026."""
    made: Piece = make_bar()
    return made


def order_of(bar: Piece) -> int:
    """The purchase that a bar came with."""
    assert bar.line is not None
    return bar.line.purchase_id


def send(bar: Piece, *, by: Person, amount: int = 36 * IN, credit_cents: int = 2000) -> SentBack:
    """Send a bar back, all of it for 20.00."""
    return receiving.send_back(
        piece=bar, amount=amount, credit_cents=credit_cents, why="cracked", day=DAY, by=by
    )


def test_it_leaves_at_its_value_and_the_credit_is_kept_beside_it(bar: Piece, owner: Person) -> None:
    back = send(bar, by=owner)

    entry = Entry.objects.get(act=back.act)
    assert (entry.kind, entry.amount, entry.value_cents, entry.why) == (
        "returned",
        -914_400_000,
        -2400,
        "cracked",
    )
    assert standing(bar) == (0, 0)
    row = receiving.standing().get()
    assert (row.value_cents, row.credit_cents, row.amount) == (2400, 2000, 914_400_000)
    assert row.line == bar.line


def test_part_of_it_takes_its_share_of_the_value(bar: Piece, owner: Person) -> None:
    send(bar, by=owner, amount=9 * IN, credit_cents=600)

    assert standing(bar) == (27 * IN, 1800)


def test_the_books_are_proved_with_what_went_back(bar: Piece, owner: Person) -> None:
    send(bar, by=owner)

    proof = proved()

    assert proof.faults == ()
    assert (proof.bought_cents, proof.returned_cents, proof.credited_cents) == (0, 2400, 2000)


def test_undone_it_is_on_the_rack_again_and_its_credit_counts_no_more(
    bar: Piece, owner: Person
) -> None:
    back = send(bar, by=owner)

    by_hand.undo(act=back.act, by=owner)

    assert standing(bar) == (36 * IN, 2400)
    assert not receiving.standing().exists()
    assert (proved().faults, proved().credited_cents) == ((), 0)
    with pytest.raises(CannotUndo):
        by_hand.undo(act=back.act, by=owner)


def test_an_offcut_goes_back_on_the_line_it_was_bought_on(bar: Piece, owner: Person) -> None:
    end = by_hand.part(piece=bar, length_nm=12 * IN, kerf_nm=0, by=owner)

    back = send(end, by=owner, amount=12 * IN, credit_cents=800)

    assert back.line == bar.line
    assert proved().faults == ()


def test_what_is_set_aside_does_not_go_back(bar: Piece, owner: Person) -> None:
    from stock.ledger import set_asides
    from stock.ledger.set_asides import Promise

    aside = Promise(
        piece_id=bar.pk, kind="blank", amount=30 * IN, length_nm=30 * IN, job="billet:1", position=1
    )
    set_asides.set_aside(plan="class:1", promises=[aside], by=owner)

    with pytest.raises(NotEnough, match="has 6 in"):
        send(bar, by=owner)

    assert not SentBack.objects.exists()


def test_a_bar_made_here_has_no_supplier(bar: Piece, owner: Person) -> None:
    Piece.objects.filter(pk=bar.pk).update(made_by="billet:1")

    with pytest.raises(BadAmount, match="was not bought"):
        send(bar, by=owner)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"why": " "}, "Say why it goes back"),
        ({"day": date(2026, 3, 1)}, "came on 2026-03-02; it cannot have gone back before"),
        ({"amount": 0}, "above nothing"),
    ],
)
def test_what_cannot_be_is_refused_and_changes_nothing(
    bar: Piece, owner: Person, changes: dict[str, Any], sentence: str
) -> None:
    about: dict[str, Any] = {
        "amount": IN,
        "credit_cents": 0,
        "why": "cracked",
        "day": DAY,
    } | changes

    with pytest.raises(BadAmount, match=sentence):
        receiving.send_back(piece=bar, by=owner, **about)

    assert standing(bar) == (36 * IN, 2400)


def test_a_sheet_goes_back_whole(sheet: Piece, owner: Person) -> None:
    with pytest.raises(BadAmount, match="a sheet goes back whole"):
        send(sheet, by=owner, amount=sheet.on_hand - 1)


@pytest.mark.parametrize(
    "line", ["UPDATE stock_sentback SET credit_cents = 1", "DELETE FROM stock_sentback"]
)
def test_the_database_keeps_what_was_credited(bar: Piece, owner: Person, line: str) -> None:
    send(bar, by=owner)

    with (
        pytest.raises(DatabaseError, match=r"never (changed|deleted)"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(line)

    assert SentBack.objects.get().credit_cents == 2000


def test_a_credit_without_its_metal_is_named_by_the_proof(bar: Piece, owner: Person) -> None:
    SentBack.objects.create(
        act=entries.new_act(),
        piece=bar,
        line_id=bar.line_id or 0,
        day=DAY,
        by=owner,
        at=bar.born_at,
    )

    assert f"piece {bar.mark}" in proved().faults[0]


def test_on_the_page_it_goes_back_and_the_difference_is_said(as_owner: Client, bar: Piece) -> None:
    sent = {"credit_cents": "20.00", "day": "2026-03-09", "why": "cracked"}
    response = act_on(as_owner, bar, "send-back", **sent)

    assert response.status_code == 302
    page = as_owner.get(response["Location"]).text
    told = "went back to Marrow &amp; Daughter Steels, credited $20.00: $4.00 less than its value."
    assert told in page
    assert page.count("credited $20.00: $4.00 less than its value") == 2
    order = as_owner.get(reverse("stock:purchase-detail", args=[order_of(bar)])).text
    assert "Sent back" in order


def test_a_credit_is_asked_for_and_what_was_typed_stays(as_owner: Client, bar: Piece) -> None:
    response = act_on(as_owner, bar, "send-back", credit_cents="", day="2026-03-09", why="bent")

    assert response.status_code == 422
    assert 'value="bent"' in response.text
    assert standing(bar) == (36 * IN, 2400)


def test_a_helper_neither_sends_back_nor_sees_what_was_credited(
    as_helper: Client, owner: Person, bar: Piece
) -> None:
    page = as_helper.get(reverse("stock:piece-detail", args=[bar.mark])).text
    act_on(as_helper, bar, "send-back", credit_cents="20.00", day="2026-03-09", why="cracked")

    assert "Send it back" not in page
    assert standing(bar) == (36 * IN, 2400)
    send(bar, by=owner)
    for address in (
        reverse("stock:piece-detail", args=[bar.mark]),
        reverse("stock:purchase-detail", args=[order_of(bar)]),
    ):
        assert "credited" not in as_helper.get(address).text


def test_a_piece_that_was_not_bought_offers_no_way_back(as_owner: Client, bar: Piece) -> None:
    Piece.objects.filter(pk=bar.pk).update(made_by="billet:1")

    assert "Send it back" not in as_owner.get(reverse("stock:piece-detail", args=[bar.mark])).text
