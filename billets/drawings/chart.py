"""Charts as numbers: how far measured billets lie from the prediction, and sums step by step.

It leaves out the fit (`billets.forging.calibration`) and every unit: values are drawn as they are
given.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from stock.drawings.shapes import DrawingError, nice_ticks, percent, rounded

TEAR_BELOW = 0.35  # of the widest reach: steps of less than this together are drawn torn
TEAR_AIR = 0.6  # of what differs, kept left of it


@dataclass(frozen=True)
class Residual:
    """One measured billet: what was predicted, how far it came out from that, its mark."""

    predicted: float
    residual: float
    mark: str
    is_left_out: bool = False


@dataclass(frozen=True)
class Dot:
    """One billet in the plot, in per cent from the left and from the top."""

    x: float
    y: float
    residual: Residual


@dataclass(frozen=True)
class Tick:
    """A round value on an axis, and where it stands in per cent."""

    value: float
    at: float


@dataclass(frozen=True)
class ResidualPlot:
    """Residuals against predictions; the band holds the shop's own scatter about 0."""

    dots: tuple[Dot, ...]
    ticks_x: tuple[Tick, ...]
    ticks_y: tuple[Tick, ...]
    zero_y: float
    band_y: float
    band_height: float
    scatter: float


@dataclass(frozen=True)
class Share:
    """One step of a sum: an amount that is added (or taken, below 0), or a total so far."""

    name: str
    amount: float
    is_total: bool = False


@dataclass(frozen=True)
class WaterfallRow:
    """One step, drawn: where its bar begins and how wide it is, in per cent."""

    name: str
    amount: float
    is_total: bool
    x: float
    width: float
    kind: str  # "is-more", "is-less" or "is-total"
    is_torn: bool = False  # it begins at nothing, which lies left of the drawing


@dataclass(frozen=True)
class Waterfall:
    """A sum step by step; `zero_x` is where nothing stands.

    `begins_at` is the amount at the left edge: above 0 the bars from nothing are drawn torn.
    """

    rows: tuple[WaterfallRow, ...]
    zero_x: float
    begins_at: float = 0


def residual_plot(points: Sequence[Residual], *, scatter: float) -> ResidualPlot:
    """Measured minus predicted, against predicted.

    Args:
        points: measured billets, at least one; predicted and residual in one unit each.
        scatter: standard deviation of the residuals [unit of the residuals], 0 or more.

    Returns:
        Places in per cent; the residual axis is even about 0 and holds the scatter.

    Raises:
        DrawingError: there is no point, or the scatter is below 0.

    Source:
        Common practice for checking a fit.
    """
    if not points or scatter < 0:
        raise DrawingError(
            "A residual plot needs at least one measured billet and a scatter of 0 or more.",
            points=len(points),
            scatter=scatter,
        )
    left = min(point.predicted for point in points)
    right = max(point.predicted for point in points)
    air = 0.08 * (right - left) or max(abs(left) * 0.1, 1.0)
    left, right = left - air, right + air
    reach = 1.15 * max([scatter, *(abs(point.residual) for point in points)]) or 1.0
    return ResidualPlot(
        dots=tuple(
            Dot(
                percent(point.predicted - left, whole=right - left),
                percent(reach - point.residual, whole=2 * reach),
                point,
            )
            for point in points
        ),
        ticks_x=tuple(
            Tick(value, percent(value - left, whole=right - left))
            for value in nice_ticks(left, right)
        ),
        ticks_y=tuple(
            Tick(value, percent(reach - value, whole=2 * reach))
            for value in nice_ticks(-reach, reach)
        ),
        zero_y=50.0,
        band_y=percent(reach - scatter, whole=2 * reach),
        band_height=percent(2 * scatter, whole=2 * reach),
        scatter=scatter,
    )


def waterfall(shares: Sequence[Share], *, may_tear: bool = False) -> Waterfall:
    """A sum as bars, each beginning where the one before it ends.

    Args:
        shares: steps in order, at least one; a total shows the sum so far, and its own amount
            is not read.
        may_tear: leave out the length that all bars have in common where the steps between
            them would be too small to see; the drawing must say where it begins.

    Returns:
        Bars in per cent of the widest reach.

    Raises:
        DrawingError: there is no step, or all of them are 0.
    """
    spans, amounts, levels = [], [], []
    at: float = 0
    for share in shares:
        begin = 0 if share.is_total else at
        at = at if share.is_total else at + share.amount
        spans.append((min(begin, at), max(begin, at)))
        levels.append(at)
        amounts.append(at if share.is_total else share.amount)
    low = min([0.0, *(span[0] for span in spans)])
    high = max([0.0, *(span[1] for span in spans)])
    if not high > low:
        raise DrawingError("A sum of nothing cannot be drawn; give a step that is not 0.")
    left = _torn_at(levels, low=low, high=high) if may_tear else low
    rows = [
        WaterfallRow(
            name=share.name,
            amount=amount,
            is_total=share.is_total,
            x=percent(max(0.0, begin - left), whole=high - left),
            width=rounded(100 * (end - max(begin, left)) / (high - left)),
            kind="is-total" if share.is_total else "is-less" if share.amount < 0 else "is-more",
            is_torn=begin < left,
        )
        for share, amount, (begin, end) in zip(shares, amounts, spans, strict=True)
    ]
    return Waterfall(tuple(rows), percent(max(0.0, -left), whole=high - left), max(0.0, left))


def _torn_at(levels: Sequence[float], *, low: float, high: float) -> float:
    """The amount at the left edge: nothing, or nearer where all that differs is small."""
    reach = high - min(levels)
    if low < 0 or reach <= 0 or reach > TEAR_BELOW * high:
        return low
    return high - reach * (1 + TEAR_AIR)
