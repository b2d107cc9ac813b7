"""Reads what worksheets and cut sheets print: whose billets, which pieces, where the saw stands."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from django.db.models import Prefetch, QuerySet

from billets.layup.case import Case
from billets.layup.design import Design
from billets.models import Billet, Blank, StepKind
from shop.classes.reading import stages_of
from shop.cut_list import reading as cut_list_reading
from shop.models import ForgeClass, Seat
from shop.sheets.subject import SPARE, Source, Subject
from shop.worksheets.cover import CutRow, Occasion
from stock.alloys.book import Book, short_name
from stock.house import House
from stock.models import alloy_book
from stock.quantities import units

Address = Callable[[str], str]  # from a path to a whole address
InShop = Callable[[Design], Case]  # from a layup to that layup in this shop


def occasion_of(forge_class: ForgeClass) -> Occasion:
    """A class as its cover says it."""
    seats = list(forge_class.seats.active().with_metal())
    spares = sum(1 for seat in seats if seat.is_spare)
    return Occasion(
        title=forge_class.title,
        days=days_words(forge_class.starts_on, last=forge_class.ends_on),
        place=forge_class.place,
        note=forge_class.note,
        first=forge_class.starts_on,
        last=forge_class.ends_on,
        students=len(seats) - spares,
        spares=spares,
    )


def days_words(first: date, *, last: date) -> str:
    """The days of a class: "13–14 December 2026"."""
    end = f"{last.day} {last:%B %Y}"
    if first >= last:
        return end
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day}–{end}"
    if first.year == last.year:
        return f"{first.day} {first:%B} – {end}"
    return f"{first.day} {first:%B %Y} – {end}"


def seat_subjects(
    seats: Sequence[Seat], *, in_shop: InShop, occasion: str, address: Address
) -> list[Subject]:
    """The sheets' subjects, one a seat; billets that do not exist yet have no mark."""
    stages = stages_of([seat.billet for seat in seats if seat.billet])
    found = []
    for seat in seats:
        who = SPARE if seat.is_spare and not seat.student else str(seat)
        if seat.billet is None:
            found.append(unplanned_subject(seat, who=who, in_shop=in_shop, occasion=occasion))
            continue
        stage = stages[seat.billet.pk]
        found.append(
            billet_subject(
                seat.billet,
                who=who,
                in_shop=in_shop,
                stage=stage,
                occasion=occasion,
                address=address,
                seat=seat,
            )
        )
    return found


def unplanned_subject(seat: Seat, *, who: str, in_shop: InShop, occasion: str) -> Subject:
    """A seat whose billet is not planned yet."""
    layup = seat.layup_used
    return Subject(
        mark="",
        who=who,
        case=in_shop(seat.asked_design()),
        layup_name=layup.name,
        is_spare=seat.is_spare,
        knife=seat.knife,
        folds=layup.bar_folds,
        override_reason=layup.override_reason,
        occasion=occasion,
        stage="not planned",
    )


def billet_subject(
    billet: Billet,
    *,
    who: str,
    in_shop: InShop,
    stage: StepKind,
    occasion: str,
    address: Address,
    seat: Seat | None = None,
) -> Subject:
    """One billet with what its blanks are cut from."""
    return Subject(
        mark=billet.mark,
        who=who,
        case=in_shop(billet.design()),
        layup_name=billet.layup_name,
        is_spare=bool(seat and seat.is_spare),
        knife=(seat.knife if seat else "") or billet.knife,
        folds=billet.bar_folds,
        override_reason=override_reason(billet),
        address=address(billet.get_absolute_url()),
        occasion=occasion,
        stage=stage.label,
        sources=sources_of(billet),
    )


def override_reason(billet: Billet) -> str:
    """The owner's reason: the billet's own, or the one written since on its layup."""
    if billet.override_reason or billet.layup is None:
        return billet.override_reason
    is_same = billet.layup.design() == billet.design()
    return billet.layup.override_reason if is_same else ""


def sources_of(billet: Billet) -> dict[int, Source]:
    """Which piece each layer is cut from, as far as metal is set aside or cut."""
    return {
        blank.position: Source(blank.set_aside.piece.mark, blank.set_aside.piece.heat_lot)
        for blank in billet.blanks.all()
        if blank.set_aside is not None and blank.has_metal
    }


def billets_with_metal() -> QuerySet[Billet]:
    """Billets with all that a sheet reads of them."""
    return Billet.objects.select_related("layup").prefetch_related(
        "layup__layers", Prefetch("blanks", Blank.objects.with_metal())
    )


def cut_rows(forge_class: ForgeClass, *, house: House) -> list[CutRow]:
    """The cut list by piece for the cover: the stops of what is not cut yet, in one line."""
    pieces = cut_list_reading.cut_list(forge_class, house=house)["pieces"]
    book = alloy_book()
    return [cut_row(piece, house=house, book=book) for piece in pieces if not piece.is_done]


def cut_row(piece: cut_list_reading.CutPiece, *, house: House, book: Book) -> CutRow:
    """One piece in one line."""
    material = piece.piece.material
    section = units.section_as_sold(material.section_nm, system=house.system)
    metal = f"{short_name(material.alloy, book=book)} {section}"
    waiting = [line for line in piece.rows if not line.is_done]
    is_bar = any(line.is_bar for line in waiting)
    part = f"{piece.left} of {len(piece.rows)} to cut"
    return CutRow(
        mark=piece.piece.mark,
        metal=metal,
        where=" · ".join(words for words in (piece.source.place, part) if words),
        stops=bar_stops(waiting, house=house) if is_bar else sheet_sizes(waiting, house=house),
    )


def bar_stops(lines: Sequence[cut_list_reading.CutRow], *, house: House) -> tuple[str, ...]:
    """Where the saw stands, and for which blank."""
    return tuple(
        f"{units.length_text(line.stop_nm or line.row.length_nm, system=house.system)} "
        f"{line.row.label}"
        for line in lines
    )


def sheet_sizes(lines: Sequence[cut_list_reading.CutRow], *, house: House) -> tuple[str, ...]:
    """What is sheared off a sheet or a roll, like sizes together; offcuts are left out."""
    sizes: dict[str, list[str]] = {}
    for line in lines:
        if line.is_strip:
            size = units.length_text(line.row.length_nm, system=house.system)
            sizes[f"strip of {size} off the roll"] = []
        elif line.is_blank:
            nms = sorted((line.row.width_nm, line.row.length_nm))
            size = units.section_text(nms, system=house.system)
            sizes.setdefault(size, []).append(line.row.label)
    return tuple(
        f"{len(labels)} × ({size}): {', '.join(labels)}" if labels else size
        for size, labels in sizes.items()
    )
