"""The press schedule: bonding heats, drawing heats, one flattening heat, and what each leaves.

The order is common practice for a copper-bonded stack: flat dies and next to no reduction until
the bond is set, then a limited reduction a heat, then flat dies again to take the die marks out.
Each heat first loses its scale, then is pressed to its stop. Leaves out forces and seconds, which
`billets.forging.outcome` puts beside each line.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from billets.errors import DrawOutError
from billets.forging.drawout import (
    Block,
    pressed,
    pressed_layers,
    scaled,
    scaled_layers,
    spread_exponent,
)
from stock.alloys.book import Figure

SET_REDUCTION = Figure(0.01, "near zero: the layers are closed, not thinned", "practice")
FLATTEN_REDUCTION = Figure(0.03, "enough to take the die marks out", "practice")
MOST_HEATS = 60  # past this the settings are wrong, not the billet

SET, DRAW, FLATTEN = "set", "draw", "flatten"


@dataclass(frozen=True)
class Method:
    """How the shop works a stack: heats, dies, losses; ratios are shares of 1.

    `loss_ratio` (share of the volume lost in a heat) and `spread` are the shop's own record and,
    where set, take the place of `scale_mm` and of the published spread formula.
    """

    bonding_heats: int = 2
    largest_reduction: float = 0.15
    bite_mm: float = 12.7
    die_width_mm: float = 50.8
    scale_mm: float = 0.025
    crop_ratio: float = 0.04
    valley_mm: float = 0.0
    loss_ratio: float | None = None
    spread: float | None = None

    def __post_init__(self) -> None:
        self._refuse_losses()
        if not 0 <= self.bonding_heats <= 10:
            _refuse("bonding heats", self.bonding_heats, "0 to 10")
        if not 0.005 <= self.largest_reduction <= 0.5:
            _refuse("largest reduction in one heat", self.largest_reduction, "0.005 to 0.5")
        if not (self.bite_mm > 0 and self.die_width_mm > 0):
            _refuse("die or bite", min(self.bite_mm, self.die_width_mm), "a width above 0 mm")
        if self.spread is not None and not -0.5 <= self.spread <= 1:
            _refuse("spread", self.spread, "-0.5 to 1")

    def _refuse_losses(self) -> None:
        """Refuse impossible losses."""
        if not (self.scale_mm >= 0 and math.isfinite(self.scale_mm)):
            _refuse("depth of scale", self.scale_mm, "0 mm or more")
        if not 0 <= self.crop_ratio <= 0.5:
            _refuse("share cropped and ground off", self.crop_ratio, "0 to 0.5")
        if self.loss_ratio is not None and not 0 <= self.loss_ratio < 0.2:
            _refuse("share lost in a heat", self.loss_ratio, "0 to 0.2")

    def free_spread(self, width_mm: float) -> float:
        """The spread of a billet that is left to spread: the shop's own, else the formula's."""
        if self.spread is not None:
            return self.spread
        return spread_exponent(self.bite_mm, width_mm=width_mm)

    @property
    def valleys_mm(self) -> float:
        """What flattening has to take out: the valleys of both faces."""
        return 2 * self.valley_mm


@dataclass(frozen=True)
class Stage:
    """One heat: the block out of the fire, the block off the press, and its layers [mm].

    `layers_mm` shares the thickness out in the ratio of the stack; `worn_mm` takes the scale off
    the outer layers alone, so its inner layers are a little thicker.
    """

    heat: int
    work: str
    hot: Block
    after: Block
    layers_mm: tuple[float, ...]
    worn_mm: tuple[float, ...]

    @property
    def stop_mm(self) -> float:
        """Height of the stop block."""
        return self.after.thickness_mm

    @property
    def reduction(self) -> float:
        """Share of the thickness that the press takes in this heat."""
        return 1 - self.after.thickness_mm / self.hot.thickness_mm


def stops_mm(
    thickness_mm: float, *, finish_mm: float, method: Method, drawing_heats: int | None = None
) -> tuple[tuple[str, float], ...]:
    """Work and stop height of every heat, from the stack to the finished thickness.

    Args:
        thickness_mm: height of the stack [mm], above 0.
        finish_mm: thickness wanted [mm], above 0, below what the bonding heats leave.
        method: how the shop works.
        drawing_heats: number of drawing heats; the fewest that keep the largest reduction when
            left out. Fewer than that are refused.

    Returns:
        ("set" | "draw" | "flatten", stop [mm]) in order; drawing heats take equal ratios.

    Raises:
        DrawOutError: the thickness cannot be reached, or only in more than 60 heats.

    Source:
        Common practice for the order and the near-zero reduction of the bonding heats.
    """
    stops: list[tuple[str, float]] = []
    now = thickness_mm
    for _ in range(method.bonding_heats):
        now = _after_scale(now, method=method) * (1 - SET_REDUCTION.value)
        stops.append((SET, now))
    _refuse_unreachable(thickness_mm, finish_mm=finish_mm, method=method)
    drawn = _before_flattening(finish_mm, method=method)
    fewest = _fewest_drawing_heats(now, drawn=drawn, method=method)
    heats = max(fewest, drawing_heats or 0)
    if method.bonding_heats + heats + 1 > MOST_HEATS:
        raise DrawOutError(
            "From {now} to {finish} would take {heats} heats; allow a larger reduction in one "
            "heat, or start from a lower stack.",
            lengths_mm={"now": thickness_mm, "finish": finish_mm},
            plain={"heats": str(method.bonding_heats + heats + 1)},
        )
    stops += [(DRAW, now * (drawn / now) ** (turn / heats)) for turn in range(1, heats + 1)]
    return (*stops, (FLATTEN, finish_mm))


def thickest_finish_mm(thickness_mm: float, *, method: Method) -> float:
    """The thickest that a stack can finish: bonded, then only flattened.

    Args:
        thickness_mm: height of the stack [mm], above 0.
        method: how the shop works.

    Returns:
        Thickness [mm] after the bonding heats and the scale of the last heat; 0 if scale takes
        it all.

    Source:
        Common practice for the order of the heats.
    """
    now = thickness_mm
    for _ in range(method.bonding_heats):
        now = _after_scale(now, method=method) * (1 - SET_REDUCTION.value)
    return _after_scale(now, method=method)


def stages(
    start: Block,
    *,
    layers_mm: Sequence[float],
    stops: Sequence[tuple[str, float]],
    spread: float,
    method: Method,
) -> tuple[Stage, ...]:
    """What every heat of a schedule leaves: block and layers.

    Args:
        start: the stack as welded shut.
        layers_mm: its layers from the bottom up [mm]; they add up to its thickness.
        stops: work and stop height of every heat, from `stops_mm`.
        spread: exponent of every heat.
        method: how the shop works.

    Returns:
        One stage a heat, in order.

    Raises:
        DrawOutError: scale takes more than the press would, or eats an outer layer.
    """
    rows: list[Stage] = []
    block, worn = start, tuple(layers_mm)
    for heat, (work, stop_mm) in enumerate(stops, start=1):
        hot = scaled(block, scale_mm=method.scale_mm, loss_ratio=method.loss_ratio)
        if stop_mm > hot.thickness_mm:
            raise DrawOutError(
                "Heat {heat} scales away more than the press would take: {hot} is left for a "
                "stop of {stop}. Allow a larger reduction in one heat.",
                lengths_mm={"hot": hot.thickness_mm, "stop": stop_mm},
                plain={"heat": str(heat)},
            )
        lost = (block.thickness_mm - hot.thickness_mm) / 2
        block = pressed(hot, thickness_mm=stop_mm, spread=spread)
        worn = pressed_layers(scaled_layers(worn, depth_mm=lost), thickness_mm=stop_mm)
        layers = pressed_layers(layers_mm, thickness_mm=stop_mm)
        rows.append(Stage(heat, work, hot, block, layers, worn))
    return tuple(rows)


def _after_scale(thickness_mm: float, *, method: Method) -> float:
    """Thickness out of the fire, 0 when nothing is left."""
    if method.loss_ratio is not None:
        return thickness_mm * (1 - method.loss_ratio)
    return max(thickness_mm - 2 * method.scale_mm, 0.0)


def _before_flattening(finish_mm: float, *, method: Method) -> float:
    """Stop of the last drawing heat: the finish, the die marks, and one heat's scale."""
    hot = max(finish_mm / (1 - FLATTEN_REDUCTION.value), finish_mm + method.valleys_mm)
    if method.loss_ratio is not None:
        return hot / (1 - method.loss_ratio)
    return hot + 2 * method.scale_mm


