"""The bars of one need in the buying programme: all ways to cut them, or a menu of good ones.

Columns for the packs are there already; this adds what ties them to the pieces.
"""

import time
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from stock.buying.case import BarNeed, Goods
from stock.buying.programme import Programme
from stock.cutting.bars import best
from stock.cutting.plans.plan import BarCase, BarPlan, Offer, Wanted

FEW_SUPPLIERS = 3  # up to here every set of them is tried; beyond it, each alone and all
ONE_PLAN_S = 0.5


@dataclass(frozen=True)
class Dish:
    """One way: bars bought by length, and the cuts of all bars, length and pieces [nm]."""

    bought: Mapping[int, int]
    cuts: tuple[tuple[int, tuple[int, ...]], ...]


def menu(need: BarNeed, goods: Sequence[Goods], *, until: float) -> tuple[Dish, ...]:
    """Good ways to buy the bars of a need.

    Args:
        need: the pieces and what is on hand.
        goods: bars on offer for it.
        until: no new plan is begun after this moment (time.monotonic); the first always is.

    Returns:
        Different ways, each of which gives all pieces; none when no set of suppliers can.
    """
    found: dict[frozenset[tuple[int, int]], Dish] = {}
    for offers in _offers(goods):
        plan = best.solve(_case(need, offers), limit_s=ONE_PLAN_S)
        if not plan.short:
            dish = _dish(plan)
            found.setdefault(frozenset(dish.bought.items()), dish)
        if time.monotonic() >= until:
            break
    return tuple(found.values())


def least_cents(need: BarNeed, goods: Sequence[Goods]) -> int:
    """What the bars of a need cost at the very least, at everybody's lowest price.

    Args:
        need: the pieces and what is on hand.
        goods: bars on offer for it.

    Returns:
        A bound [minor units] that no purchase goes below, delivery not counted.
    """
    lowest: dict[int, int] = {}
    for one in goods:
        cents = min(price.cents for price in one.prices) // one.amount
        lowest[one.length_nm] = min(cents, lowest.get(one.length_nm, cents))
    offers = tuple(Offer(nm, cents) for nm, cents in sorted(lowest.items()))
    plan = best.solve(_case(need, offers), limit_s=ONE_PLAN_S)
    return 0 if plan.short else plan.spent_at_least


def _offers(goods: Sequence[Goods]) -> list[tuple[Offer, ...]]:
    names = sorted({one.supplier for one in goods})
    sizes = range(len(names), 0, -1) if len(names) <= FEW_SUPPLIERS else (len(names), 1)
    found: dict[tuple[Offer, ...], None] = {}
    for size in sizes:
        for chosen in combinations(names, size):
            sold = [one for one in goods if one.supplier in chosen]
            found[_at(sold, of_many=True)] = None
            found[_at(sold, of_many=False)] = None
    return list(found)


