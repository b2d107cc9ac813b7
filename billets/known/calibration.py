"""The page of the shop's own record, from the fit to what is drawn and said. Pure.

It leaves out reading the billets (`billets.history.record`) and the fit
(`billets.forging.calibration`).
"""

from dataclasses import dataclass
from typing import TypedDict

from billets.drawings.chart import Residual, ResidualPlot, residual_plot
from billets.errors import length_words
from billets.forging.calibration import LEAST_BILLETS, MAD_TO_SIGMA, Calibration
from billets.forging.calibration import Residual as Measured
from billets.panel.figures import FigureLine, percent_text
from stock.house import House

MM_PER_IN = 25.4


@dataclass(frozen=True)
class ResidualRow:
    """One billet: predicted from all the others, measured, how far off."""

    mark: str
    predicted: str
    measured: str
    off: str
    width: str
    is_far: bool


class CalibrationPage(TypedDict):
    """What the shop's measured billets say."""

    found: Calibration
    least: int
    figures: list[FigureLine]
    plot: ResidualPlot | None
    across: str
    up: str
    rows: list[ResidualRow]
    place: str


def context(found: Calibration, *, house: House) -> CalibrationPage:
    """Everything that the page shows.

    Args:
        found: the fit.
        house: the shop's settings.

    Returns:
        Figures, the residual plot (None without a billet), rows, and what was left out.
    """
    return CalibrationPage(
        found=found,
        least=LEAST_BILLETS,
        figures=figures(found),
        plot=plot(found, house=house),
        across=f"predicted length, {house.unit}",
        up="measured less predicted, %",
        rows=[row_of(one, house=house) for one in found.residuals],
        place="billets",
    )


def figures(found: Calibration) -> list[FigureLine]:
    """Loss and spread of the shop with their scatter.

    Args:
        found: the fit.

    Returns:
        Figures; none while no billet is measured.
    """
    if not found.billets:
        return []
    return [
        FigureLine(
            "Lost in a heat",
            percent_text(found.loss_ratio),
            f"give or take {percent_text(found.loss_scatter)}",
        ),
        FigureLine("Spread", f"{found.spread:.3f}", f"give or take {found.spread_scatter:.3f}"),
        FigureLine("Cropped and ground off", percent_text(found.crop_ratio), "set in Shop"),
        FigureLine(
            "Eight billets in ten, length", f"within {percent_text(found.eight_in_ten_ratio)}"
        ),
        FigureLine("The worst, length", f"{percent_text(found.most_off_ratio)} off"),
    ]


def plot(found: Calibration, *, house: House) -> ResidualPlot | None:
    """Residuals of the lengths against what was predicted.

    Args:
        found: the fit.
        house: the shop's settings, for the unit across.

    Returns:
        The plot, in per cent upwards and in or mm across; None without a billet.
    """
    if not found.residuals:
        return None
    unit_mm = MM_PER_IN if house.system == "inch" else 1.0
    points = [
        Residual(one.predicted_length_mm / unit_mm, one.length_ratio * 100, one.mark)
        for one in found.residuals
    ]
    return residual_plot(points, scatter=scatter_percent(found))


def scatter_percent(found: Calibration) -> float:
    """The shop's own scatter of lengths: the median difference, made comparable to a sigma.

    Args:
        found: the fit.

    Returns:
        Per cent of the length; 0 for fewer than two billets.

    Source:
        Median deviation × 1.4826: Rousseeuw & Croux (1993), from memory.
    """
    offs = sorted(abs(one.length_ratio) for one in found.residuals)
    if len(offs) < 2:
        return 0.0
    middle = len(offs) // 2
    median = offs[middle] if len(offs) % 2 else (offs[middle - 1] + offs[middle]) / 2
    return 100 * MAD_TO_SIGMA.value * median


def row_of(one: Measured, *, house: House) -> ResidualRow:
    """One billet in words.

    Args:
        one: a residual of `billets.forging.calibration`.
        house: the shop's settings.

    Returns:
        Its row.
    """
    system = house.system
    sign = "+" if one.length_ratio >= 0 else "−"
    return ResidualRow(
        mark=one.mark,
        predicted=length_words(one.predicted_length_mm, system=system),
        measured=length_words(one.length_mm, system=system),
        off=f"{sign}{percent_text(abs(one.length_ratio))}",
        width=f"{length_words(one.predicted_width_mm, system=system)} → "
        f"{length_words(one.width_mm, system=system)}",
        is_far=one.is_far,
    )
