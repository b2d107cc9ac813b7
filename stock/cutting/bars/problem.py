"""A bar case made ready for the solvers: equal bars grouped, lengths in whole common units.

A piece of length L with kerf k takes L + k from a bar that counts as S + k long, so that the
last cut may consume the end. All L + k are divided by their greatest common divisor.
It leaves out any choice of what to cut from what.
"""

from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from math import gcd

from stock.cutting.plans.plan import BarCase, CutBar, Wanted, Worth


@dataclass(frozen=True)
class Group:
    """Equal bars: on hand with a count, or on offer with a price."""

    length_nm: int
    limit: int  # most bars of this group that a plan can use
    price_cents: int
    is_offer: bool
    capacity: int  # in common units, rounded down


@dataclass(frozen=True)
class Problem:
    """Pieces, longest first, and the groups of bars they may be cut from."""

    kerf_nm: int
    unit_nm: int  # where coarser than exact_unit_nm, pieces and bars are rounded down
    exact_unit_nm: int
    worth: Worth
    lengths_nm: tuple[int, ...]
    units: tuple[int, ...]  # what each piece takes with its kerf, in common units
    counts: tuple[int, ...]
    groups: tuple[Group, ...]

    @cached_property
    def total(self) -> int:
        """How many pieces there are."""
        return sum(self.counts)

    @property
    def is_exact(self) -> bool:
        """Whether what fits in units fits in truth."""
        return self.unit_nm == self.exact_unit_nm

    def most_in(self, piece: int, capacity: int) -> int:
        """How many of a piece so many units hold; all, where it is rounded down to nothing."""
        units = self.units[piece]
        return min(self.counts[piece], capacity // units) if units else self.counts[piece]

    def fits(self, pattern: "Pattern") -> bool:
        """Whether the pieces of a pattern fit its bar, in nanometres."""
        takes = sum(n * (self.lengths_nm[i] + self.kerf_nm) for i, n in pattern.cuts)
        return takes <= self.groups[pattern.group].length_nm + self.kerf_nm

    def remnant_nm(self, group: int, used: int) -> int:
        """What is left of a bar of this group when `used` units are cut from it."""
        return max(0, self.groups[group].length_nm - used * self.unit_nm)

    def used(self, pattern: "Pattern") -> int:
        """Units that a pattern takes from its bar."""
        return sum(n * self.units[i] for i, n in pattern.cuts)

    def lost(self, pattern: "Pattern") -> int:
        """Worth that the rack loses by this pattern, scaled, exactly."""
        takes = sum(n * (self.lengths_nm[i] + self.kerf_nm) for i, n in pattern.cuts)
        group = self.groups[pattern.group]
        after = self.worth.scaled(max(0, group.length_nm - takes))
        return (0 if group.is_offer else self.worth.scaled(group.length_nm)) - after


@dataclass(frozen=True)
class Pattern:
    """What is cut from one bar of a group: (piece, how many), by piece."""

    group: int
    cuts: tuple[tuple[int, int], ...]


Packing = Counter[Pattern]  # how many bars are cut by each pattern


def problem_of(case: BarCase, pieces: Counter[int], *, coarse_nm: int = 0) -> Problem:
    """The case with only these pieces, in common units.

    Args:
        case: bars, kerf and worth [nm, cents].
        pieces: how many of each length [nm]; at least one piece, all of which fit some bar.
        coarse_nm: 0, or a coarser unit to round down to [nm]: all that fits in truth still
            fits, so bounds stay bounds, but some of what fits in these units does not in truth.

    Returns:
        The problem; bars too short for every piece are left out.
    """
    lengths = sorted((n for n, count in pieces.items() if count > 0), reverse=True)
    kerf = case.kerf_nm
    exact_unit = gcd(*(n + kerf for n in lengths))
    unit = max(exact_unit, coarse_nm)
    total = sum(pieces.values())
    on_hand: Counter[int] = Counter()
    for bar in case.on_hand:
        on_hand[bar.length_nm] += bar.count
    offers: dict[int, int] = {}
    for offer in case.offers:
        known = offers.get(offer.length_nm, offer.price_cents)
        offers[offer.length_nm] = min(known, offer.price_cents)
    groups = [
        Group(length, min(n, total), 0, False, (length + kerf) // unit)
        for length, n in sorted(on_hand.items())
        if n > 0 and length >= lengths[-1]
    ] + [
        Group(length, total, price, True, (length + kerf) // unit)
        for length, price in sorted(offers.items())
        if length >= lengths[-1]
    ]
    return Problem(
        kerf_nm=kerf,
        unit_nm=unit,
        exact_unit_nm=exact_unit,
        worth=Worth(case.keep_from_nm, reference_nm(case)),
        lengths_nm=tuple(lengths),
        units=tuple((n + kerf) // unit for n in lengths),
        counts=tuple(pieces[n] for n in lengths),
        groups=tuple(groups),
    )


def bar_lengths_nm(case: BarCase) -> list[int]:
    """Lengths of all bars that there are, on hand and on offer [nm]."""
    hand = [bar.length_nm for bar in case.on_hand if bar.count > 0]
    return hand + [offer.length_nm for offer in case.offers]


def reference_nm(case: BarCase) -> int:
    """The case's reference length, or the longest bar where it gives none [nm]."""
    return case.reference_nm or max(bar_lengths_nm(case), default=1)


def wanted(pieces: Counter[int]) -> tuple[Wanted, ...]:
    """Pieces as the plan lists them, longest first."""
    return tuple(Wanted(n, pieces[n]) for n in sorted(pieces, reverse=True) if pieces[n] > 0)


def cut_bars(problem: Problem, packing: Packing) -> tuple[CutBar, ...]:
    """The bars of a packing, on hand first, shortest first, each cut from the longest piece."""
    bars = []
    for pattern in sorted(packing, key=lambda p: (p.group, p.cuts)):
        group = problem.groups[pattern.group]
        cuts = tuple(problem.lengths_nm[i] for i, n in pattern.cuts for _ in range(n))
        source = "offer" if group.is_offer else "on_hand"
        bars += [CutBar(source, group.length_nm, cuts)] * packing[pattern]
    return tuple(bars)
