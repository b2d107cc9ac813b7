"""Every way of cutting a tiny case, tried one after the other, to hold the solver against."""

import random
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from stock.cutting.plans.checks import lost_worth, spent_cents
from stock.cutting.plans.plan import BarCase, CutBar, Offer, OnHand, Wanted

Bars = tuple[CutBar, ...]
Left = tuple[int, ...]


def all_ways(case: BarCase, pieces: list[int], *, may_leave: bool) -> Iterator[tuple[Bars, Left]]:
    """All ways to cut the pieces in turn from bars begun or fresh, or to leave some uncut."""
    rack: Counter[int] = Counter()
    for bar in case.on_hand:
        rack[bar.length_nm] += bar.count
    offered = sorted({offer.length_nm for offer in case.offers})
    yield from _ways(case, pieces, (), rack, offered, () if may_leave else None)


def _ways(
    case: BarCase,
    pieces: list[int],
    bars: Bars,
    rack: Counter[int],
    offered: list[int],
    left: Left | None,
) -> Iterator[tuple[Bars, Left]]:
    if not pieces:
        yield bars, left or ()
        return
    piece, rest = pieces[0], pieces[1:]
    for index, bar in enumerate(bars):
        if bar not in bars[:index] and _fits(case, bar, piece):
            longer = CutBar(bar.source, bar.length_nm, (*bar.cuts, piece))
            changed = (*bars[:index], longer, *bars[index + 1 :])
            yield from _ways(case, rest, changed, rack, offered, left)
    for length in [n for n, count in rack.items() if count > 0 and piece <= n]:
        begun = (*bars, CutBar("on_hand", length, (piece,)))
        yield from _ways(case, rest, begun, rack - Counter([length]), offered, left)
    for length in [n for n in offered if piece <= n]:
        begun = (*bars, CutBar("offer", length, (piece,)))
        yield from _ways(case, rest, begun, rack, offered, left)
    if left is not None:
        yield from _ways(case, rest, bars, rack, offered, (*left, piece))


def _fits(case: BarCase, bar: CutBar, piece: int) -> bool:
    return sum(bar.cuts) + len(bar.cuts) * case.kerf_nm + piece <= bar.length_nm


def best_figures(case: BarCase, pieces: list[int]) -> tuple[int, Fraction]:
    """Least money, and the least worth lost for that money, when all these pieces are cut."""
    ways = all_ways(case, pieces, may_leave=False)
    return min((spent_cents(case, bars) or 0, lost_worth(case, bars)) for bars, _ in ways)


def most_cut(case: BarCase, pieces: list[int]) -> tuple[int, int]:
    """The greatest length that can be cut, and the greatest number of pieces for it."""
    ways = all_ways(case, pieces, may_leave=True)
    return max((sum(pieces) - sum(left), len(pieces) - len(left)) for _, left in ways)


def tiny_case(seed: int, *, pieces: int = 5, longest: int = 40) -> BarCase:
    """A case small enough to try everything; prices may be 0, offers may be missing."""
    rng = random.Random(seed)
    most = rng.choice((10, 20, longest))
    wanted = [rng.randint(1, most) for _ in range(rng.randint(1, pieces))]
    if rng.random() < 0.4:
        wanted = [rng.choice(wanted) for _ in wanted]
    rack = Counter(rng.randint(1, 2 * most) for _ in range(rng.randint(0, 3)))
    cheapest = 0 if rng.random() < 0.1 else 1
    offers = [
        Offer(rng.randint(1, 3 * most), rng.randint(cheapest, 12)) for _ in range(rng.randint(0, 2))
    ]
    return BarCase(
        name=f"tiny-{seed}",
        kerf_nm=rng.choice((0, 1, 2, 5)),
        keep_from_nm=rng.choice((0, 1, 5, most)),
        reference_nm=rng.choice((0, 0, 2 * most, 5 * most)),
        on_hand=tuple(OnHand(length, n) for length, n in rack.items()),
        offers=tuple(offers),
        pieces=tuple(Wanted(length, n) for length, n in Counter(wanted).items()),
    )
