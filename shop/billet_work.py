"""What a billet takes, planned and real, as the cost sums want it. Pure.

Planned are the shop's usual times and the forecast's heats; real are the hours that stand written
down, and where there are none the steps that were reached and the heats that were logged, at those
same times (`shop.hands`). The metal is the caller's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shop import hands
from shop.costing import Line, Step, total_cents
from shop.costing_billet import BilletWork
from shop.hands import Reached as Reached
from shop.rate_values import FINISH, ShopRates

FORGING = ("press", "blower")  # machines that run while somebody forges
STEP_MACHINES = {"cut_s": "saw", "weld_s": "welder", "finish_s": "grinder"}
ORDER = ("metal", "filler", "shielding", "fuel", "power", "consumables", "labour", "overhead")
WORDS = {"labour": "Labour"}  # of which a cost has several lines


@dataclass(frozen=True)
class Compared:
    """One kind of cost, planned and real."""

    word: str
    planned_cents: int
    real_cents: int

    @property
    def difference_cents(self) -> int:
        """Real less planned [minor units]; above 0 is dearer."""
        return self.real_cents - self.planned_cents


def planned_work(
    shop: ShopRates, *, metal_cents: int, filler_ug: int, heats: int, is_for_class: bool
) -> BilletWork:
    """What a billet will take.

    Args:
        shop: the rates and usual times of the day.
        metal_cents: what its metal will cost [minor units], 0 or more.
        filler_ug: wire for its seams [µg], 0 or more.
        heats: heats of the forecast, 0 or more.
        is_for_class: the students forge it, so forging and finishing are nobody's paid hours.

    Returns:
        The work, for `shop.costing_billet.billet_lines`.

    Source:
        The shop's own usual times.
    """
    usual = shop.usual
    steps = list(usual.before_class())
    if not is_for_class:
        steps += [Step(f"Forge, {heats} heats", heats * usual.heat_s), Step(FINISH, usual.finish_s)]
    return BilletWork(
        metal_cents=metal_cents,
        filler_ug=filler_ug,
        arc_seconds=usual.arc_s if filler_ug else 0,
        fire_seconds=heats * usual.heat_s,
        in_the_fire_together=usual.in_the_fire_together,
        runs=shop.runs(usual.machine_s),
        steps=tuple(steps),
    )


def real_work(
    shop: ShopRates, reached: Reached, *, metal_cents: int, planned_heats: int, is_for_class: bool
) -> BilletWork:
    """What a billet took so far; its wire is the ledger's and is not in it.

    Args:
        shop: the rates and usual times of the day.
        reached: steps, who did them, and heats.
        metal_cents: what the ledger has booked to it [minor units], 0 or more.
        planned_heats: heats that the machines' usual times are meant for, 0 or more.
        is_for_class: as for `planned_work`.

    Returns:
        The work, for `shop.costing_billet.billet_lines`.

    Source:
        Hours that were written down; the shop's own usual times for the rest (`shop.hands`).
    """
    usual = shop.usual
    machines = machine_seconds(shop, reached, planned_heats=planned_heats)
    return BilletWork(
        metal_cents=metal_cents,
        arc_seconds=hands.at_step(usual, reached, name="weld_s", seconds=usual.arc_s),
        fire_seconds=hands.fire_seconds(usual, reached),
        in_the_fire_together=usual.in_the_fire_together,
        steps=hands.all_hands(shop, reached, is_for_class=is_for_class),
        runs=shop.runs(machines),
        consumables_cents=None if reached.steps or reached.worked else 0,
    )


def machine_seconds(shop: ShopRates, reached: Reached, *, planned_heats: int) -> dict[str, int]:
    """Time under each machine, in proportion to the time that its step took.

    Args:
        shop: the usual times.
        reached: what was done and what stands written down.
        planned_heats: heats that the usual times are meant for; 0 counts all the time at once.

    Returns:
        Seconds by machine; those of steps that nobody was at are left out.

    Source:
        Proportion (`shop.hands`).
    """
    usual = shop.usual
    found = {
        machine: hands.at_step(usual, reached, name=name, seconds=usual.machine_s.get(machine, 0))
        for name, machine in STEP_MACHINES.items()
    }
    share = hands.forging_share(usual, reached, planned_heats=planned_heats)
    found |= {machine: round(usual.machine_s.get(machine, 0) * share) for machine in FORGING}
    return {machine: seconds for machine, seconds in found.items() if seconds}


def joined(lines: Sequence[Line]) -> tuple[Line, ...]:
    """Lines of the same kind and name as one: two people at the same step.

    Args:
        lines: lines of one cost.

    Returns:
        The lines in the order of the first of each; the sum stays.

    Source:
        Addition.
    """
    found: dict[tuple[str, str], Line] = {}
    for line in lines:
        name = (line.key, line.label)
        before = found[name].cents if name in found else 0
        found[name] = Line(line.key, line.label, before + line.cents, line.detail)
    return tuple(found.values())


def with_filler(lines: Sequence[Line], *, cents: int) -> tuple[Line, ...]:
    """The lines with the wire that the ledger booked, after the metal.

    Args:
        lines: a billet's cost without its wire.
        cents: value of the wire [minor units], 0 or more.

    Returns:
        The lines in their order.

    Source:
        Our own order.
    """
    if not cents:
        return tuple(lines)
    first = [line for line in lines if line.key == "metal"]
    rest = [line for line in lines if line.key != "metal"]
    return (*first, Line("filler", "Filler", cents), *rest)


def compared(planned: Sequence[Line], real: Sequence[Line]) -> tuple[Compared, ...]:
    """Planned beside real, a row for each kind of cost.

    Args:
        planned: lines of the plan.
        real: lines as they came out.

    Returns:
        Kinds that are in either, in the order of a billet's cost; the rows add up to the totals.

    Source:
        Addition.
    """
    words = {line.key: WORDS.get(line.key, line.label) for line in (*planned, *real)}
    known = [key for key in ORDER if key in words]
    return tuple(
        Compared(
            words[key],
            total_cents(line for line in planned if line.key == key),
            total_cents(line for line in real if line.key == key),
        )
        for key in known
    )
