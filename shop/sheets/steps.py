"""The steps of a billet as tick boxes, in the words of the shop floor.

Pure. The order and the wording are common practice; the figures in them are the sheet's own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from billets.layup.case import Case
from billets.layup.design import Design
from shop.sheets.heat import HeatOnPaper
from shop.sheets.press import PressOnPaper


@dataclass(frozen=True)
class PaperStep:
    """One box to tick: what to do, and how."""

    do: str
    how: str


def steps_on_paper(
    case: Case, *, heat: HeatOnPaper, press: PressOnPaper, folds: int
) -> tuple[PaperStep, ...]:
    """Every step from the blanks to the finished billet.

    Args:
        case: the layup in its shop.
        heat: what the sheet says of heat.
        press: what it says of the press.
        folds: times that a bar is cut, stacked in two and welded again, 0 or more.

    Returns:
        Steps in order.

    Source:
        Common practice.
    """
    design, is_bonded = case.design, case.process == "bonded"
    order = [
        *_building(design, is_bonded=is_bonded),
        *_heating(heat, press, is_bonded=is_bonded, is_chisel=design.blade.is_chisel),
    ]
    return (*order, *_finishing(press, folds=folds, layers=len(design.layers)))


def _building(design: Design, *, is_bonded: bool) -> Iterator[PaperStep]:
    """From the blanks to a stack that is welded shut."""
    scour = " Scour the strip, do not grind it." if is_bonded else ""
    yield PaperStep(
        "Clean.",
        f"Both faces of every blank ground bright.{scour} Wipe with alcohol and let it dry well "
        "away from the arc; no fingers. Never a chlorinated cleaner.",
    )
    order = (
        "Copper never outside, steel never on steel."
        if is_bonded
        else "Scale or grease inside is a flaw for good."
    )
    yield PaperStep("Stack", f"in the order drawn, from layer 1 up. {order} Clamp.")
    if design.seam_closed:
        yield PaperStep(
            "Weld every seam,",
            "all four sides, no pinhole. The stack must be dry inside: a wet one can burst.",
        )
    else:
        yield PaperStep("Tack the corners.", "This stack's seams stay open: flux, and watch it.")
    side = " on the side of layer 1: that face is not ground" if design.blade.is_chisel else ""
    yield PaperStep("Weld the handle on.", f"Write the mark on it{side}.")


def _heating(
    heat: HeatOnPaper, press: PressOnPaper, *, is_bonded: bool, is_chisel: bool
) -> Iterator[PaperStep]:
    """From the cold stack to the drawn billet."""
    top = f"Never above {heat.ceiling.first}." if heat.ceiling else "Never above the ceiling."
    yield PaperStep("Heat slowly,", f"turning it. {top} Look at edges and corners.")
    then = f"{heat.soak} more" if heat.soak else "longer"
    yield PaperStep(
        "Soak.",
        f"Once the faces are at heat, {then}; before the first bond longer still.",
    )
    where = f", {press.setting}" if press.setting else ""
    weld = "" if is_bonded or not heat.weld else f" Welds at {heat.weld}."
    yield PaperStep(
        f"Set with flat dies{where}.",
        f"Straight down, middle to ends, the whole length. Do not draw yet.{weld}",
    )
    why = "both sides thin alike" if is_chisel else "the core stays central"
    yield PaperStep("Draw by the table,", f"down to each stop. Turn it over every heat: {why}.")
    yield PaperStep("Keep the edges square.", "Lightly, hot, never hard on the seam.")
    low = f"before {heat.floor.first}" if heat.floor else "before it is too cold"
    yield PaperStep("Back in the fire", f"{low}: cold work opens the bond.")


def _finishing(press: PressOnPaper, *, folds: int, layers: int) -> Iterator[PaperStep]:
    """From the drawn billet to the measured one."""
    if folds:
        times = "once" if folds == 1 else f"{folds} times"
        total = layers * 2**folds
        yield PaperStep(
            f"Fold {times}.",
            f"Cut in two, grind bright, stack, weld: {layers} layers become {total}.",
        )
    size = f" to {press.finish.first}" if press.finish else ""
    yield PaperStep("Flatten and cool slowly.", "In vermiculite or ash, not in water.")
    yield PaperStep("Crop the ends,", f"grind the seams off{size}. Count the layers at the end.")
    yield PaperStep("Measure,", "write it below, hand this sheet in.")
