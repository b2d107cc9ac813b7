"""The press schedule as a sheet prints it: stop by stop, with columns to write in.

Pure. It leaves out the schedule itself (`billets.forging.schedule`, `billets.forging.outcome`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from billets.forging.forecast import Outlook
from billets.forging.outcome import DrawOut
from billets.forging.schedule import FLATTEN, SET, Stage
from billets.forging.target import Drawn
from billets.layup.case import Case
from billets.panel.figures import LENGTH_STEPS, STOP_STEPS, THIN_STEPS, WIDTH_STEPS
from shop.sheets.words import Told, about, about_sizes

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


def press_on_paper(case: Case, *, outlook: Outlook) -> PressOnPaper:
    """The schedule, ready to be printed.

    Args:
        case: the layup in its shop.
        outlook: what its metal becomes.

    Returns:
        Rows; where the metal cannot become what is asked, the sentence that says so and
        blank rows.
    """
    system, size = case.house.system, outlook.size
    if size is None:
        return _without_plan(outlook.refused.sentence(system) if outlook.refused else "")
    tables = _split([_row(stage, system=system) for stage in size.stages])
    core, lines = _layers(case)
    return PressOnPaper(
        tables=tables,
        blank_rows=(),
        setting=_setting(size.stages),
        finish=_finish(size, system=system),
        length_mm=size.finish.length_mm,
        core=core,
        lines=lines,
        bite=_bite(outlook.outcome, system=system),
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


def _layers(case: Case) -> tuple[Told | None, Told | None]:
    """Thickness of the core and of the first line beside it, in the finished billet."""
    if not case.has_one_core:  # a bar: nothing comes out on a blade
        return None, None
    layers_nm, system = case.drawn_nm, case.house.system
    roles = [layer.role for layer in case.design.layers]
    lines = [nm for nm, role in zip(layers_nm, roles, strict=True) if role == "line"]
    line = about(lines[0] / 1e6, steps=THIN_STEPS, system=system, style="thou") if lines else None
    core_mm = layers_nm[case.cores[0]] / 1e6
    return about(core_mm, steps=THIN_STEPS, system=system, style="thou"), line


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
