"""The bars of one need in the buying programme: all ways to cut them, or a menu of good ones.

Columns for the packs are there already; this adds what ties them to the pieces.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from stock.buying.bar_graph import Arc, BarGraph, bar_graph, patterns
from stock.buying.bar_menu import Dish
from stock.buying.case import BarNeed, Goods
from stock.buying.programme import Programme

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

    Source:
        See `stock.buying.bar_graph`.
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

    Source:
        Arc-flow formulation; see `stock.buying.bar_graph`.
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

    Source:
        One choice among few.
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
