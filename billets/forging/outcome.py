"""The whole answer about drawing out a stack: size, losses, schedule, forces, seconds, layers.

Puts beside each line of the schedule the seconds it has out of the fire and the force its bite asks
of the press. Takes plain numbers; `billets.forging.forecast` fills them in from a layup and a shop.
"""

import math
from dataclasses import dataclass

from billets.forging.drawout import Block
from billets.forging.press import (
    Press,
    hot_flow_stress_mpa,
    largest_bite_mm,
    plane_strain_force_n,
    upsetting_force_n,
)
from billets.forging.schedule import DRAW, SET, Method, Stage
from billets.forging.target import Drawn, Stack, Wanted
from billets.heat.cooling import ROOM, Air
from billets.heat.section_cooling import section_cooling

UNIFORM = (
    "Every layer is taken to thin in the same ratio. Scale comes off the outer layers alone, so "
    "in truth the inner ones end about {percent:.0f} % thicker than shown."
)
STILL_AIR = (
    "Seconds run in still air from the fire until the corner of the section is at the floor; the "
    "middle is hotter then. Near an end, in a draught and on cold dies it goes faster. How well "
    "scale radiates is known to about a sixth, and so are the seconds."
)
ALL_STEEL = (
    "Press forces count the whole billet as carbon steel and are good to about 30 %; stainless "
    "cladding wants about half as much again (common practice)."
)
COLD_SIZES = "Sizes are cold; at a forging heat everything reads about 1.3 % more (EN 1993-1-2)."
HELD_IN_RANGE = (
    "Seconds and forces are reckoned from 700 to 1200 °C (1292 to 2192 °F), as far as the "
    "published figures for hot steel go."
)
HAND_HAMMER = "hand hammer"


@dataclass(frozen=True)
class HeatRange:
    """Working window [°C] and what the billet loses heat to.

    `is_held` where it is narrower than the layup's, as far as hot steel is known.
    """

    ceiling_c: float
    floor_c: float
    air: Air = ROOM
    is_held: bool = False


@dataclass(frozen=True)
class PressLine:
    """One heat of the schedule as the sheet shows it.

    Sizes after the heat [mm]; `reduction` is a share; `bite_mm` is the contact of the dies along
    the billet. `seconds` end with the corner at the floor, `mean_s` with the mean of the section.
    Force and largest bite stand twice: at the floor, where the heat ends, and
    (`…_hot_…`) at the ceiling, where it begins. A hand hammer has no largest bite.
    """

    heat: int
    work: str
    stop_mm: float
    width_mm: float
    length_mm: float
    reduction: float
    layers_mm: tuple[float, ...]
    bite_mm: float
    force_n: float
    force_hot_n: float
    largest_bite_mm: float | None
    largest_bite_hot_mm: float | None
    seconds: float
    mean_s: float

    @property
    def fits(self) -> bool | None:
        """Whether the press takes the full bite to the very end of the heat; None by hand."""
        return None if self.largest_bite_mm is None else self.bite_mm <= self.largest_bite_mm


@dataclass(frozen=True)
class Loss:
    """Metal lost in one way [mm³], and as a share of the stack."""

    name: str
    volume_mm3: float
    ratio: float


@dataclass(frozen=True)
class DrawOut:
    """A stack drawn out: start and finish, losses, schedule, and what it all assumes."""

    start: Block
    finish: Block
    losses: tuple[Loss, ...]
    lines: tuple[PressLine, ...]
    layers_mm: tuple[float, ...]
    spread: float
    spread_from: str
    inner_gain_ratio: float
    tool: str
    notes: tuple[str, ...]

    @property
    def loss_ratio(self) -> float:
        """Everything lost, as a share of the stack."""
        return math.fsum(loss.ratio for loss in self.losses)

    @property
    def heats(self) -> int:
        """Heats of the whole schedule."""
        return len(self.lines)


def draw_out(
    stack: Stack, *, drawn: Drawn, wanted: Wanted, heat: HeatRange, press: Press
) -> DrawOut:
    """Everything about drawing a stack out to the sizes asked for.

    Args:
        stack: the stack [mm], of at least one layer; they add up to its height.
        drawn: how it gets to those sizes, from `billets.forging.target.drawn_to`.
        wanted: the sizes asked for.
        heat: working window [°C], within 700 to 1200.
        press: the shop's press, or a hand hammer.

    Returns:
        The finished size after cropping, losses, schedule, layers, and what it rests on.

    Raises:
        DrawOutError: the window is outside what is known of hot steel.
        HeatError: the window is empty.
    """
    start, method = stack.block, stack.method
    last = drawn.stages[-1]
    gain = _inner_gain_ratio(drawn, start)
    notes = (UNIFORM.format(percent=gain * 100), STILL_AIR, ALL_STEEL, COLD_SIZES)
    return DrawOut(
        start=start,
        finish=drawn.finish,
        losses=_losses(start, drawn=drawn, method=method),
        lines=tuple(
            press_line(stage, method=method, heat=heat, press=press) for stage in drawn.stages
        ),
        layers_mm=last.layers_mm,
        spread=drawn.spread,
        spread_from=_spread_from(wanted, method),
        inner_gain_ratio=gain,
        tool=HAND_HAMMER if press.is_hand_hammer else "press",
        notes=(*notes, HELD_IN_RANGE) if heat.is_held else notes,
    )


