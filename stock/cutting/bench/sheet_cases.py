"""Made-up cases of rolls and sheets for the benchmark, and what their plans come to.

All figures are invented; a seed makes the same cases again. Strips cut up without waste, whose
least length is known, are in cases.py. It leaves out solving and the command line.
"""

import random
from collections.abc import Sequence
from dataclasses import dataclass

from stock.cutting.plans.plan import Rectangle, SheetCase, SheetPlan

INCH = 25_400_000
ROLL = (12 * INCH, 50 * 12 * INCH)
QUARTERS = INCH // 4


@dataclass(frozen=True)
class Gaps:
    """What many plans come to together."""

    cases: int
    proved: int
    mean_gap: float  # of the roll taken over the least that any layout takes
    worst_gap: float
    slowest_s: float


def class_sheet_cases(count: int, *, seed: int) -> list[SheetCase]:
    """Copper for a class: 20 to 40 blanks of one size, some of another, and sheet offcuts.

    Args:
        count: how many cases, 0 or more.
        seed: the same seed makes the same cases.

    Returns:
        Cases with a roll 12 in wide and up to four offcuts, sizes in quarter inches.

    Source:
        Invented, after a stack about 6 in long and 1-1/4 in wide (common practice).
    """
    return [_class_case(random.Random(f"class-{seed}-{i}"), f"{seed}-{i}") for i in range(count)]


def _class_case(rng: random.Random, name: str) -> SheetCase:
    pieces = [Rectangle(_inches(rng, 5, 8), _inches(rng, 1, 2), rng.randint(20, 40))]
    if rng.random() < 0.5:
        pieces.append(Rectangle(_inches(rng, 6, 11), _inches(rng, 1, 2), rng.randint(2, 8)))
    offcuts = tuple(
        (_inches(rng, 3, 12), _inches(rng, 2, 14)) for _ in range(rng.choice((0, 1, 2, 4)))
    )
    return SheetCase(f"class-sheets-{name}", ROLL, offcuts, tuple(pieces))


def mixed_sheet_cases(count: int, *, seed: int, pieces: int = 12) -> list[SheetCase]:
    """Rectangles of as many sizes as there are pieces, which do not make up any strip.

    Args:
        count: how many cases, 0 or more.
        seed: the same seed makes the same cases.
        pieces: rectangles in each case, at least 1.

    Returns:
        Cases with a roll 12 in wide and no offcuts, sizes in eighths of an inch.
    """
    cases = []
    for i in range(count):
        rng = random.Random(f"mixed-{seed}-{i}")
        sizes = ((rng.randint(8, 60), rng.randint(8, 60)) for _ in range(pieces))
        wanted = tuple(Rectangle(w * INCH // 8, h * INCH // 8, 1) for w, h in sizes)
        cases.append(SheetCase(f"mixed-{pieces}-{seed}-{i}", ROLL, (), wanted))
    return cases


def _inches(rng: random.Random, low: int, high: int) -> int:
    return rng.randint(4 * low, 4 * high) * QUARTERS


def gaps(plans: Sequence[SheetPlan]) -> Gaps:
    """How far plans are from what no layout can go below.

    Args:
        plans: at least one.

    Returns:
        The mean and the worst of roll taken over the bound, less 1; plans that take no roll
        have no gap.
    """
    over = [p.roll_length_nm / p.at_least_nm - 1 if p.at_least_nm else 0.0 for p in plans]
    return Gaps(
        cases=len(plans),
        proved=sum(plan.proved for plan in plans),
        mean_gap=sum(over) / len(over),
        worst_gap=max(over),
        slowest_s=max(plan.seconds for plan in plans),
    )
