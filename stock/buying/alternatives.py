"""What else could be bought: all from one supplier, sooner, from others, or too late.

Each is a whole purchase found by the same programme under one more condition, and a sentence
that sets it against the cheapest. The sentences hold no money, so that anybody may read them.
"""

import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from stock.buying.best import Bought
from stock.buying.case import BuyingCase
from stock.buying.model import cheapest
from stock.buying.orders import Buying, buying_of

HALF_A_PERCENT = 5  # in thousandths


@dataclass(frozen=True)
class Choice:
    """Another way to buy the same, and how it compares with the cheapest in time."""

    kind: str  # "one-supplier" | "sooner" | "others" | "late"
    buying: Buying
    dearer_cents: int  # below 0 only for one that comes too late
    days_sooner: int  # below 0 is later
    sentence: str


def choices(case: BuyingCase, *, bought: Bought, seconds: float = 5.0) -> tuple[Choice, ...]:
    """The runners-up to the cheapest purchase.

    Args:
        case: the case as it was asked, with the goods that come too late.
        bought: the answer to it.
        seconds: time for all of them together, above 0.

    Returns:
        At most one of each kind, no purchase twice, cheapest first; none when nothing has to
        be bought. "late" stands last: it only says what the date costs.
    """
    best = bought.best
    if best is None or not best.orders:
        return ()
    until = time.monotonic() + seconds
    found: list[Choice] = []
    seen = {_fingerprint(best)}
    for kind, buying in _alternatives(case, bought, best, until):
        mark = _fingerprint(buying)
        if mark not in seen and all(one.kind != kind for one in found):
            seen.add(mark)
            found.append(_choice(kind, buying, best))
    return tuple(sorted(found, key=lambda one: (one.kind == "late", one.buying.cents)))


def _alternatives(
    case: BuyingCase, bought: Bought, best: Buying, until: float
) -> Iterator[tuple[str, Buying]]:
    covered = bought.covered

    def solve(narrowed: BuyingCase, not_these: Iterable[frozenset[str]] = ()) -> Buying | None:
        seconds = until - time.monotonic()
        if seconds <= 0:
            return None
        purchase = cheapest(
            narrowed, prepared=bought.prepared, not_these=tuple(not_these), seconds=seconds
        )
        if purchase is None:
            return None
        return buying_of(narrowed, purchase, bought.laid, is_final=False)

    names = {one.supplier for one in covered.goods}
    alone = [solve(_from(covered, {name})) for name in sorted(names)]
    for buying in sorted(filter(None, alone), key=lambda one: one.cents):
        yield "one-supplier", buying
    fast = {one.name for one in covered.suppliers if one.days < best.days}
    if fast & names and (sooner := solve(_from(covered, fast))):
        yield "sooner", sooner
    if others := solve(covered, [best.suppliers]):
        yield "others", others
    keys = {need.key for need in covered.needs}
    whenever = replace(
        case, needs=covered.needs, goods=tuple(one for one in case.goods if one.need in keys)
    )
    late = solve(whenever)
    if late and late.cents < best.cents:
        yield "late", late


def _from(case: BuyingCase, names: set[str]) -> BuyingCase:
    return replace(case, goods=tuple(one for one in case.goods if one.supplier in names))


def _fingerprint(buying: Buying) -> frozenset[tuple[str, int]]:
    return frozenset(
        (line.goods.key, line.packs) for order in buying.orders for line in order.lines
    )


def _choice(kind: str, buying: Buying, best: Buying) -> Choice:
    dearer = buying.cents - best.cents
    sooner = best.days - buying.days
    return Choice(kind, buying, dearer, sooner, _sentence(kind, buying, best))


def _sentence(kind: str, buying: Buying, best: Buying) -> str:
    names = sorted(buying.suppliers)
    who = f"All from {names[0]}" if len(names) == 1 else f"From {_listed(names)}"
    costs = _cost_words(buying.cents, best.cents)
    if kind == "late":
        return f"{who} it {costs}, but some of it comes too late."
    return f"{who} it {costs} and {_day_words(best.days - buying.days)}."


def _cost_words(cents: int, best_cents: int) -> str:
    if cents == best_cents:
        return "costs the same"
    word = "more" if cents > best_cents else "less"
    if best_cents == 0:
        return f"costs {word}"
    thousandths = abs(cents - best_cents) * 1_000 // best_cents
    if thousandths < HALF_A_PERCENT:
        return f"costs under half a percent {word}"
    return f"costs {(thousandths + HALF_A_PERCENT) // 10} % {word}"


def _day_words(days_sooner: int) -> str:
    if days_sooner == 0:
        return "arrives on the same day"
    days = abs(days_sooner)
    counted = "1 day" if days == 1 else f"{days} days"
    return f"arrives {counted} {'sooner' if days_sooner > 0 else 'later'}"


def _listed(words: list[str]) -> str:
    return f"{', '.join(words[:-1])} and {words[-1]}"
