"""Every sheet keeps to two sides: both papers, both systems, any stack, the longest names."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from django.template.loader import render_to_string
from weasyprint import HTML
from weasyprint.formatting_structure.boxes import BlockBox, TextBox

from billets.layup.design import Blade, Design, OtherFace
from shop.sheets.fit import (
    SIZES,
    back_size,
    cautions_mm,
    on_the_front,
    row_class,
    row_mm,
    text_mm,
)
from shop.sheets.pdf_answer import SHEET_CSS
from shop.sheets.student import StudentSheet, student_sheet
from shop.sheets.subject import Source, Subject
from stock.house import House
from tests.billets.stacks import around, cased, clad, core, five, jacket, lay, line, nine
from tests.shop.drawn_paper import texts

REASON = (
    "The student is a returning smith who has asked for this stack in writing and works it alone "
    "at the small forge; seams are welded twice and looked at before the first heat, which is "
    "taken at the cold end of the window. Kept in the folder, page 12."
)
CHISEL = Blade(4_000_000, 32_000_000, left=OtherFace())
UNLIKE = Blade(4_000_000, 32_000_000, left=OtherFace("convex", edge_off_nm=300_000))
STACKS: dict[str, Design] = {
    "five": five(),
    "seven": around(core(), clad(), line(), line("c71500")),
    "nine": nine(),
    "stainless": around(core(), clad("410"), line()),
    "lopsided": lay(clad(mm=3.0), line(), core(), line(), jacket(), line(), clad(mm=3.0)),
    "chisel": lay(core(), line(), clad(), finish_mm=5.0, blade=CHISEL),
    "two faces": nine(blade=UNLIKE),
    "bar": lay(*[core("1084") if at % 2 else jacket("15n20") for at in range(7)], finish_mm=5.0),
    "many": lay(*[core("1084") if at % 2 else jacket("15n20") for at in range(25)]),
    "wrong": lay(line(), core(mm=2.0), core(mm=2.0), line("c26000"), finish_mm=2.0),
    "one": lay(core()),
    "none": lay(),
    "over the ceiling": around(core("o1"), clad(), line("c26000"), line()),
}
WARNS = ("cautions", "warning", "warn", "override")
MAIN = ("five", "seven", "nine", "lopsided", "chisel", "two faces", "bar")
HOUSES = {
    "usual": House(),
    "valleys": House(valley_nm=400_000, press_n=100_000),
    "slow": House(reduction_percent=4),
}


def subject(name: str, house: House) -> Subject:
    """A billet with everything as long as it may be."""
    design = STACKS[name]
    return Subject(
        mark="K2746",
        who="W" * 100,
        case=cased(design, house),
        layup_name=f"{name}, " + "x" * 70,
        knife="bird and trout, " * 7,
        folds=4,
        override_reason=REASON,
        address="http://192.168.100.100:8000/billets/K2746/",
        occasion="Copper line weekend for those who come again · 29 December 2026 – 2 January 2027",
        sources={place: Source(f"CC{place}", "H447100") for place in range(len(design.layers))},
    )


@pytest.mark.slow
@pytest.mark.parametrize(
    ("paper", "system", "shop", "stacks"),
    [
        ("A4", "inch", "usual", MAIN),
        ("A4", "metric", "valleys", MAIN),
        ("Letter", "inch", "slow", MAIN),
        ("Letter", "inch", "valleys", tuple(STACKS)),
        ("Letter", "metric", "usual", MAIN),
    ],
)
def test_each_sheet_is_one_front_and_one_back(
    paper: str, system: str, shop: str, stacks: tuple[str, ...]
) -> None:
    house = replace(HOUSES[shop], paper=paper, system=system)
    sheets = [student_sheet(subject(name, house), key=name) for name in stacks]

    pages = texts(
        render_to_string(
            "pdf/worksheets.html", {"house": house, "title": "Sheets", "sheets": sheets}
        )
    )

    sides = ["front" if page.endswith("side 1 of 2") else "back" for page in pages]
    assert sides == ["front", "back"] * len(stacks)
    assert all("K2746" in page for page in pages)


def test_rows_are_as_high_as_there_is_room_for() -> None:
    assert row_mm(paper="A4", stack_mm=50, rows=8) == 9.5
    assert row_mm(paper="Letter", stack_mm=50, rows=12) == 7.0  # 258.4 - 99 - 74 = 85.4 mm
    assert row_mm(paper="Letter", stack_mm=50, rows=60) == 2.5
    assert row_mm(paper="Letter", stack_mm=50, rows=12, override=300) < 7.0
    # 400 letters are 4 lines of 3.65 mm in a frame of 5.6 mm: 65.2 mm are left.
    assert row_mm(paper="Letter", stack_mm=50, rows=12, cautions="x" * 400) == 5.0


def test_every_height_of_a_row_is_in_the_style_sheet() -> None:
    css = SHEET_CSS.read_text()
    for rows in range(1, 70):
        assert f".{row_class(row_mm(paper='Letter', stack_mm=40, rows=rows))} td" in css


def test_an_unknown_paper_counts_as_the_shorter_one() -> None:
    assert row_mm(paper="Legal", stack_mm=50, rows=12) == 7.0


def test_longer_texts_stand_higher_and_a_line_is_the_least() -> None:
    assert text_mm("", wide_mm=90, pt=9, leading=1.2) == pytest.approx(3.81)
    heights = [text_mm("x" * size, wide_mm=90, pt=9, leading=1.2) for size in range(0, 400, 20)]
    assert heights == sorted(heights)


def test_more_words_are_set_smaller_and_never_larger() -> None:
    few = student_sheet(subject("bar", House()))
    much = student_sheet(subject("lopsided", House()))

    assert back_size(paper="Letter", words=few.back_words) == "roomy"
    assert back_size(paper="Letter", words=much.back_words) == "tight"


def laid_out(sheets: list[StudentSheet], house: House) -> Iterator[tuple[str, float]]:
    """Words of the cautions and the size of their letters [pt], as they stand on the page."""
    html = render_to_string(
        "pdf/worksheets.html", {"house": house, "title": "Sheets", "sheets": sheets}
    )
    for page in HTML(string=html).render(stylesheets=[str(SHEET_CSS)]).pages:
        for box in page._page_box.descendants():
            if isinstance(box, BlockBox) and box.element.get("class") in WARNS:
                for text in box.descendants():
                    if isinstance(text, TextBox):
                        yield text.text, text.style["font_size"] * 72 / 96


@pytest.mark.slow
def test_no_word_of_a_caution_stands_smaller_than_nine_points() -> None:
    house = replace(HOUSES["valleys"], paper="Letter", system="inch")
    sheets = [
        student_sheet(subject(name, house), key=name)
        for name in ("bar", "five", "lopsided", "wrong")
    ]

    found = list(laid_out(sheets, house))

    assert {one.back for one in sheets} == set(SIZES)
    assert min(size for _, size in found) >= 9.0
    printed = "".join("".join(words for words, _ in found).split())  # lines break after a stroke
    for one in sheets:
        for words in (*one.cautions, one.deference):
            assert "".join(words.split()) in printed


@pytest.mark.parametrize("name", MAIN)
def test_every_caution_stands_on_one_side_and_the_gravest_on_the_first(name: str) -> None:
    one = student_sheet(subject(name, House(paper="A4")))

    assert (*one.front_cautions, *one.back_cautions) == one.cautions
    assert one.cautions[0].startswith("A gas forge makes carbon monoxide")
    assert cautions_mm(" ".join(one.front_cautions), paper="A4") < 60


def test_cautions_move_to_the_side_that_has_room() -> None:
    words = student_sheet(subject("five", House())).back_words
    cautions = ["x" * 200] * 8

    roomy = on_the_front(cautions, paper="A4", words=words, front_row_mm=lambda _: 9.5)
    low = on_the_front(
        cautions, paper="A4", words=words, front_row_mm=lambda front: 6.0 if front else 6.5
    )

    assert roomy >= 3
    assert low == 0


def test_a_sheet_with_much_to_say_leaves_its_sources_to_how_we_know() -> None:
    house = House(paper="Letter")
    said = {
        name: texts(
            render_to_string(
                "pdf/worksheets.html",
                {
                    "house": house,
                    "title": "Sheets",
                    "sheets": [student_sheet(subject(name, house))],
                },
            )
        )[1]
        for name in ("five", "lopsided")
    }

    assert "Figures from 1080" in said["five"]
    assert "Sources: see How we know." in said["lopsided"]
