"""Worksheets: one sheet of paper a student, readable back, for whoever works in the shop."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from billets.models import Billet
from shop.models import ForgeClass, Seat
from shop.sheets import pdf_answer
from shop.worksheets import pages as worksheets
from stock.house import House
from stock.output import pdf
from tests.kinds import (
    ClassMetal,
    Client,
    DjangoAssertNumQueries,
    MakeClass,
    MakeLayup,
    Person,
    ShopSettings,
)
from tests.shop.drawn_paper import drawn_bytes, texts

IN = 25_400_000


def site(path: str) -> str:
    """Where the shop is reached in these tests."""
    return f"http://anvil.example{path}"


def class_texts(row: ForgeClass, *, house: House | None = None, seat: Seat | None = None) -> Any:
    """The text of each page of a class's sheets."""
    return texts(worksheets.class_html(row, house=house or House(), address=site, seat=seat))


@pytest.fixture
def html_instead(monkeypatch: pytest.MonkeyPatch) -> None:
    """Answer with the page itself, which takes no drawing."""
    monkeypatch.setattr(pdf_answer, "as_pdf", lambda html: html.encode())


@pytest.mark.slow
def test_a_class_gets_a_cover_and_two_sides_for_each_student_and_spare(
    planned_class: MakeClass,
) -> None:
    row = planned_class(students=1, spares=1)

    pages = class_texts(row)

    marks = list(Billet.objects.order_by("id").values_list("mark", flat=True))
    assert len(pages) == 2 + 2 * 2  # the cover fills up to a whole sheet of paper
    assert all(mark in pages[0] for mark in marks)
    for number, mark in enumerate(marks):
        front, back = pages[2 + 2 * number : 4 + 2 * number]
        assert front.count(mark) >= 2
        assert front.endswith("side 1 of 2")
        assert back.endswith("side 2 of 2")
        assert mark in back
    assert "Student 1" in pages[2]
    assert "spare" in pages[4]


@pytest.mark.slow
def test_a_sheet_says_how_hot_how_cold_how_long_and_what_size(planned_class: MakeClass) -> None:
    row = planned_class(students=1)

    front, back = class_texts(row, seat=row.seats.get())

    # C10200 starts to melt at 1083 °C; 65 °C of margin and 20 °C for hot spots come off: 998 °C.
    assert "1828 °F 998 °C" in front
    assert "1500 °F 816 °C" in front
    assert "C10200 starts to melt at 1981 °F (1083 °C)" in front
    assert "5 blanks 6 × 1-1/4 in" in front
    for layer in ("1 Cladding 1084", "2 Line C10200", "3 CORE 1095", "0.020 in", "3/16 in"):
        assert layer in front
    assert "never an instrument" in front
    assert "Finished, about" in front
    assert "× 3/16 in" in front
    assert "http://anvil.example/billets/" in front
    for step in ("Clean.", "Stack", "Weld every seam", "Set with flat dies, heats 1 to 2", "Draw"):
        assert step in back
    for words in ("Heat treatment: 1095", "thickness, in", "not sound", "your local rules"):
        assert words in back
    assert "above the edge" in back


@pytest.mark.slow
def test_the_cover_holds_metal_cut_list_and_timetable(
    planned_class: MakeClass, class_metal: ClassMetal
) -> None:
    row = planned_class(students=2, note="Bring leather shoes.")

    cover = " ".join(class_texts(row)[:2])

    assert "9–10 May 2026 · 2 students" in cover
    assert "Bring leather shoes." in cover
    assert "4 × 6 in" in cover  # cladding: two of each billet
    assert class_metal["cladding"].mark in cover
    assert "rack 2 · 4 of 4 to cut" in cover
    # 6 in and a kerf of 1 mm: 12 in + 1 mm = 305.8 mm, next to 12-3/64 in (305.99 mm).
    assert "12-3/64 in" in cover
    assert "Saturday 9 May" in cover
    assert "Heat 1: set the bond, stop at" in cover
    assert "correct them by hand" in cover


@pytest.mark.slow
@pytest.mark.parametrize("paper_name", ["A4", "Letter"])
@pytest.mark.parametrize("system", ["inch", "metric"])
def test_a_sheet_keeps_to_two_sides_in_both_papers_and_systems(
    make_class: MakeClass, owner: Person, paper_name: str, system: str
) -> None:
    row = make_class(students=1)

    pages = class_texts(row, house=House(paper=paper_name, system=system), seat=row.seats.get())

    first = "998 °C 1828 °F" if system == "metric" else "1828 °F 998 °C"
    assert len(pages) == 2
    assert first in pages[0]
    assert "not planned" not in pages[0]
    assert "no mark yet" in pages[0]


@pytest.mark.slow
@pytest.mark.parametrize(
    "name",
    [
        "Wilhelmina Featherstonehaugh-Cholmondeley-Marjoribanks of the Northern Guild, Seat 10",
        "W" * 100,
        "نورة بنت عبد الرحمن الحدادة",
        "Ana 🔥🔨 Ødegård-Žižek",
        "<script>alert(1)</script> & <b>Bob</b>",
        "鍛冶屋 太郎",
        "a\u202eb\u0000c\nd",
    ],
)
def test_any_name_stands_on_its_sheet_and_moves_nothing_else(
    make_class: MakeClass, name: str
) -> None:
    row = make_class(students=1)
    seat = row.seats.get()
    seat.student = name
    seat.knife = name

    html = worksheets.class_html(row, house=House(), address=site)
    Seat.objects.filter(pk=seat.pk).update(student=name.replace("\0", ""), knife=name[:100])
    pages = class_texts(row, seat=seat)

    assert "<script>" not in html
    assert len(pages) == 2
    assert pages[0].endswith("side 1 of 2")
    if "<b>" in name:
        assert "<script>alert(1)</script> & <b>Bob</b>" in pages[0]


