"""The cut sheet: every piece with its stops from one end, as the cut list has them."""

from __future__ import annotations

import pytest
from django.urls import reverse

from billets.models import Billet
from shop.cut_list import writing as cut_list
from shop.worksheets import pages as worksheets
from shop.worksheets.cut_sheet import cut_pages
from stock.house import House
from stock.ledger import by_hand
from stock.models import SetAside
from tests.kinds import ClassMetal, Client, MakeClass, Person
from tests.shop.drawn_paper import drawn_bytes, texts


@pytest.mark.slow
def test_each_piece_is_named_with_its_blanks_and_whom_they_are_for(
    planned_class: MakeClass, class_metal: ClassMetal
) -> None:
    row = planned_class(students=2)

    text = " ".join(texts(worksheets.cuts_html(row, house=House())))

    for piece in class_metal.values():
        assert piece.mark in text
    for mark in Billet.objects.values_list("mark", flat=True):
        assert f"{mark}-1" in text
    assert "Student 2" in text
    assert "painted end" in text
    assert "Part A" in text  # how the strip is sheared


def test_stops_count_kerf_and_round_once_each_in_inches(
    planned_class: MakeClass, class_metal: ClassMetal
) -> None:
    row = planned_class(students=2)

    pages = cut_pages(row, house=House(system="inch"))

    # Blanks of 6 in, kerf 1 mm = 2.52/64 in: 6, 12 + 2.52/64, 18 + 5.04/64, 24 + 7.56/64 in.
    bar = next(page for page in pages if page.mark == class_metal["cladding"].mark)
    assert [line.stop for line in bar.lines] == ["6 in", "12-3/64 in", "18-5/64 in", "24-1/8 in"]


def test_stops_round_to_a_tenth_of_a_millimetre_in_metric(
    planned_class: MakeClass, class_metal: ClassMetal
) -> None:
    row = planned_class(students=2)

    pages = cut_pages(row, house=House(system="metric"))

    # 152.4, 305.8, 459.2, 612.6 mm
    bar = next(page for page in pages if page.mark == class_metal["cladding"].mark)
    assert [line.stop for line in bar.lines] == ["152.4 mm", "305.8 mm", "459.2 mm", "612.6 mm"]


def test_cuts_that_are_ticked_stay_on_paper_as_done(
    planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=1)
    first = SetAside.objects.filter(plan=row.plan_key, kind="blank", amount__gt=0).order_by("id")[0]
    cut_list.tick_cut(set_aside=first, by=owner)

    pages = cut_pages(row, house=House())

    lines = {line.label: line.is_done for page in pages for line in page.lines if line.label}
    assert lines[first.label] is True
    assert list(lines.values()).count(True) == 1


def test_a_bar_that_was_cut_outside_the_plan_loses_its_stops(
    planned_class: MakeClass, class_metal: ClassMetal, owner: Person
) -> None:
    row = planned_class(students=1)
    bar = class_metal["cladding"]
    by_hand.scrap(piece=bar, amount=25_400_000, why="bent", by=owner)

    page = next(one for one in cut_pages(row, house=House()) if one.mark == bar.mark)

    assert page.is_touched
    assert [line.stop for line in page.lines] == ["", ""]


@pytest.mark.slow
def test_the_cut_sheet_is_the_same_file_byte_for_byte(planned_class: MakeClass) -> None:
    row = planned_class(students=1)
    house = House(paper="A4", system="metric")

    first, second = (drawn_bytes(worksheets.cuts_html(row, house=house)) for _ in range(2))

    assert first == second


def test_a_class_without_a_plan_is_told_so(as_owner: Client, make_class: MakeClass) -> None:
    row = make_class(students=1)

    response = as_owner.get(reverse("shop:cut-sheet", args=[row.pk]))

    assert response.status_code == 409
    assert "No metal is set aside for this class" in response.text
