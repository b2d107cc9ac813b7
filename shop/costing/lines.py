"""What a job costs, as lines that add up: the rates, the hours, the bars of a waterfall.

Billets, classes and knives each have a module of their own on top of this one. It leaves out
where the rates are kept and how money is shown.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date

from stock.quantities.money import (
    FREE,
    JOULES_PER_KWH,
    MoneyError,
    Price,
    for_hours,
    not_below_zero,
    whole_cents,
)


@dataclass(frozen=True)
class Line:
    """One line of a cost: what kind, what it is called, how much money."""

    key: str  # "metal", "filler", "fuel", "labour" …: the same kind has the same key
    label: str
    cents: int
    detail: str = ""


@dataclass(frozen=True)
class Step:
    """Hands at work: a step, its time, and the person's own rate where it is not the shop's."""

    name: str
    seconds: int
    cents_per_hour: int | None = None


@dataclass(frozen=True)
class MachineRun:
    """A machine that draws power for a time; `watts` is its usual draw, not its plate."""

    name: str
    watts: int
    seconds: int

    def __post_init__(self) -> None:
        not_below_zero(draw_in_watts=self.watts, time_in_seconds=self.seconds)

    @property
    def joules(self) -> int:
        """Energy drawn [J]."""
        return self.watts * self.seconds


@dataclass(frozen=True)
class Rates:
    """What the shop pays for hours, gas, power and wire, as they stood on one day."""

    labour_cents_per_hour: int = 0
    overhead_cents_per_hour: int = 0
    fuel: Price = FREE  # a mass [µg]
    burn_ug_per_hour: int = 0
    power: Price = field(default=Price(cents=0, per=JOULES_PER_KWH))  # energy [J]
    shielding: Price = FREE  # a volume [ml]
    shielding_ml_per_minute: int = 0
    filler: Price = FREE  # a mass [µg]
    billet_consumables_cents: int = 0
    knife_consumables_cents: int = 0

    def __post_init__(self) -> None:
        not_below_zero(
            labour_rate=self.labour_cents_per_hour,
            overhead_rate=self.overhead_cents_per_hour,
            burn_rate=self.burn_ug_per_hour,
            shielding_gas_flow=self.shielding_ml_per_minute,
            consumables_for_a_billet=self.billet_consumables_cents,
            consumables_for_a_knife=self.knife_consumables_cents,
        )


class NoRatesYetError(MoneyError):
    """No rates held on that day; facts: `day`, `first_day` (None when none were ever set)."""

    def __init__(self, *, day: date, first_day: date | None) -> None:
        since = f"the first ones hold from {first_day.isoformat()}" if first_day else "none are set"
        super().__init__(
            f"No rates are set for {day.isoformat()}: {since}. Add rates that hold on that day.",
            given=day,
        )
        self.day = day
        self.first_day = first_day


@dataclass(frozen=True)
class WaterfallRow:
    """One bar of the drawing, from `start_cents` to `end_cents` on the money axis."""

    label: str
    cents: int
    start_cents: int
    end_cents: int
    kind: str  # "total" | "up" | "down"


def total_cents(lines: Iterable[Line]) -> int:
    """Sum of the lines; what is shown adds up to what is charged.

    Args:
        lines: the lines of one cost.

    Returns:
        Minor units.
    """
    return sum(line.cents for line in lines)


def cents_of(lines: Iterable[Line], key: str) -> int:
    """Sum of the lines of one kind.

    Args:
        lines: the lines of one cost.
        key: the kind.

    Returns:
        Minor units; 0 when there is no such line.
    """
    return sum(line.cents for line in lines if line.key == key)


def worked_seconds(steps: Iterable[Step]) -> int:
    """Hours at work together.

    Args:
        steps: the steps of one job.

    Returns:
        Time [s].
    """
    return sum(step.seconds for step in steps)


def hours_lines(steps: Sequence[Step], *, rates: Rates) -> tuple[Line, ...]:
    """Labour, a line for each step, and the overhead on all the hours in one line.

    Args:
        steps: steps with their time [s], 0 or more each.
        rates: the shop's rates; a step may carry a person's own.

    Returns:
        Lines with the keys "labour" and "overhead"; lines of no money are left out.

    Raises:
        MoneyError: a time or a rate is below 0.
    """
    lines, seconds = [], worked_seconds(steps)
    for step in steps:
        rate = rates.labour_cents_per_hour if step.cents_per_hour is None else step.cents_per_hour
        lines.append(Line("labour", step.name, for_hours(rate, seconds=step.seconds)))
    overhead = for_hours(rates.overhead_cents_per_hour, seconds=seconds)
    return with_money([*lines, Line("overhead", "Overhead", overhead)])


def power_line(runs: Iterable[MachineRun], *, rates: Rates) -> Line:
    """Electricity of all machines together.

    Args:
        runs: machines with their usual draw [W] and time [s], 0 or more each.
        rates: the shop's rates.

    Returns:
        A line with the key "power", rounded once.
    """
    joules = sum(run.joules for run in runs)
    return Line("power", "Power", whole_cents(rates.power.of(joules)))


def with_money(lines: Iterable[Line]) -> tuple[Line, ...]:
    """The lines that have money on them.

    Args:
        lines: lines in the order they are shown.

    Returns:
        The same lines without those of 0.
    """
    return tuple(line for line in lines if line.cents)


def waterfall(
    lines: Iterable[Line], *, start: tuple[str, int] | None = None, end: str = "Total"
) -> tuple[WaterfallRow, ...]:
    """Bars that step from nothing, or from a first total, to the last total.

    Args:
        lines: the steps in order; money below 0 steps down (salvage, a saving).
        start: label and money of a first total, such as the planned cost; None begins at 0.
        end: label of the last total.

    Returns:
        One row a bar; each begins where the one before it ended.

    >>> [row.end_cents for row in waterfall([Line("a", "A", 5), Line("b", "B", -2)])]
    [5, 3, 3]
    """
    rows = []
    at = 0
    if start is not None:
        label, at = start
        rows.append(WaterfallRow(label, at, 0, at, "total"))
    for line in lines:
        kind = "up" if line.cents >= 0 else "down"
        rows.append(WaterfallRow(line.label, line.cents, at, at + line.cents, kind))
        at += line.cents
    rows.append(WaterfallRow(end, at, 0, at, "total"))
    return tuple(rows)
