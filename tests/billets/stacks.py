"""Invented layups for tests, written in millimetres from the bottom up."""

from collections.abc import Mapping
from typing import Any

from billets.findings import findings
from billets.findings.findings import Finding
from billets.layup.case import Case, case_of
from billets.layup.design import Blade, Design, Layer
from billets.layup.limits import Rules
from stock.alloys.book import Alloy, Figure, book
from stock.house import House

MM = 1_000_000
RULES = Rules()


def clad(alloy: str = "1018", mm: float = 4.0) -> Layer:
    """An outer layer."""
    return Layer(alloy, round(mm * MM), "cladding")


def line(alloy: str = "c11000", mm: float = 0.5) -> Layer:
    """A line."""
    return Layer(alloy, round(mm * MM), "line")


def core(alloy: str = "1084", mm: float = 4.0) -> Layer:
    """A core."""
    return Layer(alloy, round(mm * MM), "core")


def jacket(alloy: str = "15n20", mm: float = 2.0) -> Layer:
    """A layer between two lines."""
    return Layer(alloy, round(mm * MM), "jacket")


def lay(*layers: Layer, finish_mm: float = 6.5, **changes: Any) -> Design:
    """A layup of 150 by 30 mm blanks, forged to 6.5 mm for a blade 4 mm at the spine."""
    given: dict[str, Any] = {
        "blank_length_nm": 150 * MM,
        "blank_width_nm": 30 * MM,
        "finish_thickness_nm": round(finish_mm * MM),
        "blade": Blade(spine_nm=4 * MM, height_nm=32 * MM),
    }
    return Design(layers=tuple(layers), **{**given, **changes})


def around(middle: Layer, *side: Layer, **changes: Any) -> Design:
    """A layup with the same layers on both sides, from the outside in."""
    return lay(*side, middle, *reversed(side), **changes)


def five(**changes: Any) -> Design:
    """A sound five-layer stack, 13 mm high: 4, 0.5, 4, 0.5, 4."""
    return around(core(), clad(), line(), **changes)


def nine(**changes: Any) -> Design:
    """A sound stack with two lines a side, 17 mm high: 3, 0.5, 2, 0.5, 5, and back."""
    layers = (clad(mm=3.0), line(), jacket(), line())
    return around(core(mm=5.0), *layers, finish_mm=6.0, **changes)


def own(key: str, **figures: Any) -> Alloy:
    """An alloy that only these tests know."""
    given = {
        "name": key,
        "family": "other",
        "hardens": False,
        "density_kg_m3": Figure(7850.0, "invented for a test", "shop"),
    }
    return Alloy(key=key, **{**given, **figures})


def heat(celsius: float) -> Figure:
    """An invented temperature."""
    return Figure(celsius, "invented for a test", "shop")


def cased(design: Design, house: House | None = None, **given: Any) -> Case:
    """A layup in a shop, with the published alloys."""
    return case_of(design, alloys=book(), house=house or House(), **given)


def judged(
    design: Design, *, rules: Rules = RULES, alloys: Mapping[str, Alloy] | None = None
) -> tuple[Finding, ...]:
    """What is said about a layup."""
    return findings.findings(Case(design, alloys or book(), House(), rules))


def codes(found: tuple[Finding, ...], level: str) -> set[str]:
    """Codes of one level."""
    return {one.code for one in found if one.level == level}


def only(found: tuple[Finding, ...], code: str) -> Finding:
    """The one finding with a code."""
    (one,) = [each for each in found if each.code == code]
    return one
