"""What size a stack can become: thickness, width and length, any two chosen.

Finds the finished thickness and the spread that give the sizes asked for, losses counted, or
says why the metal cannot. Leaves out forces and times: `billets.forging.outcome` adds those.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from billets.errors import DrawOutError
from billets.forging.drawout import Block
from billets.forging.schedule import DRAW, Method, Stage, stages, stops_mm, thickest_finish_mm
from stock.alloys.book import Figure

_TURNS = 200


def crossing(
    function: Callable[[float], float], *, low: float, high: float, within: float = 1e-13
) -> float | None:
    """The place where a function crosses 0 between two places.

    Args:
        function: continuous, with one crossing between the ends.
        low: lower end.
        high: upper end.
        within: width of the answer, as a share of the distance between the ends.

    Returns:
        The place, or None when the ends are on the same side of 0.

    Source:
        False position with the Illinois rule (Dowell & Jarratt 1971, from memory), which keeps
        the crossing between its ends and needs no slope.

    >>> crossing(lambda x: 3 * x - 1.5, low=0.0, high=2.0)
    0.5
    """
    a, b, at_a, at_b = low, high, function(low), function(high)
    if at_a == 0 or at_b == 0:
        return a if at_a == 0 else b
    if (at_a > 0) == (at_b > 0):
        return None
    for _ in range(_TURNS):
        middle = (a * at_b - b * at_a) / (at_b - at_a)
        at_middle = function(middle)
        if (at_middle > 0) == (at_b > 0):
            at_a /= 2
        else:
            a, at_a = b, at_b
        b, at_b = middle, at_middle
        if at_b == 0 or abs(b - a) <= within * (high - low):
            break
    return b


LEAST_SPREAD = Figure(-0.5, "narrower than that is forged on edge, against the seams", "practice")
MOST_SPREAD = Figure(1.0, "all into width: more would make it shorter", "practice")
CLOSE_RATIO = Figure(0.001, "how far three chosen sizes may disagree", "practice")


@dataclass(frozen=True)
class Wanted:
    """Sizes asked for [mm]; None is left to the metal. Thickness, length or both are needed."""

    thickness_mm: float | None = None
    width_mm: float | None = None
    length_mm: float | None = None

    def __post_init__(self) -> None:
        for name in ("thickness", "width", "length"):
            size = getattr(self, f"{name}_mm")
            if size is not None and not 0 < size < 1e7:
                raise DrawOutError(
                    "A finished {name} of {given} mm is not possible; give one above 0, or "
                    "leave it to the metal.",
                    plain={"name": name, "given": f"{size:g}"},
                )
        if self.thickness_mm is None and self.length_mm is None:
            raise DrawOutError(
                "A width alone does not say how far to draw the billet; choose a thickness or a "
                "length as well."
            )


@dataclass(frozen=True)
class Drawn:
    """Stages to the sizes asked for, the spread that gets there, and the block after cropping."""

    stages: tuple[Stage, ...]
    spread: float
    finish: Block


@dataclass(frozen=True)
class Stack:
    """A stack as welded shut, with its layers from the bottom up [mm], worked in one way."""

    block: Block
    layers_mm: tuple[float, ...]
    method: Method

    @cached_property
    def free_spread(self) -> float:
        """The spread of its width where nobody asks for another."""
        return self.method.free_spread(self.block.width_mm)

    @cached_property
    def thickest_mm(self) -> float:
        """The thickest finish there is: bonding heats, and the scale of the last heat."""
        return thickest_finish_mm(self.block.thickness_mm, method=self.method)

    @property
    def kept_mm3(self) -> float:
        """The volume that is left when the ends are cropped, scale not counted."""
        return self.block.volume_mm3 * (1 - self.method.crop_ratio)

    def drawn(
        self, thickness_mm: float, *, spread: float, drawing_heats: int | None = None
    ) -> Drawn:
        """The stack drawn to a thickness with a spread, losses counted."""
        stops = stops_mm(
            self.block.thickness_mm,
            finish_mm=thickness_mm,
            method=self.method,
            drawing_heats=drawing_heats,
        )
        rows = stages(
            self.block, layers_mm=self.layers_mm, stops=stops, spread=spread, method=self.method
        )
        last = rows[-1].after
        kept_mm = last.length_mm * (1 - self.method.crop_ratio)
        return Drawn(rows, spread, Block(kept_mm, last.width_mm, last.thickness_mm))


def drawn_to(stack: Stack, *, wanted: Wanted) -> Drawn:
    """How a stack gets to the sizes asked for.

    Args:
        stack: the stack [mm]; its layers add up to its thickness.
        wanted: any two of thickness, width and length, or one of thickness and length with the
            width left to spread; all three only if the metal is enough.

    Returns:
        Stages, spread, and the block after the ends are cropped and the seam is ground off.

    Raises:
        DrawOutError: the metal cannot become that; the sentence says how far it goes.

    Source:
        Conservation of volume less the losses; spread as `Method.free_spread`.
    """
    if wanted.thickness_mm is None:
        return _with_length_and_width(stack, wanted=wanted)
    thickness_mm = wanted.thickness_mm
    if wanted.width_mm is not None:
        drawn = _spread_to(stack, thickness_mm, size="width", target_mm=wanted.width_mm)
        if wanted.length_mm is not None:
            _refuse_too_long(drawn.finish, length_mm=wanted.length_mm)
        return drawn
    if wanted.length_mm is not None:
        return _spread_to(stack, thickness_mm, size="length", target_mm=wanted.length_mm)
    return stack.drawn(thickness_mm, spread=stack.free_spread)


def _spread_to(
    stack: Stack,
    thickness_mm: float,
    *,
    size: str,
    target_mm: float,
    drawing_heats: int | None = None,
    way: str = "another thickness",
) -> Drawn:
    """Drawn to a thickness with the spread that gives one width or length; `way` is what else."""

    def at(spread: float) -> Drawn:
        return stack.drawn(thickness_mm, spread=spread, drawing_heats=drawing_heats)

    low, high = LEAST_SPREAD.value, MOST_SPREAD.value
    spread = crossing(
        lambda spread: float(getattr(at(spread).finish, f"{size}_mm")) - target_mm,
        low=low,
        high=high,
    )
    if spread is None:
        ends = sorted(getattr(at(end).finish, f"{size}_mm") for end in (low, high))
        raise DrawOutError(
            "At {thickness} thick this stack comes out from {least} to {most} in {size}; "
            "{target} is not possible. Choose a {size} between those, {way}, or another blank.",
            lengths_mm={"thickness": thickness_mm, "target": target_mm},
            at_least_mm={"least": ends[0]},
            at_most_mm={"most": ends[1]},
            plain={"size": size, "way": way},
        )
    return at(spread)


def _with_length_and_width(stack: Stack, *, wanted: Wanted) -> Drawn:
    """Drawn to a length, and to a width if one is asked for; the thickness follows.

    The thickness is put right by how far the length is off, over and over; losses hardly change
    with it, so a dozen turns are exact. The number of heats never falls, so that it cannot swing.
    """
    length_mm = wanted.length_mm or 0.0
    power = 1.0 if wanted.width_mm is not None else 1 / max(1 - stack.free_spread, 0.05)
    thickness_mm, heats = stack.thickest_mm, 0
    if wanted.width_mm is not None:
        # Without scale: a little too thick, which is the side to start from.
        thickness_mm = _thickness_mm(stack, width_mm=wanted.width_mm, length_mm=length_mm)
    for _ in range(_TURNS):
        try:
            drawn = _at(stack, thickness_mm, width_mm=wanted.width_mm, heats=heats)
        except DrawOutError as refusal:
            if wanted.width_mm is None or "size" in refusal.plain:
                raise
            raise _too_thin(stack, width_mm=wanted.width_mm, length_mm=length_mm) from refusal
        heats = max(heats, sum(stage.work == DRAW for stage in drawn.stages))
        off = drawn.finish.length_mm / length_mm
        if abs(off - 1) < 1e-13:
            break
        if thickness_mm == stack.thickest_mm and off > 1:
            raise DrawOutError(
                "This stack comes out at least {least} long; {target} is not possible. Choose a "
                "longer billet and cut it, or a shorter blank.",
                lengths_mm={"target": length_mm},
                at_least_mm={"least": drawn.finish.length_mm},
            )
        thickness_mm = min(thickness_mm * off**power, stack.thickest_mm)
    return drawn


def _too_thin(stack: Stack, *, width_mm: float, length_mm: float) -> DrawOutError:
    """What to say where scale eats all that width and length would leave."""
    thickness_mm = stack.kept_mm3 / (length_mm * width_mm)
    return DrawOutError(
        "{width} wide and {length} long, the metal of this stack would be only {thickness} thick, "
        "and scale leaves nothing of that. Ask for less width or length, or start with a larger "
        "blank or thicker layers.",
        lengths_mm={"width": width_mm, "length": length_mm, "thickness": thickness_mm},
    )


def _thickness_mm(stack: Stack, *, width_mm: float, length_mm: float) -> float:
    """The thickness that width and length leave by volume, scale not counted."""
    needed_mm = stack.kept_mm3 / (length_mm * width_mm)
    if needed_mm <= stack.thickest_mm:
        return needed_mm
    try:  # what the scale takes may make it just possible
        return _at(stack, stack.thickest_mm, width_mm=width_mm, heats=0).finish.thickness_mm
    except DrawOutError as refusal:
        raise DrawOutError(
            "{width} wide and {length} long, the metal of this stack would be {needed} thick, but "
            "pressing thickens nothing: it comes out at {thickest} or less. Ask for more width or "
            "length, or start with a smaller blank.",
            lengths_mm={
                "width": width_mm,
                "length": length_mm,
                "needed": needed_mm,
                "thickest": stack.thickest_mm,
            },
        ) from refusal


def _at(stack: Stack, thickness_mm: float, *, width_mm: float | None, heats: int) -> Drawn:
    """Drawn to a thickness, to a width or left to spread, in at least this many drawing heats."""
    if width_mm is None:
        return stack.drawn(thickness_mm, spread=stack.free_spread, drawing_heats=heats)
    return _spread_to(
        stack,
        thickness_mm,
        size="width",
        target_mm=width_mm,
        drawing_heats=heats,
        way="another length",
    )


def _refuse_too_long(finish: Block, *, length_mm: float) -> None:
    """Refuse a length that the metal left at this width and thickness does not reach."""
    if length_mm > finish.length_mm * (1 + CLOSE_RATIO.value):
        raise DrawOutError(
            "{width} wide and {thickness} thick, this stack comes out {reach} long; {target} "
            "needs more metal. Choose {reach} or less, or let one of the three go.",
            lengths_mm={
                "width": finish.width_mm,
                "thickness": finish.thickness_mm,
                "target": length_mm,
            },
            at_most_mm={"reach": finish.length_mm},
        )
