"""The part of the live panel about drawing out: size, losses, schedule, layers. Pure.

It leaves out the sums (`billets.forging.forecast`): here they are put into the shop's words.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from billets.drawings.heat import LengthChart, LengthStep, length_chart
from billets.errors import length_words, nm_from_mm
from billets.forging.drawout import Block
from billets.forging.forecast import Outlook
from billets.forging.outcome import DrawOut, PressLine
from billets.layup.design import Design
from billets.panel.figures import (
    FigureLine,
    block_estimate,
    force_text,
    length_estimate,
    percent_text,
    time_left_text,
    width_estimate,
)
from stock.house import House

WORK_WORDS = {"set": "set the bond", "draw": "draw out", "flatten": "flatten"}


@dataclass(frozen=True)
class ScheduleRow:
    """One heat of the press schedule, in words."""

    heat: int
    work: str
    stop: str
    width: str
    length: str
    reduction: str
    force: str
    bite: str
    is_too_much: bool
    seconds: str


@dataclass(frozen=True)
class LayerRow:
    """Thickness of every layer after one heat, from the bottom up."""

    heat: str
    thicknesses: tuple[str, ...]


@dataclass(frozen=True)
class DrawnPart:
    """The drawn size with its losses, the schedule, the layers; `refused` says why not."""

    finish: Block | None
    size: str
    refused: str
    figures: tuple[FigureLine, ...] = ()
    schedule: tuple[ScheduleRow, ...] = ()
    layers: tuple[LayerRow, ...] = ()
    chart: LengthChart | None = None
    notes: tuple[str, ...] = ()


def drawn_part(outlook: Outlook, *, design: Design, house: House) -> DrawnPart:
    """Everything the panel says about drawing out.

    Args:
        outlook: what the metal becomes.
        design: the layup, for the sizes that were entered.
        house: the shop's settings.

    Returns:
        The part. Without a window the drawn size is still given, without seconds and forces;
        where the metal cannot become what is asked, only the sentence that says so.
    """
    finish = outlook.size.finish if outlook.size else None
    refused = outlook.refused.sentence(house.system) if outlook.refused else ""
    part = DrawnPart(
        finish=finish,
        size=_finish_text(finish, design=design, system=house.system) if finish else "",
        refused=refused,
    )
    outcome = outlook.outcome
    if outcome is None:
        return part
    return replace(
        part,
        figures=tuple(_figures(outcome, house=house)),
        schedule=tuple(_row(line, system=house.system) for line in outcome.lines),
        layers=_layer_rows(outcome, system=house.system),
        chart=length_chart(_steps(outcome)),
        notes=outcome.notes,
    )


def _finish_text(finish: Block, *, design: Design, system: str) -> str:
    return block_estimate(
        length_mm=finish.length_mm,
        width_mm=finish.width_mm,
        thickness_mm=finish.thickness_mm,
        width_is_set=design.finish_width_nm is not None,
        length_is_set=design.finish_length_nm is not None,
        system=system,
    )


def _figures(outcome: DrawOut, *, house: House) -> Iterator[FigureLine]:
    """Every loss, the spread and where it comes from, heats, what the press has to do."""
    for loss in outcome.losses:
        yield FigureLine(f"Lost as {loss.name}", percent_text(loss.ratio))
    yield FigureLine("Lost in all", percent_text(outcome.loss_ratio), "of the stack's metal")
    spread = round(outcome.spread, 2) + 0.0  # never -0
    yield FigureLine("Spread", f"{spread:.2f}", f"from {outcome.spread_from}")
    yield FigureLine("Heats", str(outcome.heats))
    yield from _force_figures(outcome, house=house)


def _force_figures(outcome: DrawOut, *, house: House) -> Iterator[FigureLine]:
    """The hardest heat against the press; where it is beyond the press, the bite that is not."""
    system = house.system
    hardest = max(outcome.lines, key=lambda line: line.force_n)
    force = force_text(hardest.force_n, system=system)
    if outcome.tool != "press":
        yield FigureLine("Most force", force, f"in heat {hardest.heat}, at the floor")
        yield FigureLine("Worked with", "hand hammer", "no press is set in Shop")
        return
    press = force_text(float(house.press_n), system=system)
    yield FigureLine("The shop's press", press)
    tight = [line for line in outcome.lines if line.fits is False]
    if not tight:
        yield FigureLine("Most force", force, f"in heat {hardest.heat}, at the floor")
        return
    narrow = min(tight, key=lambda line: line.largest_bite_mm or 0.0)
    whole = force_text(narrow.force_n, system=system)
    yield FigureLine(
        "Smallest bite",
        length_words(narrow.largest_bite_mm or 0.0, system=system),
        f"in heat {narrow.heat}; the whole width of the die would take {whole}",
    )


def _row(line: PressLine, *, system: str) -> ScheduleRow:
    if line.largest_bite_mm is None:
        bite = "by hand"
    else:
        bite = length_words(line.largest_bite_mm, system=system)
    return ScheduleRow(
        heat=line.heat,
        work=WORK_WORDS[line.work],
        stop=length_words(line.stop_mm, system=system),
        width=width_estimate(line.width_mm, system=system),
        length=length_estimate(line.length_mm, system=system),
        reduction=percent_text(line.reduction),
        force=force_text(line.force_n, system=system),
        bite=bite,
        is_too_much=line.fits is False,
        seconds=time_left_text(line.seconds),
    )


def _layer_rows(outcome: DrawOut, *, system: str) -> tuple[LayerRow, ...]:
    """Every layer after every heat."""
    rows = [(str(line.heat), line.layers_mm) for line in outcome.lines]
    return tuple(
        LayerRow(heat, tuple(length_words(mm, system=system) for mm in layers))
        for heat, layers in rows
    )


def _steps(outcome: DrawOut) -> list[LengthStep]:
    """The stack, then the billet after each heat, then cropped."""
    start, finish = outcome.start, outcome.finish
    steps = [_step("stack", start.thickness_mm, start.length_mm)]
    steps += [
        _step(f"heat {line.heat}, {line.work}", line.stop_mm, line.length_mm)
        for line in outcome.lines
    ]
    return [*steps, _step("cropped", finish.thickness_mm, finish.length_mm)]


def _step(name: str, thickness_mm: float, length_mm: float) -> LengthStep:
    return LengthStep(name, nm_from_mm(thickness_mm), nm_from_mm(length_mm))
