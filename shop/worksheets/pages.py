"""Worksheets and cut sheets as PDFs: reads, puts the pages together, has them drawn.

Nothing on them is money, whoever asks: the pages are made with settings that show none. Drawing
is `stock.output.pdf`'s; it raises `NoPaper` where the system has no Pango.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import NotRequired, TypedDict

from django.conf import settings
from django.template.loader import render_to_string

from billets.history.record import shop_calibration
from billets.layup.case import case_of
from billets.models import Billet
from shop.classes.reading import stages_of
from shop.models import ForgeClass, Seat
from shop.sheets.pdf_answer import NothingToPrint, moneyless
from shop.sheets.student import StudentSheet, student_sheet
from shop.sheets.subject import SPARE, Subject
from shop.worksheets.cover import Cover, cover
from shop.worksheets.cut_sheet import cut_pages
from shop.worksheets.reading import (
    Address,
    InShop,
    billet_subject,
    billets_with_metal,
    cut_rows,
    occasion_of,
    seat_subjects,
)
from stock.alloys.book import Book
from stock.house import House
from stock.models import alloy_book


class WorksheetPages(TypedDict):
    """Worksheets on paper, with a cover where they are those of a whole class."""

    title: str
    sheets: list[StudentSheet]
    house: House
    cover: NotRequired[Cover]


def class_html(
    forge_class: ForgeClass, *, house: House, address: Address, seat: Seat | None = None
) -> str:
    """The page of a class's worksheets with its cover, or of one seat's without.

    Raises:
        NothingToPrint: the class has no seats.
    """
    house = moneyless(house)
    occasion = occasion_of(forge_class)
    seats = [one for one in forge_class.seats.active().with_metal() if seat in (None, one)]
    if not seats:
        raise NothingToPrint("This class has no seats yet. Add students or spares first.")
    foot = f"{occasion.title} · {occasion.days}"
    alloys = alloy_book()
    in_shop = shop_case(house, alloys=alloys)
    sheets = sheets_of(seat_subjects(seats, in_shop=in_shop, occasion=foot, address=address))
    context = WorksheetPages(title=f"Worksheets: {forge_class}", sheets=sheets, house=house)
    if seat is None:
        context["cover"] = cover(
            occasion,
            sheets=sheets,
            cuts=cut_rows(forge_class, house=house),
            alloys=alloys,
            house=house,
        )
    return render_to_string("pdf/worksheets.html", context)


def billet_html(billet: Billet, *, house: House, address: Address) -> str:
    """The page of one billet's worksheet, in a class or not."""
    house = moneyless(house)
    held = billets_with_metal().get(pk=billet.pk)
    seat = Seat.objects.filter(billet=held).select_related("forge_class").first()
    who, foot = "", ""
    if seat is not None:
        occasion = occasion_of(seat.forge_class)
        foot = f"{occasion.title} · {occasion.days}"
        who = SPARE if seat.is_spare and not seat.student else str(seat)
    subject = billet_subject(
        held,
        who=who,
        in_shop=shop_case(house, alloys=alloy_book()),
        stage=stages_of([held])[held.pk],
        occasion=foot,
        address=address,
        seat=seat,
    )
    title = f"Worksheet {held.mark}"
    context = WorksheetPages(title=title, sheets=sheets_of([subject]), house=house)
    return render_to_string("pdf/worksheets.html", context)


def cuts_html(forge_class: ForgeClass, *, house: House) -> str:
    """The page of a class's cut sheet.

    Raises:
        NothingToPrint: no metal is set aside for the class.
    """
    house = moneyless(house)
    pieces = cut_pages(forge_class, house=house)
    if not pieces:
        raise NothingToPrint("No metal is set aside for this class. Make and confirm a plan first.")
    context = {
        "title": f"Cut sheet: {forge_class}",
        "occasion": occasion_of(forge_class),
        "pieces": pieces,
        "house": house,
    }
    return render_to_string("pdf/cut_sheet.html", context)


def sheets_of(subjects: Sequence[Subject]) -> list[StudentSheet]:
    """The sheets of these billets, each with ids of its own."""
    return [student_sheet(subject, key=f"s{number}") for number, subject in enumerate(subjects)]


def shop_case(house: House, *, alloys: Book) -> InShop:
    """What puts a layup into this shop, whose books are read once for all sheets."""
    return partial(case_of, alloys=alloys, house=house, calibration=shop_calibration(house))


def site_address(path: str) -> str:
    """A page's whole address where no request says how the shop is reached."""
    return settings.SITE_URL.rstrip("/") + path