def _fewest_drawing_heats(now: float, *, drawn: float, method: Method) -> int:
    """Fewest equal heats from one thickness to another under the largest reduction."""
    # Closer than one heat's scale: flattening alone gets there.
    if _after_scale(now, method=method) <= drawn:
        return 0
    ratio = math.log(now / drawn) / -math.log1p(-method.largest_reduction)
    return max(1, math.ceil(ratio - 1e-9))


def _refuse_unreachable(thickness_mm: float, *, finish_mm: float, method: Method) -> None:
    """Refuse a finish that is no thickness, or above what is left for the last heat."""
    if not (math.isfinite(finish_mm) and finish_mm > 0):
        raise DrawOutError(
            "A finished thickness of {given} mm is not possible; give one above 0.",
            plain={"given": f"{finish_mm:g}"},
        )
    left = thickest_finish_mm(thickness_mm, method=method)
    if finish_mm > left:
        raise DrawOutError(
            "A stack {stack} high has only {left} left after {heats} bonding heats and the scale "
            "of the last heat, so it cannot finish at {finish}. Choose {left} or less, or a "
            "higher stack.",
            lengths_mm={"stack": thickness_mm, "finish": finish_mm},
            at_most_mm={"left": left},
            plain={"heats": str(method.bonding_heats)},
        )


def _refuse(name: str, given: float, limits: str) -> None:
    """Refuse a setting outside its limits."""
    raise DrawOutError(
        "A {name} of {given} is not possible; choose {limits}.",
        plain={"name": name, "given": f"{given:g}", "limits": limits},
    )
