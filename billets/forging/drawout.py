"""A block of hot metal getting thinner: volume, scale, spread, and the layers inside it.

One step at a time and nothing about order: `billets.forging.schedule` puts the steps in a row.
Counts a block as even from end to end with square corners, and every layer as squeezed in the same
ratio (copper, being softer, in truth gives a little more). Sizes are cold sizes: at a forging heat
everything reads about 1.3 % longer.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from billets.errors import DrawOutError
from stock.alloys.book import Figure

SPREAD_CONSTANT = Figure(0.14, "Tomlinson & Stringer, J. Iron Steel Inst. 193 (1959)", "memory")
SPREAD_LINEAR = Figure(0.36, "Tomlinson & Stringer, J. Iron Steel Inst. 193 (1959)", "memory")
SPREAD_SQUARE = Figure(-0.054, "Tomlinson & Stringer, J. Iron Steel Inst. 193 (1959)", "memory")
WIDEST_BITE_RATIO = Figure(10 / 3, "top of the parabola; past it the formula turns back", "memory")


@dataclass(frozen=True)
class Block:
    """A block of metal, even from end to end [mm]; every size above 0."""

    length_mm: float
    width_mm: float
    thickness_mm: float

    def __post_init__(self) -> None:
        for name in ("length", "width", "thickness"):
            size = getattr(self, f"{name}_mm")
            if not (math.isfinite(size) and size > 0):
                raise DrawOutError(
                    "A billet {given} mm in {name} cannot be drawn out; give a {name} above 0.",
                    plain={"given": f"{size:g}", "name": name},
                )

    @property
    def volume_mm3(self) -> float:
        """Length times width times thickness."""
        return self.length_mm * self.width_mm * self.thickness_mm


def spread_exponent(bite_mm: float, *, width_mm: float) -> float:
    """How much of the lost thickness goes into width: 0 none of it, 1 all of it.

    Args:
        bite_mm: contact of the dies along the billet [mm], above 0.
        width_mm: width of the billet before the work [mm], above 0.

    Returns:
        Exponent s of W1 = W0 (T0/T1)^s. Past a bite of 3.33 widths the published parabola turns
        back; the value there, 0.74, is kept for wider bites.

    Raises:
        DrawOutError: a size is not above 0.

    Source:
        Tomlinson & Stringer, Spread and elongation in flat tool forging, Journal of the Iron
        and Steel Institute 193 (1959): s = 0.14 + 0.36 b/W0 − 0.054 (b/W0)² (from memory).
        Flat dies, carbon steel, one pass; round-nosed dies spread less.

    >>> round(spread_exponent(20.0, width_mm=40.0), 4)
    0.3065
    """
    if not (bite_mm > 0 and width_mm > 0 and math.isfinite(bite_mm / width_mm)):
        raise DrawOutError(
            "A bite of {bite} mm on a width of {width} mm has no spread; give both above 0.",
            plain={"bite": f"{bite_mm:g}", "width": f"{width_mm:g}"},
        )
    ratio = min(bite_mm / width_mm, WIDEST_BITE_RATIO.value)
    return SPREAD_CONSTANT.value + SPREAD_LINEAR.value * ratio + SPREAD_SQUARE.value * ratio**2


def pressed(block: Block, *, thickness_mm: float, spread: float) -> Block:
    """A block pressed thinner, its volume kept.

    Args:
        block: the block before.
        thickness_mm: thickness after [mm], above 0, not above the block's.
        spread: exponent s; 0 all into length, 1 all into width, below 0 worked on edge as well.

    Returns:
        W1 = W0 (T0/T1)^s, and the length that keeps the volume.

    Raises:
        DrawOutError: the thickness would grow, or the spread is above 1.

    Source:
        Conservation of volume; Tomlinson & Stringer (1959) for the form (from memory).
    """
    if thickness_mm > block.thickness_mm * (1 + 1e-12):
        raise DrawOutError(
            "Pressing makes a billet thinner: it is {now} thick, and {wanted} is asked for. "
            "Choose {now} or less, or a higher stack.",
            lengths_mm={"wanted": thickness_mm},
            at_most_mm={"now": block.thickness_mm},
        )
    if not spread <= 1:
        raise DrawOutError(
            "A spread of {given} would make the billet shorter; choose one up to 1.",
            plain={"given": f"{spread:g}"},
        )
    width_mm = block.width_mm * (block.thickness_mm / thickness_mm) ** spread
    return Block(block.volume_mm3 / (width_mm * thickness_mm), width_mm, thickness_mm)


def scaled(block: Block, *, scale_mm: float, loss_ratio: float | None = None) -> Block:
    """A block after one heat's scale has come off.

    Args:
        block: the block before the heat.
        scale_mm: depth lost from each face, edge and end [mm], 0 or more.
        loss_ratio: share of the volume that the shop's own billets lose in a heat, 0 to below
            1; if given it takes the place of the depth, and comes off the two faces.

    Returns:
        The block that comes out of the fire.

    Raises:
        DrawOutError: the scale would leave nothing.
    """
    if loss_ratio is not None:
        return replace(block, thickness_mm=block.thickness_mm * (1 - loss_ratio))
    depth = 2 * scale_mm
    if depth >= min(block.length_mm, block.width_mm, block.thickness_mm):
        raise DrawOutError(
            "Scale takes {depth} in one heat, and the billet is only {now} thick; start from a "
            "higher stack or take fewer heats.",
            lengths_mm={"depth": depth, "now": block.thickness_mm},
        )
    return Block(block.length_mm - depth, block.width_mm - depth, block.thickness_mm - depth)


def third_size_mm(volume_mm3: float, *, first_mm: float, second_mm: float) -> float:
    """The size that is left when two of length, width and thickness are chosen.

    Args:
        volume_mm3: metal there is [mm³], above 0.
        first_mm: one size [mm], above 0.
        second_mm: another size [mm], above 0.

    Returns:
        The third size [mm].

    Raises:
        DrawOutError: a figure is not above 0.

    Source:
        Conservation of volume.

    >>> third_size_mm(6000.0, first_mm=30.0, second_mm=5.0)
    40.0
    """
    given = (volume_mm3, first_mm, second_mm)
    if not all(math.isfinite(size) and size > 0 for size in given):
        raise DrawOutError(
            "Two sizes give the third only if both are above 0; {first} mm and {second} mm do not.",
            plain={"first": f"{first_mm:g}", "second": f"{second_mm:g}"},
        )
    return volume_mm3 / (first_mm * second_mm)


def scaled_layers(layers_mm: Sequence[float], *, depth_mm: float) -> tuple[float, ...]:
    """Layers after scale or grinding took a depth off each face: only the outer ones lose it.

    Args:
        layers_mm: layers from the bottom up [mm], at least one.
        depth_mm: depth lost from each face [mm], 0 or more.

    Returns:
        Layers from the bottom up [mm].

    Raises:
        DrawOutError: an outer layer would be gone.

    >>> scaled_layers((3.0, 0.5, 3.0), depth_mm=0.25)
    (2.75, 0.5, 2.75)
    """
    left = list(layers_mm)
    left[0] -= depth_mm
    left[-1] -= depth_mm
    if min(left[0], left[-1]) <= 0:
        raise DrawOutError(
            "Losing {depth} from each face leaves nothing of an outer layer {layer} thick; "
            "start with thicker outer layers or take fewer heats.",
            lengths_mm={"depth": depth_mm, "layer": min(layers_mm[0], layers_mm[-1])},
        )
    return tuple(left)


def pressed_layers(layers_mm: Sequence[float], *, thickness_mm: float) -> tuple[float, ...]:
    """Layers of a stack pressed to a thickness, each in the same ratio.

    Args:
        layers_mm: layers from the bottom up [mm], at least one.
        thickness_mm: thickness of the whole after [mm], above 0.

    Returns:
        Layers from the bottom up [mm]; they add up to the thickness.

    >>> pressed_layers((6.0, 1.0, 3.0), thickness_mm=5.0)
    (3.0, 0.5, 1.5)
    """
    ratio = thickness_mm / math.fsum(layers_mm)
    return tuple(layer * ratio for layer in layers_mm)
