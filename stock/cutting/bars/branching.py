"""Branch and bound over how far each bar is cut, on the linear programme over patterns.

Worth is convex in what is left of a bar, so a mixture of "cut up" and "untouched" looks cheaper
than any whole plan. Branching on how many bars of a group are cut by at least so much takes that
apart; where every bar's cut length is settled, HiGHS chooses in whole numbers (settling.py).
It leaves out what is minimised (stages.py) and the order of the stages (best.py).
"""

import heapq
from itertools import count

from stock.cutting.bars.filling import filled
from stock.cutting.bars.integer_master import chosen
from stock.cutting.bars.mixtures import Bars, Branch, branch_of, mean_used, slices_of
from stock.cutting.bars.pattern_programme import Node
from stock.cutting.bars.search_state import Search
from stock.cutting.bars.settling import settle

Open = tuple[int, int, int, Node]  # bound, tries so far, order, node


def search(search: Search) -> None:
    """Better the best packing and the bound until they meet or time is up."""
    order = count()
    heap: list[Open] = [(search.bound, 0, next(order), {})]
    while heap and not search.is_out_of_time:
        bound, tries, _, node = heapq.heappop(heap)
        if bound > search.bound:
            search.bound = bound
            search.tell(search)
        if search.is_proved:
            return
        for child_bound, child in _children(search, node, bound, tries):
            again = tries + 1 if child is node else 0
            heapq.heappush(heap, (child_bound, again, next(order), child))
    least = min((bound for bound, _, _, _ in heap), default=search.cost)
    search.bound = max(search.bound, min(least, search.cost))


def _solved(part: Search) -> None:
    """A smaller search that came up in this one."""
    search(part)


def _children(search: Search, node: Node, bound: int, tries: int) -> list[tuple[int, Node]]:
    """Solve a node; the parts it falls into, with their bound, or none when it is done."""
    search.nodes += 1
    prices = search.programme.bound(node, enough=search.enough, until=search.until)
    if prices is None or search.is_out_of_time:
        return [(bound if prices is None else max(bound, prices.bound), node)]
    bound = max(bound, prices.bound)
    if bound >= search.enough:
        return []
    mix = search.programme.mix()
    slices = slices_of(search, mix)
    _round(search, slices, tries=4 if search.nodes < 20 else 1)
    if search.nodes == 1:
        search.offer(chosen(search.programme.patterns, search.stage, seconds=0.15).packing)
    if bound >= search.enough:
        return []
    branch = branch_of(search, slices)
    parts = _parts(node, branch) if branch else [node]
    # How far a bar is cut costs nothing in itself where only the uncut length counts.
    if node in parts or (search.stage.name == "length" and search.nodes == 1):
        bound = max(bound, settle(search, node, prices, slices, tries, solve=_solved))
    if bound >= search.enough:
        return []
    return [(bound, node)] if node in parts else [(bound, part) for part in parts]


def _parts(node: Node, branch: Branch) -> list[Node]:
    """The node with fewer bars than `most`, and with at least so many; not what is empty."""
    low, high = node.get(branch.key, (0, None))
    parts = [(low, branch.most - 1), (max(low, branch.most), high)]
    return [
        {**node, branch.key: (least, most)}
        for least, most in parts
        if most is None or least <= most
    ]


def _round(search: Search, slices: Bars, *, tries: int) -> None:
    """Fill bars in the order in which the mixture uses them, a few times over."""
    holds = [max(1, group.capacity) for group in search.table.problem.groups]
    bars = [
        (mean_used(bar) / holds[group], group) for group, dealt in slices.items() for bar in dealt
    ]
    for attempt in range(tries):
        if search.is_out_of_time or search.is_proved:
            return
        noise = 0.0 if attempt == 0 else 0.3
        order = sorted(bars, key=lambda bar: -bar[0] + search.rng.uniform(0, noise))
        rng = None if attempt == 0 else search.rng
        search.offer(
            filled(search.case, search.stage, [g for _, g in order], rng, until=search.until).best
        )