@pytest.mark.slow
def test_the_owners_reason_and_what_it_answers_for_are_printed(
    make_class: MakeClass, make_layup: MakeLayup
) -> None:
    bad = make_layup(
        name="Copper outside",
        layers=[
            ("c10200", IN // 50, "line"),
            ("1095", IN // 8, "core"),
            ("c10200", IN // 50, "line"),
        ],
        override_reason="A test of the furnace, cut up afterwards.",
    )
    row = make_class(students=1, layup=bad)

    front, _ = class_texts(row, seat=row.seats.get())

    assert "Made all the same." in front
    assert "lies on the bottom face" in front
    assert "A test of the furnace, cut up afterwards." in front


@pytest.mark.slow
def test_the_same_sheets_are_the_same_file_byte_for_byte(planned_class: MakeClass) -> None:
    row = planned_class(students=1)
    html = worksheets.class_html(row, house=House(), address=site)

    again = worksheets.class_html(row, house=House(), address=site)

    assert again == html
    assert drawn_bytes(html) == drawn_bytes(again)


def test_a_class_without_seats_is_told_so(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=0)

    response = as_owner.get(reverse("shop:worksheets", args=[row.pk]))

    assert response.status_code == 409
    assert "has no seats yet" in response.text


@pytest.mark.slow
def test_the_page_draws_through_the_worker(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=1)

    response = as_owner.get(reverse("shop:worksheets", args=[row.pk]), {"seat": row.seats.get().pk})

    assert response.status_code == 200
    assert response["Content-Type"] == "application/pdf"
    assert response.content.startswith(b"%PDF-")
    assert "inline" in response["Content-Disposition"]


@pytest.mark.slow
def test_a_helper_gets_the_sheets_and_no_money_on_them(
    as_helper: Client, planned_class: MakeClass, html_instead: None
) -> None:
    row = planned_class(students=1)
    billet = Billet.objects.get()
    urls = [
        reverse("shop:worksheets", args=[row.pk]),
        reverse("shop:cut-sheet", args=[row.pk]),
        reverse("shop:billet-sheet", args=[billet.mark]),
    ]

    pages = [as_helper.get(url) for url in urls]

    assert [page.status_code for page in pages] == [200, 200, 200]
    for page in pages:
        assert "$" not in page.text
        assert "cents" not in page.text


def test_an_owner_sees_no_money_on_paper_either(
    as_owner: Client, planned_class: MakeClass, html_instead: None
) -> None:
    row = planned_class(students=1)

    page = as_owner.get(reverse("shop:worksheets", args=[row.pk]))

    assert "$" not in page.text


def test_a_stranger_is_sent_to_sign_in(
    client: Client, make_class: MakeClass, shop_row: ShopSettings
) -> None:
    row = make_class(students=1)

    for name, args in (
        ("worksheets", [row.pk]),
        ("cut-sheet", [row.pk]),
        ("billet-sheet", ["K27"]),
    ):
        response = client.get(reverse(f"shop:{name}", args=args))
        assert response.status_code == 302
        assert response["Location"].startswith(reverse("shop:sign-in"))


def test_nothing_can_be_posted_to_a_sheet(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=1)

    response = as_owner.post(reverse("shop:worksheets", args=[row.pk]))

    assert response.status_code == 405


@pytest.mark.parametrize("seat", ["999999", "abc", "-1", "1" * 40, "١"])
def test_a_seat_that_is_not_in_the_class_is_not_found(
    as_owner: Client, make_class: MakeClass, html_instead: None, seat: str
) -> None:
    row = make_class(students=1)

    response = as_owner.get(reverse("shop:worksheets", args=[row.pk]), {"seat": seat})

    assert response.status_code == 404


def test_one_billets_sheet_opens_by_its_mark_in_any_case(
    as_owner: Client, planned_class: MakeClass, html_instead: None
) -> None:
    planned_class(students=1)
    mark = Billet.objects.get().mark

    response = as_owner.get(reverse("shop:billet-sheet", args=[mark.lower()]))

    assert response.status_code == 200
    assert f"Worksheet {mark}" in response.text
    assert "Student 1" in response.text
    assert f"http://testserver/billets/{mark}/" in response.text


def test_without_pango_the_page_says_the_line_to_run(
    as_owner: Client, make_class: MakeClass, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing(html: str, **how: Any) -> bytes:
        raise pdf.NoPaper

    monkeypatch.setattr(pdf, "pdf", missing)
    row = make_class(students=1)

    response = as_owner.get(reverse("shop:worksheets", args=[row.pk]))

    assert response.status_code == 503
    assert "PDFs need Pango" in response.text


def test_reading_a_class_takes_a_fixed_number_of_queries(
    planned_class: MakeClass, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    row = planned_class(students=2)

    with django_assert_max_num_queries(40):
        html = worksheets.class_html(row, house=House(), address=site)

    assert html.count('class="front"') == 2
