"""The instructor's cover: billets, metal, cut list, timetable. Pure; no money for anybody.

It leaves out where its facts are read (`shop.worksheets.reading`).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from billets.layup.seam import FillerError, wire_ug
from shop.calendar.class_day import (
    UNCOUNTED,
    Pace,
    Timetable,
    class_blocks,
    heat_round_min,
    timetable,
)
from shop.sheets.student import StudentSheet
from stock.alloys.book import Book, alloy_name
from stock.house import House
from stock.quantities import units

NM3_KG_M3_PER_UG = 10**18  # 1 kg/m³ x 1 nm³ = 1e9 µg / 1e27 nm³


@dataclass(frozen=True)
class Occasion:
    """What a class is: title, days, place, notes."""

    title: str
    days: str
    place: str
    note: str
    first: date
    last: date
    students: int
    spares: int


@dataclass(frozen=True)
class BilletRow:
    """One billet on the cover."""

    mark: str
    who: str
    is_spare: bool
    layup: str
    blanks: str
    ceiling: str
    finish: str
    stage: str


@dataclass(frozen=True)
class MetalRow:
    """All like blanks of a class."""

    alloy: str
    section: str
    blanks: str
    mass: str


@dataclass(frozen=True)
class CutRow:
    """One piece to cut, with all its stops in a row."""

    mark: str
    metal: str
    where: str
    stops: tuple[str, ...]


@dataclass(frozen=True)
class Cover:
    """The instructor's pages."""

    occasion: Occasion
    billets: tuple[BilletRow, ...]
    metal: tuple[MetalRow, ...]
    mass: str
    wire: str
    cuts: tuple[CutRow, ...]
    timetable: Timetable | None
    pace: str


def cover(
    occasion: Occasion,
    *,
    sheets: Sequence[StudentSheet],
    cuts: Sequence[CutRow],
    alloys: Book,
    house: House,
) -> Cover:
    """The cover over a class's sheets.

    Args:
        occasion: the class.
        sheets: the sheets of all its billets, spares last.
        cuts: the cut list by piece.
        alloys: every alloy by key.
        house: the shop's settings.

    Returns:
        Words in the shop's system.
    """
    metal, mass_ug = metal_rows(sheets, alloys=alloys, house=house)
    table = _timetable(occasion, sheets=sheets)
    return Cover(
        occasion=occasion,
        billets=tuple(_billet_row(sheet, system=house.system) for sheet in sheets),
        metal=metal,
        mass=units.mass_text(mass_ug, system=house.system),
        wire=_wire(sheets, alloys=alloys, house=house),
        cuts=tuple(cuts),
        timetable=table,
        pace=f"One heat of every billet takes about {table.round_min} min. {UNCOUNTED}"
        if table
        else "",
    )


def metal_rows(
    sheets: Sequence[StudentSheet], *, alloys: Book, house: House
) -> tuple[tuple[MetalRow, ...], int]:
    """All blanks of a class by alloy and size, thickest first, and their mass.

    Args:
        sheets: the sheets of all its billets.
        alloys: every alloy by key; an unknown one has no mass.
        house: the shop's settings.

    Returns:
        Rows, and the mass of all of them [µg], blanks as cut, kerf not counted.
    """
    counts: dict[tuple[str, int, int, int], int] = {}
    for sheet in sheets:
        design = sheet.subject.design
        length_nm = design.blank_length_nm + design.cut_allowance_nm
        for layer in design.layers:
            key = (layer.alloy, layer.thickness_nm, design.blank_width_nm, length_nm)
            counts[key] = counts.get(key, 0) + 1
    rows, total_ug = [], 0
    for (named, thick_nm, wide_nm, long_nm), count in sorted(counts.items()):
        alloy = alloys.get(named)
        density = alloy.density_kg_m3.value if alloy else 0.0
        ug = round(count * thick_nm * wide_nm * long_nm * density / NM3_KG_M3_PER_UG)
        total_ug += ug
        rows.append(
            MetalRow(
                alloy=alloy_name(named, book=alloys),
                section=units.section_as_sold((thick_nm, wide_nm), system=house.system),
                blanks=f"{count} × {units.length_text(long_nm, system=house.system)}",
                mass=units.mass_text(ug, system=house.system) if alloy else "not known",
            )
        )
    return tuple(rows), total_ug


def _wire(sheets: Iterable[StudentSheet], *, alloys: Book, house: House) -> str:
    """Filler wire for all seams, by estimate."""
    try:
        ug = sum(wire_ug(sheet.subject.design, house=house, alloys=alloys) for sheet in sheets)
    except FillerError:
        return ""
    return units.mass_text(ug, system=house.system) if ug else ""


def _billet_row(sheet: StudentSheet, *, system: str) -> BilletRow:
    subject, design = sheet.subject, sheet.subject.design
    size = units.section_text((design.blank_length_nm, design.blank_width_nm), system=system)
    return BilletRow(
        mark=subject.mark or "–",
        who=subject.who,
        is_spare=subject.is_spare,
        layup=subject.layup_name,
        blanks=f"{len(design.layers)} × {size}",
        ceiling=sheet.heat.ceiling.first if sheet.heat.ceiling else "not known",
        finish=sheet.press.finish.first if sheet.press.finish else "not known",
        stage=subject.stage,
    )


def _timetable(occasion: Occasion, *, sheets: Sequence[StudentSheet]) -> Timetable | None:
    """The days of the class, after the longest schedule among its billets."""
    if not sheets:
        return None
    pace = Pace()
    longest = max(sheets, key=lambda sheet: sum(map(len, sheet.press.tables)))
    heats = [
        f"{row.work.lower()}, stop at {row.stop.first}"
        for table in longest.press.tables
        for row in table
    ]
    blocks = class_blocks(billets=len(sheets), heats=heats, pace=pace)
    return timetable(
        blocks,
        first=occasion.first,
        last=occasion.last,
        pace=pace,
        round_min=heat_round_min(len(sheets), pace=pace),
    )
