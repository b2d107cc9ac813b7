"""Labels: the code opens the piece, the mark is large, and the PDF has every one."""

import io
from typing import Any

import pytest
from pypdf import PdfReader

from stock.models import Piece
from stock.output import pdf
from tests.kinds import Client, MakePiece, sure
from tests.stock.reading import read

IN = 25_400_000
pytestmark = pytest.mark.django_db


def test_a_label_says_the_mark_the_alloy_and_the_section(
    as_helper: Client, make_bar: MakePiece, box: Piece
) -> None:
    bar = make_bar(heat_lot="HL-7")

    page = read(as_helper.get("/labels/").content)

    said = [" ".join(one.text.split()) for one in page.select("ul.labels li")]
    assert said == [
        f"{box.mark} belts 36 grit",
        f"{bar.mark} 1084 flat bar 1/8 × 1-1/4 in HL-7",
    ]


def test_the_code_holds_the_address_of_the_mark(make_bar: MakePiece) -> None:
    from stock.house import House
    from stock.models import alloy_book
    from stock.rack.reading import labels_for

    bar = make_bar()

    label = labels_for(
        [bar],
        address=lambda mark: f"http://forge.local/m/{mark}/",
        book=alloy_book(),
        house=House(),
    )[0]

    assert label.code.text == f"http://forge.local/m/{bar.mark}/"


def test_marks_are_chosen_as_typed_and_strange_ones_find_nothing(
    as_owner: Client, make_bar: MakePiece
) -> None:
    first, second = make_bar(), make_bar()
    make_bar()

    typed = f"{first.mark.lower()}, {second.mark[:2]}-{second.mark[2:]} what?"
    page = read(as_owner.get("/labels/", {"marks": typed}).content)

    assert {one.text for one in page.select("ul.labels .mark")} == {first.mark, second.mark}
    assert "No piece on the rack" in as_owner.get("/labels/", {"marks": "what?"}).text


def test_the_labels_of_a_purchase_are_its_own(as_owner: Client, make_bar: MakePiece) -> None:
    bar = make_bar()
    make_bar()

    page = read(as_owner.get("/labels/", {"purchase": str(sure(bar.line).purchase_id)}).content)

    assert [one.text for one in page.select("ul.labels .mark")] == [bar.mark]


@pytest.mark.slow
def test_the_pdf_has_each_mark_on_the_shops_paper(as_owner: Client, make_bar: MakePiece) -> None:
    bars = [make_bar() for _ in range(30)]

    response = as_owner.get("/labels/file/")

    if response.status_code == 302:
        pytest.skip("no Pango here")
    reader = PdfReader(io.BytesIO(response.content))
    text = "\n".join(page.extract_text() for page in reader.pages)
    assert response["Content-Type"] == "application/pdf"
    assert all(bar.mark in text for bar in bars)
    assert len(reader.pages) == 2
    assert tuple(round(float(side)) for side in reader.pages[0].mediabox[2:]) == (612, 792)


def test_without_pango_the_page_says_how_to_get_it_and_prints_itself(
    as_owner: Client, make_bar: MakePiece, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing(*_: Any, **__: Any) -> bytes:
        raise pdf.NoPaper

    bar = make_bar()
    monkeypatch.setattr(pdf, "pdf", missing)

    response = as_owner.get("/labels/file/", {"marks": bar.mark}, follow=True)

    assert response.redirect_chain == [(f"/labels/?marks={bar.mark}", 302)]
    assert "Pango" in response.text
    assert bar.mark in response.text


def test_strangers_get_no_labels(client: Client, make_bar: MakePiece) -> None:
    make_bar()

    assert "/sign-in/" in client.get("/labels/")["Location"]
    assert "/sign-in/" in client.get("/labels/file/")["Location"]
