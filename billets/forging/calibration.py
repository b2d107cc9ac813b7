"""What the shop's own measured billets say about loss and spread.

Each billet gives one loss per heat and one spread; the shop's figures are their medians, so that
one wild billet among five moves nothing. Billets that cannot be true are left out with a note.
The spread is taken as one exponent for the shop: it holds for widths and dies like those that
were measured. A measurement that looks wrong is asked about when it is written down.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median

from billets.errors import CalibrationError, ForgingError
from billets.forging.drawout import Block
from billets.forging.schedule import Method
from billets.layup.case import OwnFigures
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
        and `calibrate` leaves it out with a note.

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


LEAST_BILLETS = 5  # the shop's own figures are used from here on
MAD_TO_SIGMA = Figure(1.4826, "1 / Φ⁻¹(3/4) of the normal curve (scipy.stats)", "read")
FAR_SIGMAS = Figure(3.5, "Iglewicz & Hoaglin, How to Detect and Handle Outliers (1993)", "memory")
ROUGH_BILLETS = 10  # under this the worst case is hardly seen yet; common practice


@dataclass(frozen=True)
class Own:
    """Loss in a heat (share of the volume) and spread exponent."""

    loss_ratio: float
    spread: float


@dataclass(frozen=True)
class Residual:
    """A billet against what the other billets predict for it [mm]; ratio of the lengths less 1."""

    mark: str
    predicted_length_mm: float
    length_mm: float
    predicted_width_mm: float
    width_mm: float
    is_far: bool

    @property
    def length_ratio(self) -> float:
        """How much longer than predicted, as a share."""
        return self.length_mm / self.predicted_length_mm - 1


@dataclass(frozen=True)
class LeftOut:
    """A billet that is not in the fit, and why."""

    mark: str
    why: str


@dataclass(frozen=True)
class Calibration:
    """The shop's own loss and spread, their scatter, and what they rest on.

    `loss_ratio` may be just below 0 where the shop crops less than its setting says; predictions
    then use 0, and `trust` says so.
    """

    loss_ratio: float
    loss_scatter: float
    spread: float
    spread_scatter: float
    crop_ratio: float
    residuals: tuple[Residual, ...]
    left_out: tuple[LeftOut, ...]

    @property
    def billets(self) -> int:
        """How many billets it rests on."""
        return len(self.residuals)

    @property
    def is_used(self) -> bool:
        """Whether there are enough billets for predictions to use it."""
        return self.billets >= LEAST_BILLETS

    @property
    def most_off_ratio(self) -> float:
        """Largest difference of a length from what the others predict, as a share."""
        return max((abs(one.length_ratio) for one in self.residuals), default=0.0)

    @property
    def eight_in_ten_ratio(self) -> float:
        """Difference that eight billets in ten stay within, as a share."""
        offs = sorted(abs(one.length_ratio) for one in self.residuals)
        return offs[math.ceil(0.8 * len(offs)) - 1] if offs else 0.0

    @property
    def trust(self) -> str:
        """How far to trust it, in a sentence or three."""
        if not self.is_used:
            return (
                f"{self.billets} of {LEAST_BILLETS} measured billets so far. Until there are "
                f"{LEAST_BILLETS}, predictions use the published figures and the shop's settings."
            )
        words = [
            f"Rests on {self.billets} measured billets. Predicted from the others, eight in ten "
            f"came out within {self.eight_in_ten_ratio * 100:.1f} % in length, the worst "
            f"{self.most_off_ratio * 100:.1f} % off."
        ]
        if self.billets < ROUGH_BILLETS:
            words.append(f"Fewer than {ROUGH_BILLETS}: expect a worse one yet.")
        if self.loss_ratio < 0:
            words.append("They lose less than is set for cropping; lower that setting.")
        return " ".join(words)


def own_figures(measured: Measured, *, crop_ratio: float) -> Own:
    """Loss and spread of one billet.

    Args:
        measured: a billet that `why_left_out` has nothing against.
        crop_ratio: share of the volume cropped and ground off at the end, 0 to below 1.

    Returns:
        λ from V1 = V0 (1 − λ)^n (1 − crop), and s from W1/W0 = ((T0/T1)(1 − λ)^n)^s, which is
        what `billets.forging.schedule.stages` does with them.

    Raises:
        CalibrationError: the billet says nothing.

    Source:
        Conservation of volume; the form of Tomlinson & Stringer (1959) (from memory).
    """
    if why := why_left_out(measured):
        raise CalibrationError("{mark} is {why}.", plain={"mark": measured.mark, "why": why})
    kept_log = math.log(measured.kept_ratio) - math.log1p(-crop_ratio)
    thinned_log = math.log(measured.draw_ratio) + kept_log
    widened_log = math.log(measured.finish.width_mm / measured.start.width_mm)
    if thinned_log <= 0:
        return Own(-math.expm1(kept_log / measured.heats), 0.0)
    return Own(-math.expm1(kept_log / measured.heats), widened_log / thinned_log)


def predicted_size_mm(measured: Measured, *, own: Own, crop_ratio: float) -> tuple[float, float]:
    """Length and width that a loss and a spread predict at a billet's finished thickness.

    Args:
        measured: the billet; its finished length and width are not looked at.
        own: loss and spread.
        crop_ratio: share of the volume cropped and ground off.

    Returns:
        Length and width [mm].
    """
    kept = (1 - own.loss_ratio) ** measured.heats
    width_mm = measured.start.width_mm * (measured.draw_ratio * kept) ** own.spread
    volume_mm3 = measured.start.volume_mm3 * kept * (1 - crop_ratio)
    return volume_mm3 / (width_mm * measured.finish.thickness_mm), width_mm


def calibrate(billets: Sequence[Measured], *, crop_ratio: float) -> Calibration:
    """The shop's own loss per heat and spread from its measured billets.

    Args:
        billets: measured billets in any order; strange ones may be among them.
        crop_ratio: share of the volume cropped and ground off, the shop's setting, 0 to below 1.

    Returns:
        Medians with their scatter (median deviation × 1.4826), each billet against what the
        others predict, and those left out with the reason. With no billets all is 0 and
        `is_used` is False.

    Source:
        Medians and median deviation: Rousseeuw & Croux (1993) (from memory).
    """
    notes = [(one, why_left_out(one)) for one in billets]
    used = [one for one, why in notes if not why]
    owns = [own_figures(one, crop_ratio=crop_ratio) for one in used]
    losses, spreads = [own.loss_ratio for own in owns], [own.spread for own in owns]
    return Calibration(
        loss_ratio=median(losses) if losses else 0.0,
        loss_scatter=_scatter(losses),
        spread=median(spreads) if spreads else 0.0,
        spread_scatter=_scatter(spreads),
        crop_ratio=crop_ratio,
        residuals=_residuals(used, owns=owns, crop_ratio=crop_ratio),
        left_out=tuple(LeftOut(one.mark, why) for one, why in notes if why),
    )


def calibrated(method: Method, *, calibration: OwnFigures | None) -> Method:
    """The shop's method with its own loss and spread, once they rest on enough billets.

    Args:
        method: from the shop's settings.
        calibration: from its measured billets, if any.

    Returns:
        The same method while there are fewer than five billets; else with the shop's own loss
        per heat (never below 0) and spread, and the cropping they were found with.
    """
    if calibration is None or not calibration.is_used:
        return method
    return replace(
        method,
        loss_ratio=min(max(calibration.loss_ratio, 0.0), 0.19),
        spread=min(max(calibration.spread, -0.5), 1.0),
        crop_ratio=calibration.crop_ratio,
    )


def _scatter(values: Sequence[float]) -> float:
    """Scatter that one wild value does not move; 0 for fewer than two."""
    if len(values) < 2:
        return 0.0
    middle = median(values)
    return MAD_TO_SIGMA.value * median(abs(value - middle) for value in values)


def _residuals(
    used: Sequence[Measured], *, owns: Sequence[Own], crop_ratio: float
) -> tuple[Residual, ...]:
    """Every billet against what the others predict for it."""
    rows = []
    for place, one in enumerate(used):
        others = [own for other, own in enumerate(owns) if other != place] or owns
        own = Own(
            median(other.loss_ratio for other in others), median(other.spread for other in others)
        )
        length_mm, width_mm = predicted_size_mm(one, own=own, crop_ratio=crop_ratio)
        rows.append(
            Residual(
                mark=one.mark,
                predicted_length_mm=length_mm,
                length_mm=one.finish.length_mm,
                predicted_width_mm=width_mm,
                width_mm=one.finish.width_mm,
                is_far=False,
            )
        )
    # A hair of a thousandth keeps rounding from looking like scatter.
    reach = max(FAR_SIGMAS.value * _scatter([row.length_ratio for row in rows]), 1e-3)
    middle = median([row.length_ratio for row in rows]) if rows else 0.0
    return tuple(replace(row, is_far=abs(row.length_ratio - middle) > reach) for row in rows)
