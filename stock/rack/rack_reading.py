"""Reads the rack as its page shows it: groups of like metal, each piece drawn to one scale."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypedDict

from django.db.models import F, Q
from django.http import QueryDict

from stock.alloys import book as alloys
from stock.alloys.book import alloy_name
from stock.drawings.pieces import PieceBar, PieceSize, piece_bars
from stock.house import House
from stock.ledger import marks
from stock.materials.names import material_title
from stock.models import LENGTH_FORMS, Form, Piece, SetAside, alloy_book
from stock.quantities.areas import amount_text
from stock.web.requests import plain_words

WIDEST_PX = 220  # the longest sheet of the page
LEAST_PX = 12  # a narrow offcut stays visible; its size stands beside it


@dataclass(frozen=True)
class Patch:
    """One rectangle of a picture, in drawn pixels."""

    x: float
    y: float
    width: float
    height: float
    kind: str  # class of the fill


@dataclass(frozen=True)
class SheetPicture:
    """A sheet from above: length from left to right, width from top to bottom."""

    width_px: float
    height_px: float
    length_nm: int
    width_nm: int
    is_part_cut: bool
    patches: tuple[Patch, ...]


def sheet_picture(piece: Piece, *, rows: Sequence[SetAside], longest_nm: int) -> SheetPicture:
    """The picture of one sheet.

    Args:
        piece: the sheet.
        rows: what stands set aside on it or was cut out of it by a plan; scrap cut by hand has
            no place and is left out.
        longest_nm: length of the longest sheet on the page [nm].
    """
    scale = WIDEST_PX / max(longest_nm, 1)
    width_px = max(piece.length_nm * scale, LEAST_PX)
    height_px = max(piece.width_nm * scale, LEAST_PX)
    across = height_px / max(piece.width_nm, 1)
    along = width_px / max(piece.length_nm, 1)
    patches = [Patch(0, 0, round(width_px, 1), round(height_px, 1), "is-free")]
    patches += [
        Patch(
            x=round(row.y_nm * along, 1),
            y=round(row.x_nm * across, 1),
            width=round(row.length_nm * along, 1),
            height=round(row.width_nm * across, 1),
            kind="is-aside" if row.state == SetAside.State.STANDING else "is-gone",
        )
        for row in rows
        if row.kind != SetAside.Kind.STRIP
    ]
    return SheetPicture(
        width_px=round(width_px, 1),
        height_px=round(height_px, 1),
        length_nm=piece.length_nm,
        width_nm=piece.width_nm,
        is_part_cut=piece.on_hand != piece.length_nm * piece.width_nm,
        patches=tuple(patches),
    )


BAR_FORMS = (Form.FLAT, Form.ROUND)
ORDER = [Form.FLAT, Form.ROUND, Form.ROLL, Form.SHEET, Form.WIRE, Form.COUNTED]


@dataclass(frozen=True)
class RackFilter:
    """What somebody wants to see of the rack; empty is all of it."""

    words: str = ""
    form: str = ""
    alloy: str = ""
    place: str = ""
    is_free: bool = False

    @property
    def is_narrow(self) -> bool:
        """Whether anything is left out."""
        return self != RackFilter()


@dataclass(frozen=True)
class RackRow:
    """One piece: how much of it, what is free, and its drawing."""

    piece: Piece
    amount: str
    free: str  # empty when all of it is free
    name: str = ""  # of a counted thing
    bar: PieceBar | None = None
    sheet: SheetPicture | None = None


@dataclass(frozen=True)
class RackGroup:
    """Like pieces: one alloy in one form and section; counted things all together."""

    form: str
    title: str
    on_hand: str
    free: str
    aside: str
    longest: str
    value_cents: int
    rows: tuple[RackRow, ...]


def wanted(given: QueryDict) -> RackFilter:
    """The filter in the address of the page."""
    return RackFilter(
        words=plain_words(given, "q"),
        form=plain_words(given, "form"),
        alloy=plain_words(given, "alloy"),
        place=plain_words(given, "place"),
        is_free=plain_words(given, "free") == "1",
    )


def found_pieces(asked: RackFilter, *, book: alloys.Book) -> list[Piece]:
    """The pieces that stand and fit the filter, in the order of the rack."""
    rows = Piece.objects.standing().select_related("material")
    if asked.form:
        rows = rows.filter(material__form=asked.form)
    if asked.alloy:
        rows = rows.filter(material__alloy=asked.alloy)
    if asked.place:
        rows = rows.filter(place=asked.place)
    if asked.is_free:
        rows = rows.filter(on_hand__gt=F("set_aside"))
    if asked.words:
        rows = rows.filter(matching(asked.words, book=book))
    return list(rows)


def matching(words: str, *, book: alloys.Book) -> Q:
    """A mark as typed, or words in an alloy's name, a material's name, place, lot or note."""
    named = [key for key, alloy in book.items() if words.lower() in alloy.name.lower()]
    found = (
        Q(mark__icontains=words)
        | Q(place__icontains=words)
        | Q(heat_lot__icontains=words)
        | Q(note__icontains=words)
        | Q(material__name__icontains=words)
        | Q(material__alloy__in=named)
        | Q(material__alloy__icontains=words)
    )
    try:
        return found | Q(mark=marks.typed_mark(words))
    except marks.MarkError:
        return found


def drawn_asides(pieces: Iterable[Piece]) -> dict[int, list[SetAside]]:
    """What stands set aside on each piece, and what is cut out of each sheet."""
    rows = SetAside.objects.filter(
        Q(state=SetAside.State.STANDING)
        | Q(state=SetAside.State.CUT, piece__material__form=Form.SHEET),
        piece__on_hand__gt=0,
    ).order_by("piece", "position", "id")
    wanted_ids = {piece.pk for piece in pieces}
    found: dict[int, list[SetAside]] = {}
    for row in rows:
        if row.piece_id in wanted_ids:
            found.setdefault(row.piece_id, []).append(row)
    return found


def bars_of(pieces: Sequence[Piece], *, asides: dict[int, list[SetAside]]) -> dict[int, PieceBar]:
    """Bars to one scale, rolls to another: a roll would make every bar a speck."""
    drawn: dict[int, PieceBar] = {}
    for forms in (BAR_FORMS, (Form.ROLL,)):
        alike = [piece for piece in pieces if piece.form in forms]
        sizes = [
            PieceSize(
                mark=piece.mark,
                length_nm=piece.on_hand,
                aside_nm=tuple(row.amount for row in asides.get(piece.pk, []) if row.amount),
            )
            for piece in alike
        ]
        for piece, bar in zip(alike, piece_bars(sizes).bars, strict=True):
            drawn[piece.pk] = bar
    return drawn


def glance(amount: int, *, form: str, house: House) -> str:
    """An amount as it is read off a rack; the page of the piece has it exactly."""
    return amount_text(amount, form=form, system=house.system, style="rack")


def rack_groups(pieces: Sequence[Piece], *, house: House, book: alloys.Book) -> list[RackGroup]:
    """Pieces grouped by material, in the order of the forms and then of the alloys."""
    asides = drawn_asides(pieces)
    bars = bars_of(pieces, asides=asides)
    longest_nm = max([p.length_nm for p in pieces if p.form == Form.SHEET], default=1)
    groups: dict[tuple[str, int], list[RackRow]] = {}
    for piece in pieces:
        is_counted = piece.form == Form.COUNTED
        row = RackRow(
            piece=piece,
            amount=glance(piece.on_hand, form=piece.form, house=house),
            free=glance(piece.free, form=piece.form, house=house) if piece.set_aside else "",
            name=piece.material.name if is_counted else "",
            bar=bars.get(piece.pk),
            sheet=sheet_picture(piece, rows=asides.get(piece.pk, []), longest_nm=longest_nm)
            if piece.form == Form.SHEET
            else None,
        )
        key = (piece.form, 0 if is_counted else piece.material_id)
        groups.setdefault(key, []).append(row)
    made = [group(rows, house=house, book=book) for rows in groups.values()]
    return sorted(made, key=lambda one: (ORDER.index(Form(one.form)), one.title))


def group(rows: Sequence[RackRow], *, house: House, book: alloys.Book) -> RackGroup:
    """The sums of one group; counted things of many kinds have no sum."""
    pieces = [row.piece for row in rows]
    material = pieces[0].material
    is_counted = material.form == Form.COUNTED
    aside = sum(piece.set_aside for piece in pieces)

    def text(amount: int) -> str:
        return glance(amount, form=material.form, house=house)

    is_long = material.form in LENGTH_FORMS and len(pieces) > 1
    title = material_title(material, book=book, system=house.system)
    return RackGroup(
        form=material.form,
        title="Counted things" if is_counted else title,
        on_hand=text(sum(piece.on_hand for piece in pieces)),
        free="" if is_counted else text(sum(piece.free for piece in pieces)),
        aside=text(aside) if aside else "",
        longest=text(max(piece.free for piece in pieces)) if is_long else "",
        value_cents=sum(piece.value_cents for piece in pieces),
        rows=tuple(rows),
    )


class RackChoices(TypedDict):
    """What the filters offer, as value and word."""

    forms: list[tuple[str, str]]
    alloys: list[tuple[str, str]]
    places: list[str]


class RackPage(RackChoices):
    """The rack through its filter."""

    asked: RackFilter
    groups: list[RackGroup]
    piece_count: int
    value_cents: int
    is_empty: bool


def rack_page(given: QueryDict, *, house: House) -> RackPage:
    """All that the page of the rack shows."""
    asked, book = wanted(given), alloy_book()
    pieces = found_pieces(asked, book=book)
    return RackPage(
        asked=asked,
        groups=rack_groups(pieces, house=house, book=book),
        piece_count=len(pieces),
        value_cents=sum(piece.value_cents for piece in pieces),
        is_empty=not pieces and not asked.is_narrow,
        **rack_choices(book=book),
    )


def rack_choices(*, book: alloys.Book) -> RackChoices:
    """What the filters offer: only what the rack has."""
    rows = (
        Piece.objects.standing()
        .order_by()
        .values_list("material__form", "material__alloy", "place")
        .distinct()
    )
    forms, keys, places = (set(column) for column in zip(*rows, strict=True)) if rows else [()] * 3
    named = ((key, alloy_name(key, book=book)) for key in keys if key)
    return RackChoices(
        forms=[(form.value, str(form.label)) for form in ORDER if form in forms],
        alloys=sorted(named, key=lambda one: one[1]),
        places=sorted(place for place in places if place),
    )
