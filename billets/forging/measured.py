"""A billet as it was measured before and after, and whether that can be true.

Leaves out the fit over many billets: that is `billets.forging.calibration`.
"""

import math
from dataclasses import dataclass

from billets.errors import ForgingError
from billets.forging.drawout import Block
from stock.alloys.book import Figure

LEAST_KEPT_RATIO = Figure(0.5, "half the metal gone is a piece cut off, not scale", "practice")


@dataclass(frozen=True)
class Measured:
    """One billet: mark, stack as welded shut, heats, and the size it came out at."""

    mark: str
    start: Block
    heats: int
    finish: Block

    @property
    def kept_ratio(self) -> float:
        """Share of the stack's volume that is left."""
        return self.finish.volume_mm3 / self.start.volume_mm3

    @property
    def draw_ratio(self) -> float:
        """How many times thinner it came out."""
        return self.start.thickness_mm / self.finish.thickness_mm

    @property
    def longest_mm(self) -> float:
        """Length that all of the stack's metal has at the finished width and thickness."""
        face_mm2 = self.finish.width_mm * self.finish.thickness_mm
        return self.start.volume_mm3 / face_mm2


@dataclass(frozen=True)
class Question:
    """What is asked about a measurement that looks wrong; `sentence(system)` says it."""

    mark: str
    template: str
    lengths_mm: tuple[tuple[str, float], ...]
    percent: float

    def sentence(self, system: str) -> str:
        """The question, in inches or in millimetres."""
        return ForgingError(
            self.template,
            lengths_mm=dict(self.lengths_mm),
            plain={"mark": self.mark, "percent": f"{self.percent:.1f}"},
        ).sentence(system)


def question_about(measured: Measured) -> Question | None:
    """What to ask before a measurement is kept, if it cannot well be true.

    Args:
        measured: the billet as typed in.

    Returns:
        A question when the finish holds more metal than the stack did, or less than half of it;
        None when there is nothing to ask. A measurement that is confirmed all the same is kept,
        and `calibration.calibrate` leaves it out with a note.

    Source:
        Conservation of volume; common practice for the half.
    """
    finish = measured.finish
    lengths = (
        ("length", finish.length_mm),
        ("width", finish.width_mm),
        ("thickness", finish.thickness_mm),
        ("longest", measured.longest_mm),
    )
    kept = measured.kept_ratio
    if kept > 1:
        return Question(
            measured.mark,
            "{mark}: at {width} wide and {thickness} thick, all the metal of the stack is "
            "{longest} long, and {length} was typed in, {percent} % more. Is one of the sizes "
            "misread, or the start size wrong? Measure again, or confirm that it is so.",
            lengths,
            (kept - 1) * 100,
        )
    if kept < LEAST_KEPT_RATIO.value:
        return Question(
            measured.mark,
            "{mark}: {length} × {width} × {thickness} is only {percent} % of the stack's metal. "
            "Was a piece cut off, or is one of the sizes misread? Measure again, or confirm that "
            "it is so.",
            lengths,
            kept * 100,
        )
    return None


def why_left_out(measured: Measured) -> str:
    """Why a billet says nothing about loss and spread; empty when it does.

    Args:
        measured: the billet as kept.

    Returns:
        A note to print beside it, or "".

    Source:
        Conservation of volume; a billet that was not drawn shows no spread.
    """
    if measured.kept_ratio > 1:
        return "left out: finished with more metal than the stack had"
    if measured.kept_ratio < LEAST_KEPT_RATIO.value:
        return "left out: less than half of the stack is there"
    if measured.heats < 1:
        return "left out: its heats were not counted"
    if math.log(measured.draw_ratio) < 0.05:
        return "left out: hardly drawn, so its spread cannot be told"
    return ""