def press_line(stage: Stage, *, method: Method, heat: HeatRange, press: Press) -> PressLine:
    """One line of the schedule with its seconds and its forces.

    Args:
        stage: the heat.
        method: how the shop works, for the dies.
        heat: working window [°C].
        press: the shop's press, or a hand hammer.

    Returns:
        The line. Seconds are for the section at the end of the heat, the shortest, and end when
        its corner is at the floor; setting counts as upsetting under flat dies, drawing and
        flattening as plane strain.

    Raises:
        DrawOutError: the window is outside what is known of hot steel.
        HeatError: the window is empty.

    Source:
        Groover, Example 18.2 (read); Kalpakjian and Shida (1969) (from memory).
    """
    block = stage.after
    cools = section_cooling(
        heat.ceiling_c,
        end_c=heat.floor_c,
        thickness_mm=block.thickness_mm,
        width_mm=block.width_mm,
        air=heat.air,
    )
    bite_mm = _bite_mm(stage, method=method)
    cold_mpa = _stress_mpa(heat.floor_c, stage=stage)
    hot_mpa = _stress_mpa(heat.ceiling_c, stage=stage)
    return PressLine(
        heat=stage.heat,
        work=stage.work,
        stop_mm=stage.stop_mm,
        width_mm=block.width_mm,
        length_mm=block.length_mm,
        reduction=stage.reduction,
        layers_mm=stage.layers_mm,
        bite_mm=bite_mm,
        force_n=_force_n(stage, stress_mpa=cold_mpa, bite_mm=bite_mm),
        force_hot_n=_force_n(stage, stress_mpa=hot_mpa, bite_mm=bite_mm),
        largest_bite_mm=_largest_mm(stage, stress_mpa=cold_mpa, press=press),
        largest_bite_hot_mm=_largest_mm(stage, stress_mpa=hot_mpa, press=press),
        seconds=cools.corner_s,
        mean_s=cools.mean_s,
    )


def _bite_mm(stage: Stage, *, method: Method) -> float:
    """Contact along the billet: the drawing bite, or as much of the flat dies as it covers."""
    wide_mm = method.bite_mm if stage.work == DRAW else method.die_width_mm
    return min(wide_mm, stage.after.length_mm)


def _stress_mpa(temperature_c: float, *, stage: Stage) -> float:
    """Flow stress at the strain of one heat; a strain of 0.002 at least, where metal yields."""
    strain = max(-math.log1p(-stage.reduction), 0.002)
    return hot_flow_stress_mpa(temperature_c, strain=strain)


def _force_n(stage: Stage, *, stress_mpa: float, bite_mm: float) -> float:
    """Force of one bite at the bottom of its stroke, where it is largest."""
    block = stage.after
    if stage.work == SET:
        area_mm2 = bite_mm * block.width_mm
        return upsetting_force_n(
            stress_mpa, area_mm2=area_mm2, contact_mm=bite_mm, height_mm=block.thickness_mm
        )
    return plane_strain_force_n(
        stress_mpa, bite_mm=bite_mm, width_mm=block.width_mm, height_mm=block.thickness_mm
    )


def _largest_mm(stage: Stage, *, stress_mpa: float, press: Press) -> float | None:
    """Largest bite that the press can take in this heat."""
    if press.is_hand_hammer:
        return None
    return largest_bite_mm(
        press.force_n,
        flow_stress_mpa=stress_mpa,
        width_mm=stage.after.width_mm,
        height_mm=stage.after.thickness_mm,
        is_plane_strain=stage.work != SET,
    )


def _losses(start: Block, *, drawn: Drawn, method: Method) -> tuple[Loss, ...]:
    """Scale, and what is cropped and ground off, as volumes and as shares of the stack."""
    off_press_mm3 = drawn.stages[-1].after.volume_mm3
    whole_mm3 = start.volume_mm3
    parts = (
        ("scale", whole_mm3 - off_press_mm3),
        ("ends cropped and seam ground off", off_press_mm3 * method.crop_ratio),
    )
    return tuple(Loss(name, volume, volume / whole_mm3) for name, volume in parts)


def _inner_gain_ratio(drawn: Drawn, start: Block) -> float:
    """How much thicker an inner layer ends when only the outer ones lose the scale."""
    kept = math.prod(stage.stop_mm / stage.hot.thickness_mm for stage in drawn.stages)
    return kept * start.thickness_mm / drawn.stages[-1].stop_mm - 1


def _spread_from(wanted: Wanted, method: Method) -> str:
    """Where the spread comes from, in words."""
    sizes = (wanted.thickness_mm, wanted.width_mm, wanted.length_mm)
    if sum(size is not None for size in sizes) > 1:
        return "the sizes asked for"
    if method.spread is not None:
        return "the shop's own billets"
    return "Tomlinson & Stringer (1959), from memory"
