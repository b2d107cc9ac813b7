"""All ways to cut bars of several lengths, as a graph for a whole-number programme.

A node is a length used up from the start of a bar; an arc cuts one piece; a way from 0 to a
bar's end is one way to cut that bar. It leaves out prices and the programme itself.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from stock.cutting.plans.plan import Wanted


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

    Source:
        Flow decomposition, any text on networks.
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
