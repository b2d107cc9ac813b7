"""A layup in a shop: the one value that findings, forecast, panel, sheets and cost are read off.

It holds what was given and works out, once each, what several of them need. It leaves out
everything that only one of them needs, and all judgement: that is `billets.findings.findings`.
"""

from dataclasses import dataclass, field
from functools import cached_property
from typing import Protocol

from billets.layup import words
from billets.layup.design import Design
from billets.layup.limits import Rules, rules_of
from billets.layup.stack import (
    Process,
    cleaned_layers_nm,
    core_index,
    core_places,
    drawn_layers_nm,
    known_layers,
    process,
)
from billets.layup.window import Melting, Window, meltings, window
from stock.alloys.book import Alloy, Book, short_name
from stock.house import House


class OwnFigures(Protocol):
    """What a forecast takes of measured billets; `billets.forging.calibration` finds it."""

    @property
    def is_used(self) -> bool:
        """Whether there are enough billets for predictions to use them."""

    @property
    def loss_ratio(self) -> float:
        """Loss in a heat, as a share of the volume."""

    @property
    def spread(self) -> float:
        """Spread exponent."""

    @property
    def crop_ratio(self) -> float:
        """Share that was cropped when the two were found."""


@dataclass(frozen=True)
class Case:
    """A layup under one shop's settings. What follows from them is worked out when first asked for.

    `alloys` is not changed by anybody while a case lives: it is read once for a page.
    """

    design: Design
    alloys: Book = field(repr=False)
    house: House
    rules: Rules
    calibration: OwnFigures | None = None

    @cached_property
    def layers(self) -> dict[int, Alloy]:
        """Alloys by place, unknown ones left out."""
        return known_layers(self.design, self.alloys)

    @cached_property
    def short_names(self) -> tuple[str, ...]:
        """What to call each layer's alloy where there is little room."""
        return tuple(short_name(layer.alloy, book=self.alloys) for layer in self.design.layers)

    @cached_property
    def colours(self) -> tuple[str, ...]:
        """The family that each layer is drawn as."""
        found = (self.layers.get(place) for place in range(len(self.design.layers)))
        return tuple(alloy.colour if alloy else "other" for alloy in found)

    @cached_property
    def cleaned_nm(self) -> tuple[int, ...]:
        """Thicknesses in the stack."""
        return cleaned_layers_nm(self.design)

    @cached_property
    def height_nm(self) -> int:
        """Height of the stack."""
        return sum(self.cleaned_nm)

    @cached_property
    def finish_nm(self) -> int:
        """Thickness of the finished billet; never more than the stack."""
        return max(0, min(self.design.finish_thickness_nm, self.height_nm))

    @cached_property
    def drawn_nm(self) -> tuple[int, ...]:
        """Thicknesses in the finished billet, before grinding."""
        return drawn_layers_nm(self.design, thickness_nm=self.finish_nm)

    @cached_property
    def process(self) -> Process:
        """How it is joined."""
        return process(self.design, self.alloys)

    @cached_property
    def window(self) -> Window:
        """How hot and how cold."""
        return window(self.design, self.alloys, self.rules)

    @cached_property
    def meltings(self) -> tuple[Melting, ...]:
        """Everything in it that has a known melting point, lowest first."""
        return meltings(self.design, self.alloys)

    @cached_property
    def cores(self) -> tuple[int, ...]:
        """Every layer called a core."""
        return core_places(self.design)

    @cached_property
    def core(self) -> int | None:
        """The core."""
        return core_index(self.design)

    @property
    def core_alloy(self) -> Alloy | None:
        """What the core is of; None without a core, or where nobody knows its alloy."""
        return None if self.core is None else self.layers.get(self.core)

    @property
    def has_one_core(self) -> bool:
        """Whether a blade can be ground about it; without, it makes a bar."""
        return len(self.cores) == 1

    @cached_property
    def core_floor_nm(self) -> int:
        """Thinnest finished core that holds the edge; at a face it drifts off on one side only."""
        floor_nm = self.rules.core_floor_nm
        return floor_nm - self.rules.drift_allowance_nm * self.design.blade.is_chisel

    @cached_property
    def is_bar(self) -> bool:
        """Whether it is all steel without one core: a bar, of which no blade is ground yet."""
        together = bool(self.cores) and self.cores[-1] - self.cores[0] + 1 == len(self.cores)
        return self.process == "forge-welded" and not together and len(self.design.layers) > 1

    def name(self, place: int) -> str:
        """A layer as "layer 3 (1084)"."""
        return words.named(self.design, place, self.alloys)


def case_of(
    design: Design, *, alloys: Book, house: House, calibration: OwnFigures | None = None
) -> Case:
    """A layup under a shop's settings.

    Args:
        design: the layup, of any number of layers.
        alloys: every alloy by key.
        house: the shop's settings; its limits follow from them.
        calibration: what the shop's measured billets say, if any.

    Returns:
        The case; nothing is raised for a layup that is wrong.
    """
    return Case(design, alloys, house, rules_of(house), calibration)
