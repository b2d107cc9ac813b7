"""The press schedule as a sheet prints it: stop by stop, with columns to write in.

Pure. It leaves out the schedule itself (`billets.schedule`, `billets.outcome`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from billets.calibration import Calibration
from billets.design import Design
from billets.drawn import drawn_layers_nm
from billets.errors import ForgingError
from billets.estimates import LENGTH_STEPS, STOP_STEPS, THIN_STEPS, WIDTH_STEPS
from billets.forecast import drawn_size, forecast
from billets.outcome import DrawOut
from billets.schedule import FLATTEN, SET, Stage
from billets.stack import core_places
from billets.target import Drawn
from billets.window import Window
from shop.sheet_words import Told, about, about_sizes
from stock.house import House

WORK_WORDS: Mapping[str, str] = {"set": "Set the bond", "draw": "Draw out", "flatten": "Flatten"}
SHORT_WORDS: Mapping[str, str] = {"set": "Set", "draw": "Draw", "flatten": "Flatten"}
BLANK_ROWS = 9  # where no schedule can be worked out, lines to write one on
ONE_TABLE = 13  # rows of one table; more stand in two, side by side


@dataclass(frozen=True)
class PressRow:
    """One heat; all sizes are after it."""

    heat: int
    work: str
    short_work: str
    is_flat: bool  # flat dies
    stop: Told
    width: Told
    length: Told


@dataclass(frozen=True)
class PressOnPaper:
    """The schedule in one or two tables, the finished size, and what does not fit the press."""

    tables: tuple[tuple[PressRow, ...], ...]
    blank_rows: tuple[int, ...]
    setting: str  # numbers of the bonding heats
    finish: Told | None
    length_mm: float | None  # of the drawn billet, for the blade
    core: Told | None
    lines: Told | None
    bite: str
    refused: str

    @property
    def longest(self) -> int:
        """Rows of the longest table."""
        return max([len(self.blank_rows), *(len(table) for table in self.tables)])


def outcome_of(
    design: Design, *, window: Window, house: House, calibration: Calibration | None
) -> DrawOut | None:
    """The whole forecast, or None where there is no window or no such size.

    Args:
        design: the layup.
        window: its working window.
        house: the shop's settings.
        calibration: what the shop's measured billets say, if any.

    Returns:
        The forecast.

    Source:
        `billets.forecast.forecast`.
    """
    try:
        return forecast(design, window=window, house=house, calibration=calibration)
    except ForgingError:
        return None


def press_on_paper(
    design: Design, *, drawn: DrawOut | None, house: House, calibration: Calibration | None
) -> PressOnPaper:
    """The schedule, ready to be printed.

    Args:
        design: the layup.
        drawn: its forecast, for the press; None where there is none.
        house: the shop's settings.
        calibration: what the shop's measured billets say, if any.

    Returns:
        Rows; where the metal cannot become what is asked, the sentence that says so and
        blank rows.

    Source:
        `billets.forecast.drawn_size`, which needs no working window.
    """
    system = house.system
    try:
        size = drawn_size(design, house=house, calibration=calibration)
    except ForgingError as error:
        return _without_plan(error.sentence(system))
    tables = _split([_row(stage, system=system) for stage in size.stages])
    core, lines = _layers(design, system=system)
    return PressOnPaper(
        tables=tables,
        blank_rows=(),
        setting=_setting(size.stages),
        finish=_finish(size, system=system),
        length_mm=size.finish.length_mm,
        core=core,
        lines=lines,
        bite=_bite(drawn, system=system),
        refused="",
    )


def _without_plan(sentence: str) -> PressOnPaper:
    rows = tuple(range(1, BLANK_ROWS + 1))
    return PressOnPaper((), rows, "", None, None, None, None, "", sentence)


def _split(rows: Sequence[PressRow]) -> tuple[tuple[PressRow, ...], ...]:
    """Rows in one table, or in two of like length."""
    if len(rows) <= ONE_TABLE:
        return (tuple(rows),)
    half = (len(rows) + 1) // 2
    return tuple(rows[:half]), tuple(rows[half:])


def _row(stage: Stage, *, system: str) -> PressRow:
    after = stage.after
    style = "thou" if system == "inch" else "fraction"
    return PressRow(
        heat=stage.heat,
        work=WORK_WORDS[stage.work],
        short_work=SHORT_WORDS[stage.work],
        is_flat=stage.work in (SET, FLATTEN),
        stop=about(stage.stop_mm, steps=STOP_STEPS, system=system, style=style),
        width=about(after.width_mm, steps=WIDTH_STEPS, system=system),
        length=about(after.length_mm, steps=LENGTH_STEPS, system=system),
    )


def _setting(stages: Sequence[Stage]) -> str:
    """Numbers of the bonding heats in words."""
    heats = [stage.heat for stage in stages if stage.work == SET]
    if not heats:
        return ""
    return f"heat {heats[0]}" if len(heats) == 1 else f"heats {heats[0]} to {heats[-1]}"


def _finish(size: Drawn, *, system: str) -> Told:
    """Length, width and thickness of the billet once its ends are cropped."""
    block = size.finish
    sizes = (
        (block.length_mm, LENGTH_STEPS),
        (block.width_mm, WIDTH_STEPS),
        (block.thickness_mm, {"inch": 396_875, "metric": 100_000}),
    )
    return about_sizes(sizes, system=system)


def _layers(design: Design, *, system: str) -> tuple[Told | None, Told | None]:
    """Thickness of the core and of the first line beside it, in the finished billet."""
    cores = core_places(design)
    layers_nm = drawn_layers_nm(design, thickness_nm=design.finish_thickness_nm)
    if len(cores) != 1:  # a bar: nothing comes out on a blade
        return None, None
    lines = [nm for nm, layer in zip(layers_nm, design.layers, strict=True) if layer.role == "line"]
    line = about(lines[0] / 1e6, steps=THIN_STEPS, system=system, style="thou") if lines else None
    return about(layers_nm[cores[0]] / 1e6, steps=THIN_STEPS, system=system, style="thou"), line


def _bite(drawn: DrawOut | None, *, system: str) -> str:
    """What to do where the press cannot take the whole bite to the end of the heat."""
    if drawn is None:
        return ""
    weak = [line for line in drawn.lines if line.fits is False]
    if not weak:
        return ""
    least_mm = min(line.largest_bite_mm or 0.0 for line in weak)
    heats = f"heat {weak[0].heat}" if len(weak) == 1 else f"heats {weak[0].heat}–{weak[-1].heat}"
    size = about(least_mm, steps=WIDTH_STEPS, system=system)
    return (
        f"At the cold end of {heats} this press takes a bite of {size.first} ({size.second}) at "
        "most: press shorter bites, or go back to the fire."
    )
