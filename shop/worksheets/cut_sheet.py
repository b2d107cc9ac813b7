"""Reads the printable cut sheet of a class: each piece drawn, with its stops and its blanks.

What is to be cut comes from the set-asides, as the cut list has it; the drawings and the order
of the shears come from the plan that was confirmed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shop.cut_list import reading as cut_list_reading
from shop.models import ForgeClass, PlanRun
from shop.planning import reading as planning_reading
from shop.planning.cut_plan import CutPlan
from shop.planning.cut_steps import ShearStep
from shop.planning.reading import PieceView
from shop.sheets.words import Told
from stock.drawings.pieces import BarCuts
from stock.drawings.sheets import SheetLayout
from stock.house import House
from stock.quantities import units


@dataclass(frozen=True)
class CutLine:
    """One cut on paper: where the saw stands (bars), what comes of it, for whom."""

    number: int
    is_done: bool
    stop: str
    size: Told
    label: str
    who: str


@dataclass(frozen=True)
class CutPage:
    """One piece to fetch: drawing, cuts in order, what is left.

    `key` is letters that make the ids of its drawing its own.
    """

    key: str
    mark: str
    metal: str
    section: str
    place: str
    heat_lot: str
    is_bar: bool
    bar: BarCuts | None
    sheet: SheetLayout | None
    steps: tuple[ShearStep, ...]
    form: str
    lines: tuple[CutLine, ...]
    is_touched: bool
    is_done: bool


def cut_pages(forge_class: ForgeClass, *, house: House) -> list[CutPage]:
    """The pieces of a class in the order of least walking, what is done last."""
    pieces = cut_list_reading.cut_list(forge_class, house=house)["pieces"]
    views = views_of(forge_class, house=house)
    return [cut_page(piece, views=views, house=house) for piece in pieces]


def views_of(forge_class: ForgeClass, *, house: House) -> dict[str, PieceView]:
    """The pieces of the confirmed plan by their mark."""
    run = forge_class.runs.filter(state=PlanRun.State.CONFIRMED).first()
    if run is None:
        return {}
    plan, names = CutPlan.from_json(run.result), planning_reading.need_names(forge_class)
    parts = [planning_reading.part_view(part, names=names, house=house) for part in plan.parts]
    return {piece.mark: piece for part in parts for piece in part.pieces}


def cut_page(
    piece: cut_list_reading.CutPiece, *, views: Mapping[str, PieceView], house: House
) -> CutPage:
    """One piece; its drawing only where the plan that drew it is the one that stands."""
    material, source = piece.piece.material, piece.source
    view = views.get(source.mark)
    is_drawn = view is not None and {line.name for line in view.cuts} == labels_of(piece)
    is_bar = any(line.is_bar for line in piece.rows)
    return CutPage(
        key=f"p{piece.piece.pk}",
        mark=piece.piece.mark,
        metal=piece.alloy_name,
        section=units.section_as_sold(material.section_nm, system=house.system),
        place=source.place,
        heat_lot=piece.piece.heat_lot or source.heat_lot,
        is_bar=is_bar,
        bar=view.bar if view and is_drawn else None,
        sheet=(view.sheet if view and is_drawn else None) or piece.sheet,
        steps=view.steps if view and is_drawn else (),
        form=source.form,
        lines=tuple(
            cut_line(line, number=number, house=house, is_touched=piece.is_touched)
            for number, line in enumerate(piece.rows, start=1)
        ),
        is_touched=piece.is_touched,
        is_done=piece.is_done,
    )


def labels_of(piece: cut_list_reading.CutPiece) -> set[str]:
    """The blanks that are cut from a piece."""
    return {line.row.label for line in piece.rows if line.is_blank}


def cut_line(
    line: cut_list_reading.CutRow, *, number: int, house: House, is_touched: bool
) -> CutLine:
    """One cut in words."""
    row, system = line.row, house.system
    has_stop = line.stop_nm is not None and not is_touched
    stop = units.length_text(line.stop_nm or 0, system=system) if has_stop else ""
    sizes = (row.length_nm,) if line.is_bar or line.is_strip else (row.width_nm, row.length_nm)
    size = Told(
        units.section_text(sizes, system=system), units.section_second_text(sizes, system=system)
    )
    if line.is_strip:
        return CutLine(number, line.is_done, "", size, "strip", "off the end of the roll")
    if not line.is_blank:
        kept = "back to the rack" if row.is_kept else "scrap"
        return CutLine(number, line.is_done, "", size, line.new_mark, kept)
    return CutLine(number, line.is_done, stop, size, row.label, line.who)
