"""Sums over a stack: height, mass, core, process, and what drawing makes of the layers.

It leaves out the working window (`billets.layup.window`) and what is wrong with the stack
(`billets.findings.findings`).

Everything here gives a sensible answer for any design, also an empty one.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Literal

from billets.layup.design import Design, Layer
from stock.alloys.book import Alloy, Book, UnknownAlloy

Process = Literal["forge-welded", "bonded"]

# Assumption to be named wherever these figures are shown.
CLEANING_ASSUMPTION = (
    "Every layer but the lines is taken to lose the cleaning loss from both faces; strip for "
    "lines is scoured, not ground."
)

# 1 kg/m³ x 1 nm³ = 1e9 µg / 1e27 nm³
_NM3_KG_M3_PER_UG = 10**18


def cleaned_layers_nm(design: Design) -> tuple[int, ...]:
    """Thickness of each layer as it goes into the stack, after cleaning.

    Args:
        design: the layup.

    Returns:
        Thicknesses [nm] from the bottom up, none below 0. Assumes `CLEANING_ASSUMPTION`.

    Source:
        Common practice.
    """
    return tuple(_cleaned_nm(layer, loss_nm=design.cleaning_loss_nm) for layer in design.layers)


def _cleaned_nm(layer: Layer, *, loss_nm: int) -> int:
    loss_nm = 0 if layer.role == "line" else 2 * max(0, loss_nm)
    return max(0, layer.thickness_nm - loss_nm)


def stack_height_nm(design: Design) -> int:
    """Height of the stack as it is welded shut, after cleaning.

    Args:
        design: the layup.

    Returns:
        Height [nm]; 0 for a layup without layers. Assumes `CLEANING_ASSUMPTION`.
    """
    return sum(cleaned_layers_nm(design))


def cut_length_nm(design: Design) -> int:
    """Length at which every blank is cut, with the cut allowance.

    Args:
        design: the layup.

    Returns:
        Length [nm].
    """
    return design.blank_length_nm + max(0, design.cut_allowance_nm)


def layer_masses_ug(design: Design, *, alloys: Book) -> tuple[int, ...]:
    """Mass of each layer as it goes into the stack, after cleaning and cutting to size.

    Args:
        design: the layup.
        alloys: every alloy by key, for the densities.

    Returns:
        Masses [µg] from the bottom up, each rounded once.

    Raises:
        UnknownAlloy: a layer's alloy is not among them.
    """
    face_nm2 = max(0, design.blank_length_nm) * max(0, design.blank_width_nm)
    return tuple(
        round(face_nm2 * thickness_nm * density_kg_m3 / _NM3_KG_M3_PER_UG)
        for thickness_nm, density_kg_m3 in zip(
            cleaned_layers_nm(design), _densities_kg_m3(design, alloys), strict=True
        )
    )


def _densities_kg_m3(design: Design, alloys: Book) -> Iterator[float]:
    for layer in design.layers:
        if layer.alloy not in alloys:
            raise UnknownAlloy(layer.alloy)
        yield alloys[layer.alloy].density_kg_m3.value


def mass_ug(design: Design, *, alloys: Book) -> int:
    """Mass of the stack as it is welded shut, without the bead.

    Args:
        design: the layup.
        alloys: every alloy by key, for the densities.

    Returns:
        Mass [µg].

    Raises:
        UnknownAlloy: a layer's alloy is not among them.
    """
    return sum(layer_masses_ug(design, alloys=alloys))


def known_layers(design: Design, alloys: Book) -> dict[int, Alloy]:
    """The alloy of each layer by its place, unknown ones left out.

    Args:
        design: the layup.
        alloys: every alloy by key.

    Returns:
        Alloys by place, 0 at the bottom.
    """
    return {
        place: alloys[layer.alloy]
        for place, layer in enumerate(design.layers)
        if layer.alloy in alloys
    }


def process(design: Design, alloys: Book) -> Process:
    """How the stack is joined: it follows from what is in it.

    Args:
        design: the layup.
        alloys: every alloy by key; a layer with an unknown key is passed over.

    Returns:
        "bonded" when a layer cannot stand forge-welding heat, otherwise "forge-welded".

    Source:
        Common practice: see `stock.alloys.book.FORGE_WELD_LOW_C`.
    """
    return process_of((layer.alloy for layer in design.layers), alloys=alloys)


def process_of(keys: Iterable[str], *, alloys: Book) -> Process:
    """How alloys are joined with one another, in whatever thicknesses.

    Args:
        keys: of the alloys; an unknown one is passed over.
        alloys: every alloy by key.

    Returns:
        "bonded" when one of them cannot stand forge-welding heat, otherwise "forge-welded".

    Source:
        Common practice: see `stock.alloys.book.FORGE_WELD_LOW_C`.
    """
    melts = any(key in alloys and alloys[key].is_low_melting for key in keys)
    return "bonded" if melts else "forge-welded"


def mid_place_nm(design: Design) -> float:
    """Height of the middle of the stack, where the edge will come out.

    Args:
        design: the layup.

    Returns:
        Height above the bottom face [nm].
    """
    return stack_height_nm(design) / 2


def layer_span_nm(design: Design, place: int) -> tuple[int, int]:
    """Heights at which a layer begins and ends in the stack.

    Args:
        design: the layup.
        place: the layer, 0 at the bottom.

    Returns:
        Bottom and top of the layer above the bottom face [nm].
    """
    layers = cleaned_layers_nm(design)
    bottom_nm = sum(layers[:place])
    return bottom_nm, bottom_nm + layers[place]


def core_places(design: Design) -> tuple[int, ...]:
    """Every layer that is called a core.

    Args:
        design: the layup.

    Returns:
        Places from the bottom up, 0 at the bottom.
    """
    return tuple(place for place, layer in enumerate(design.layers) if layer.role == "core")


def core_index(design: Design) -> int | None:
    """The core: the layer of that role, the one nearest the middle if there are several.

    Args:
        design: the layup.

    Returns:
        Its place, 0 at the bottom; None when no layer is called the core.
    """
    middle_nm = mid_place_nm(design)

    def distance_nm(place: int) -> float:
        bottom_nm, top_nm = layer_span_nm(design, place)
        return abs((bottom_nm + top_nm) / 2 - middle_nm)

    return min(core_places(design), key=distance_nm, default=None)


def mirror(design: Design) -> Design:
    """The layup made the same on both sides of its core.

    Args:
        design: the layup. Without a core its top layer is taken as the middle.

    Returns:
        The layup with the longer side of the core (the lower one if they are alike) copied to
        the other side. A core laid twice becomes one.
    """
    if not design.layers:
        return design
    cores = core_places(design)
    first, last = (cores[0], cores[-1]) if cores else (len(design.layers) - 1,) * 2
    below, above = design.layers[:first], design.layers[last + 1 :]
    side = below if len(below) >= len(above) else tuple(reversed(above))
    middle = design.layers[first]
    return design.with_layers((*side, middle, *reversed(side)))


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