def _at(goods: Sequence[Goods], *, of_many: bool) -> tuple[Offer, ...]:
    cheapest: dict[int, int] = {}
    for one in goods:
        prices = sorted(one.prices, key=lambda price: price.from_packs)
        cents = -(-prices[-1 if of_many else 0].cents // one.amount)
        cheapest[one.length_nm] = min(cents, cheapest.get(one.length_nm, cents))
    return tuple(Offer(nm, cents) for nm, cents in sorted(cheapest.items()))


def _case(need: BarNeed, offers: tuple[Offer, ...]) -> BarCase:
    return BarCase(
        name=need.label,
        kerf_nm=need.kerf_nm,
        keep_from_nm=need.keep_from_nm,
        reference_nm=0,
        on_hand=need.on_hand,
        offers=offers,
        pieces=need.pieces,
    )


def _dish(plan: BarPlan) -> Dish:
    bought = Counter(bar.length_nm for bar in plan.bars if bar.source == "offer")
    return Dish(bought, tuple((bar.length_nm, bar.cuts) for bar in plan.bars))


@dataclass(frozen=True)
class Arc:
    """One cut: piece `piece` from `tail` to `head`; `piece` None is what remains of the bar."""

    tail: int
    head: int
    piece: int | None


@dataclass(frozen=True)
class BarGraph:
    """Arcs between lengths; `ends` gives the node at which a bar of each length ends."""

    lengths_nm: tuple[int, ...]  # of the pieces, longest first
    counts: tuple[int, ...]
    arcs: tuple[Arc, ...]
    ends: Mapping[int, int]  # length of a bar [nm] -> node

    @property
    def nodes(self) -> tuple[int, ...]:
        """All nodes in order; 0 is the start of every bar."""
        found = {0, *self.ends.values()}
        for arc in self.arcs:
            found.update((arc.tail, arc.head))
        return tuple(sorted(found))


def bar_graph(
    pieces: Sequence[Wanted],
    *,
    bar_lengths_nm: Sequence[int],
    kerf_nm: int,
    most_arcs: int,
) -> BarGraph | None:
    """The graph of one need.

    Args:
        pieces: what is to be cut; equal lengths may stand more than once.
        bar_lengths_nm: lengths of all bars it may be cut from [nm], above 0.
        kerf_nm: taken by each cut [nm], 0 or more; the last one may run off the end.
        most_arcs: cuts that the graph may have.

    Returns:
        The graph, or None when it would have more cuts. A piece longer than every bar has no
        arc.

    Source:
        Arc-flow formulation of cutting stock: Valério de Carvalho, Annals of Operations
        Research 86 (1999); from memory.
    """
    wanted: Counter[int] = Counter()
    for piece in pieces:
        wanted[piece.length_nm] += piece.count
    lengths = tuple(sorted((nm for nm, count in wanted.items() if count > 0), reverse=True))
    counts = tuple(wanted[nm] for nm in lengths)
    # n pieces of L take n·(L + kerf) of a bar and one kerf beyond its end
    ends = {nm: nm + kerf_nm for nm in bar_lengths_nm}
    sizes = [nm + kerf_nm for nm in lengths]
    arcs = _cuts(sizes, counts, max(ends.values(), default=0), most_arcs)
    if arcs is None:
        return None
    return BarGraph(lengths, counts, (*arcs, *_rests(arcs, ends)), ends)


def patterns(
    graph: BarGraph, flow: Mapping[Arc, int], bars: Mapping[int, int]
) -> list[tuple[int, tuple[int, ...]]]:
    """Take a flow apart into bars and the pieces cut from each.

    Args:
        graph: the graph.
        flow: how often each arc is used; what comes into a node goes out of it.
        bars: how many bars of each length end there.

    Returns:
        For each bar its length and its pieces [nm], longest first.

    Raises:
        ValueError: the flow does not hold together.
    """
    left = {arc: count for arc, count in flow.items() if count}
    into: dict[int, list[Arc]] = {}
    for arc in left:
        into.setdefault(arc.head, []).append(arc)
    found = []
    for length_nm, count in sorted(bars.items()):
        for _ in range(count):
            cuts = _walk_back(graph, left, into, graph.ends[length_nm])
            found.append((length_nm, tuple(sorted(cuts, reverse=True))))
    return found


def _walk_back(
    graph: BarGraph, left: dict[Arc, int], into: Mapping[int, list[Arc]], node: int
) -> list[int]:
    cuts = []
    while node:
        arc = next((one for one in into.get(node, ()) if left[one]), None)
        if arc is None:
            raise ValueError(f"no way leads back from {node}")
        left[arc] -= 1
        if arc.piece is not None:
            cuts.append(graph.lengths_nm[arc.piece])
        node = arc.tail
    return cuts


def _cuts(
    sizes: Sequence[int], counts: Sequence[int], longest: int, most_arcs: int
) -> list[Arc] | None:
    # longer pieces first: any bar can be cut in that order, which keeps the graph small
    reached = {0}
    arcs: list[Arc] = []
    for piece, (size, count) in enumerate(zip(sizes, counts, strict=True)):
        tails: set[int] = set()
        for node in reached:
            tails.update(
                node + times * size for times in range(min(count, (longest - node) // size))
            )
        arcs.extend(Arc(tail, tail + size, piece) for tail in sorted(tails))
        reached |= {tail + size for tail in tails}
        if len(arcs) > most_arcs:
            return None
    return arcs


def _rests(arcs: Sequence[Arc], ends: Mapping[int, int]) -> list[Arc]:
    # from each node to the nearest bar's end, and from each end to the next longer one
    stops = sorted(set(ends.values()))
    nodes = sorted({0} | {arc.head for arc in arcs} | set(stops))
    rests = []
    for node in nodes:
        stop = next((one for one in stops if one >= node and one != node), None)
        if stop is not None:
            rests.append(Arc(node, stop, None))
    return rests


MOST_ARCS = 4_000  # of one need: beyond it HiGHS no longer answers in seconds (tried)

Cuts = tuple[tuple[int, tuple[int, ...]], ...]  # of each bar its length and pieces [nm]


@dataclass(frozen=True)
class AllWays:
    """A graph in the programme: the column of each arc, and of the bars by length."""

    graph: BarGraph
    arcs: Mapping[Arc, int]
    bars: Mapping[int, int]

    def cuts(self, values: Sequence[int]) -> Cuts:
        """The bars as they are cut in a solution."""
        flow = {arc: values[column] for arc, column in self.arcs.items()}
        bars = {nm: values[column] for nm, column in self.bars.items()}
        return tuple(patterns(self.graph, flow, bars))


@dataclass(frozen=True)
class FromMenu:
    """A menu in the programme: the dish of each column."""

    dishes: Mapping[int, Dish]

    def cuts(self, values: Sequence[int]) -> Cuts:
        """The bars as they are cut in a solution."""
        return next(dish.cuts for column, dish in self.dishes.items() if values[column])


def need_graph(need: BarNeed, goods: Collection[Goods]) -> BarGraph | None:
    """All ways to cut one need.

    Args:
        need: the pieces and what is on hand.
        goods: bars on offer for it.

    Returns:
        The graph; None when it would have more than MOST_ARCS cuts.
    """
    lengths = {bar.length_nm for bar in need.on_hand} | {one.length_nm for one in goods}
    return bar_graph(
        need.pieces, bar_lengths_nm=sorted(lengths), kerf_nm=need.kerf_nm, most_arcs=MOST_ARCS
    )


def add_all_ways(
    programme: Programme,
    need: BarNeed,
    *,
    goods: Collection[Goods],
    packs: Mapping[str, Sequence[int]],
) -> AllWays:
    """Cover a need by any way of cutting.

    Args:
        programme: columns and rows are added to it.
        need: the pieces and what is on hand.
        goods: bars on offer for it.
        packs: columns by goods key, one for each price break.

    Returns:
        The columns, to read the cuts from a solution.

    Raises:
        ValueError: there are too many ways; such a need is covered from a menu.
    """
    graph = need_graph(need, goods)
    if graph is None:
        raise ValueError(f"{need.key} has too many ways to be cut; it needs a menu")
    on_hand: dict[int, int] = {}
    for bar in need.on_hand:
        on_hand[bar.length_nm] = on_hand.get(bar.length_nm, 0) + bar.count
    arcs = {arc: programme.column() for arc in graph.arcs}
    bars = {nm: programme.column() for nm in graph.ends}
    for nm, column in bars.items():
        bought = _supply(goods, packs, nm)
        programme.row(
            {column: 1, **{pack: -held for pack, held in bought.items()}}, high=on_hand.get(nm, 0)
        )
    for piece, count in enumerate(graph.counts):
        programme.row({arcs[arc]: 1 for arc in graph.arcs if arc.piece == piece}, low=count)
    _keep_flow(programme, graph, arcs, bars)
    return AllWays(graph, arcs, bars)


def add_menu(
    programme: Programme,
    dishes: Sequence[Dish],
    *,
    goods: Collection[Goods],
    packs: Mapping[str, Sequence[int]],
) -> FromMenu:
    """Cover a need by one way of a menu.

    Args:
        programme: columns and rows are added to it.
        dishes: the ways, each of which gives all pieces.
        goods: bars on offer for the need.
        packs: columns by goods key, one for each price break.

    Returns:
        The columns, to read the cuts from a solution.
    """
    choice = {programme.column(high=1): dish for dish in dishes}
    programme.row(dict.fromkeys(choice, 1), low=1, high=1)
    for nm in {nm for dish in dishes for nm in dish.bought}:
        wanted = {column: -dish.bought.get(nm, 0) for column, dish in choice.items()}
        programme.row(_supply(goods, packs, nm) | wanted, low=0)
    return FromMenu(choice)


def _supply(
    goods: Collection[Goods], packs: Mapping[str, Sequence[int]], length_nm: int
) -> dict[int, int]:
    # bars of one length in each pack column
    return {
        column: one.amount
        for one in goods
        if one.length_nm == length_nm
        for column in packs.get(one.key, ())
    }


def _keep_flow(
    programme: Programme, graph: BarGraph, arcs: Mapping[Arc, int], bars: Mapping[int, int]
) -> None:
    balance: dict[int, dict[int, int]] = {node: {} for node in graph.nodes if node}
    for arc, column in arcs.items():
        balance[arc.head][column] = 1
        if arc.tail:
            balance[arc.tail][column] = -1
    for nm, column in bars.items():
        balance[graph.ends[nm]][column] = -1
    for weights in balance.values():
        programme.row(weights, low=0, high=0)
