"""What drawing and grinding leave of each layer.

It leaves out how length and width come out: that is `billets.forging.drawout`.

Everything here gives a sensible answer for any design, also an empty one.
"""

from collections.abc import Sequence
from dataclasses import replace

from billets.layup.design import Design
from billets.layup.stack import CLEANING_ASSUMPTION, cleaned_layers_nm

# Assumptions to be named wherever these figures are shown.
DRAWING_ASSUMPTION = (
    "Every layer is taken to thin by the same share; real layers of unlike hardness do not quite."
)
GRINDING_ASSUMPTION = (
    "Grinding from the finished billet to the spine is taken to be the same on both faces, and "
    "to come off the outer layers only; a face that is not ground loses nothing."
)
ASSUMPTIONS = (CLEANING_ASSUMPTION, DRAWING_ASSUMPTION, GRINDING_ASSUMPTION)


def drawn_layers_nm(design: Design, *, thickness_nm: int) -> tuple[int, ...]:
    """Thickness of each layer when the billet has been drawn to a thickness.

    Args:
        design: the layup.
        thickness_nm: thickness of the billet [nm], 0 or more; above the height of the stack
            it counts as that height, for pressing thickens nothing.

    Returns:
        Thicknesses [nm] from the bottom up, adding up to that thickness exactly. Assumes
        `DRAWING_ASSUMPTION`.

    Source:
        Constant volume: t' = t x T1 / T0.
    """
    layers = cleaned_layers_nm(design)
    height_nm = sum(layers)
    target_nm = max(0, min(thickness_nm, height_nm))
    if not height_nm:
        return layers
    return _shared_out(target_nm, layers)


def _shared_out(total: int, weights: Sequence[int]) -> tuple[int, ...]:
    """Split a whole number in proportion, so that the parts add up to it exactly."""
    whole = sum(weights)
    parts = [total * weight // whole for weight in weights]
    by_remainder = sorted(range(len(weights)), key=lambda i: -(total * weights[i] % whole))
    for place in by_remainder[: total - sum(parts)]:
        parts[place] += 1
    return tuple(parts)


def with_blank(design: Design, *, length_nm: int, width_nm: int) -> Design:
    """The layup on blanks of another size.

    Args:
        design: the layup.
        length_nm: length of the blanks [nm].
        width_nm: width of the blanks [nm].

    Returns:
        The layup; where its width and length leave the thickness to the metal, the thickness
        goes with the area of the blanks, up to the height of the stack.

    Source:
        Constant volume; what is lost is taken to be the same share of it.
    """
    thickness_nm = design.finish_thickness_nm
    before_nm2 = design.blank_length_nm * design.blank_width_nm
    is_left = design.finish_width_nm is not None and design.finish_length_nm is not None
    if is_left and before_nm2 > 0:
        after_nm = thickness_nm * length_nm * width_nm // before_nm2
        thickness_nm = min(after_nm, sum(cleaned_layers_nm(design)))
    return replace(
        design,
        blank_length_nm=length_nm,
        blank_width_nm=width_nm,
        finish_thickness_nm=thickness_nm,
    )


def finished_layers(design: Design) -> tuple[int, ...]:
    """Thickness of each layer at the spine of the finished blade.

    Args:
        design: the layup.

    Returns:
        Thicknesses [nm] from the bottom up: drawn to the finish thickness, then ground on both
        faces to the spine. A layer that is ground away is 0. Assumes `ASSUMPTIONS`.

    Source:
        `drawn_layers_nm`; grinding takes (finish - spine) / 2 from each face, and all of it from
        the right (top) one where the left one is not ground.
    """
    drawn = list(drawn_layers_nm(design, thickness_nm=design.finish_thickness_nm))
    ground_nm = max(0, sum(drawn) - max(0, design.blade.spine_nm))
    bottom_nm = 0 if design.blade.is_chisel else ground_nm // 2
    _grind(drawn, range(len(drawn)), bottom_nm)
    _grind(drawn, range(len(drawn) - 1, -1, -1), ground_nm - bottom_nm)
    return tuple(drawn)


def _grind(layers: list[int], order: range, take_nm: int) -> None:
    """Take metal off, from the first layer of the order inward."""
    for place in order:
        gone_nm = min(layers[place], take_nm)
        layers[place] -= gone_nm
        take_nm -= gone_nm
