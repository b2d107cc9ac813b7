"""The core: is there one, can it be hard, is it in the middle, is it thick enough, is the
stack the same on both sides of it.
"""

import math
from collections.abc import Iterator

from billets.findings.finding import Finding, Measure, Words, finding
from billets.layup import words as saying
from billets.layup.case import Case


def check_core(case: Case) -> Iterator[Finding]:
    """The core and the symmetry about it.

    Args:
        case: the layup under examination.

    Returns:
        Codes "bar-stock", "no-core", "two-cores", "core-soft", "core-off-middle",
        "core-thin-stack", "core-thin-finished", "core-too-thin", "asymmetric".

    Source:
        Geometry; the least thicknesses are the shop's, by default common practice.
    """
    if not case.design.layers:
        return
    if case.core is None or case.is_bar:
        yield _coreless(case)
        return
    yield from _apart(case)
    yield from _soft(case, case.core)
    yield from _thickness(case, case.core)
    yield from _middle(case, case.core)
    yield from _symmetry(case)


def _coreless(case: Case) -> Finding:
    if case.is_bar:
        words = Words(
            "This stack is all steel without one core: it makes a bar, not a blade.",
            "What concerns the edge, the middle and the core is left out.",
            "For a blade, call the middle layer, and no other, the core.",
        )
        return finding("note", "bar-stock", (), words)
    words = Words(
        "No layer is called the core.",
        "The edge has to come out in a layer that hardens.",
        "Call the middle layer the core, and make it a steel that hardens, such as 1084.",
    )
    return finding("stop", "no-core", (), words)


def _apart(case: Case) -> Iterator[Finding]:
    if case.cores[-1] - case.cores[0] + 1 != len(case.cores):
        words = Words(
            f"{saying.sentence(saying.listed(case.cores))} are all called the core, and are not "
            "together.",
            "The edge comes out in one layer only, the middle one.",
            "Keep the middle one as the core and call the others cladding.",
        )
        yield finding("stop", "two-cores", case.cores, words)


def _soft(case: Case, core: int) -> Iterator[Finding]:
    alloy = case.layers.get(core)
    if alloy is not None and not alloy.hardens:
        words = Words(
            f"{saying.sentence(case.name(core))} is the core and does not harden.",
            "The blade would have no edge.",
            "Use a steel that hardens, such as 1084, 1095 or 80CrV2.",
        )
        yield finding("stop", "core-soft", (core,), words)


def _thickness(case: Case, core: int) -> Iterator[Finding]:
    bought_nm = case.design.layers[core].thickness_nm
    if bought_nm < case.rules.min_core_stack_nm:
        yield _thin_in_stack(case, core, bought_nm)
    if case.finish_nm <= 0 or case.cleaned_nm[core] <= 0:
        return
    finished_nm = case.drawn_nm[core]
    if finished_nm < case.core_floor_nm:
        yield _too_thin(case, core, finished_nm)
    elif finished_nm < case.rules.min_core_finished_nm:
        yield _thin_finished(case, core, finished_nm)


def _thin_in_stack(case: Case, core: int, bought_nm: int) -> Finding:
    least_nm = case.rules.min_core_stack_nm
    return finding(
        "care",
        "core-thin-stack",
        (core,),
        lambda system: Words(
            f"The core goes into the stack {saying.thick(bought_nm, system)} thick.",
            f"The shop starts with {saying.thick(least_nm, system)} or more: a thin core "
            "wanders and is easily lost in grinding.",
            f"Start with a core of {saying.thick(least_nm, system)}.",
        ),
        figure=Measure(bought_nm, "thick"),
        limit=Measure(least_nm, "thick"),
    )


def _thin_finished(case: Case, core: int, finished_nm: int) -> Finding:
    least_nm = case.rules.min_core_finished_nm
    return finding(
        "care",
        "core-thin-finished",
        (core,),
        lambda system: Words(
            f"The finished core is {saying.thick(finished_nm, system)} thick.",
            f"The shop's least is {saying.thick(least_nm, system)}.",
            _thicker(case, core, least_nm=least_nm, system=system),
        ),
        figure=Measure(finished_nm, "thick"),
        limit=Measure(least_nm, "thick"),
    )


def _too_thin(case: Case, core: int, finished_nm: int) -> Finding:
    least_nm = case.core_floor_nm
    sides = "off" if case.design.blade.is_chisel else "off to either side"
    return finding(
        "stop",
        "core-too-thin",
        (core,),
        lambda system: Words(
            f"The finished core is only {saying.thick(finished_nm, system)} thick.",
            f"The edge ({saying.thick(case.rules.edge_thickness_nm, system)}) and a core that may "
            f"lie {saying.thick(case.rules.drift_allowance_nm, system)} {sides} need "
            f"{saying.thick(least_nm, system)}, or the edge comes out in copper.",
            _thicker(case, core, least_nm=least_nm, system=system),
        ),
        figure=Measure(finished_nm, "thick"),
        limit=Measure(least_nm, "thick"),
    )


def _thicker(case: Case, core: int, *, least_nm: int, system: str) -> str:
    """What to start with or to forge to, so that the finished core is thick enough.

    The core is taken up to a step that can be bought, and the stack grows with it.
    """
    ways: list[str] = []
    rest_nm = case.height_nm - case.cleaned_nm[core]
    if case.finish_nm > least_nm:
        cleaning_nm = case.design.layers[core].thickness_nm - case.cleaned_nm[core]
        start_nm = least_nm * rest_nm / (case.finish_nm - least_nm) + cleaning_nm
        ways.append(f"start with a core of {_step(start_nm, system)}")
    forge_nm = math.ceil(least_nm * case.height_nm / case.cleaned_nm[core])
    forge_nm = saying.thick_up_nm(forge_nm, system)
    if forge_nm <= case.height_nm:
        ways.append(f"forge the billet no thinner than {saying.thick(forge_nm, system)}")
    if not ways:
        return "Start with a thicker core and forge the billet less thin."
    return f"{saying.sentence(', or '.join(ways))}."


def _step(nm: float, system: str) -> str:
    return saying.thick(saying.thick_up_nm(nm, system), system)


def _middle(case: Case, core: int) -> Iterator[Finding]:
    """Whether the middle of the billet, where the edge comes out, lies well inside the core.

    A blade whose faces are not ground alike has its edge elsewhere: `billets.findings.edge`.
    """
    if case.design.blade.left is not None:
        return
    if case.finish_nm <= 0 or case.drawn_nm[core] < case.rules.core_floor_nm:
        return
    bottom_nm = sum(case.drawn_nm[: case.cores[0]])
    top_nm = sum(case.drawn_nm[: case.cores[-1] + 1])
    middle_nm = case.finish_nm / 2
    reach_nm = min(middle_nm - bottom_nm, top_nm - middle_nm)
    need_nm = case.rules.core_floor_nm / 2
    if reach_nm < need_nm:
        yield _off_middle(case, core, reach_nm, need_nm)


def _off_middle(case: Case, core: int, reach_nm: float, need_nm: float) -> Finding:
    figure = Measure(max(0.0, reach_nm), "thick")

    def write(system: str) -> Words:
        need = saying.thick(round(need_nm), system)
        what = (
            f"The core reaches only {figure.text(system)} past the middle of the finished billet."
            if reach_nm > 0
            else "The middle of the billet does not lie in the core."
        )
        return Words(
            what,
            f"The edge comes out in the middle and needs {need} of core on each side of it.",
            "Lay the same layers on both sides of the core.",
        )

    limit = Measure(need_nm, "thick")
    return finding("stop", "core-off-middle", (core,), write, figure=figure, limit=limit)


def _symmetry(case: Case) -> Iterator[Finding]:
    if case.design.blade.is_chisel:  # wants its core at one face: `billets.findings.edge`
        return
    first, last = case.cores[0], case.cores[-1]
    below = list(reversed(range(first)))
    above = list(range(last + 1, len(case.design.layers)))
    if len(below) != len(above):
        yield _uneven(case, below, above)
        return
    unlike = [pair for pair in zip(below, above, strict=True) if _is_unlike(case, pair)]
    if unlike:
        yield _asymmetric(case, unlike)


def _is_unlike(case: Case, pair: tuple[int, int]) -> bool:
    one, other = (case.design.layers[place] for place in pair)
    return one.alloy != other.alloy or _difference(case, pair) > case.rules.symmetry_percent


def _difference(case: Case, pair: tuple[int, int]) -> float:
    """By how many percent of the thicker the thicknesses of two layers differ."""
    thin, thick = sorted(case.cleaned_nm[place] for place in pair)
    return 100 * (thick - thin) / thick if thick > 0 else 0.0


_UNEVEN = "The edge leaves the middle in drawing, and the blade warps in the quench."


def _uneven(case: Case, below: list[int], above: list[int]) -> Finding:
    words = Words(
        f"There are {len(below)} layers below the core and {len(above)} above it.",
        _UNEVEN,
        "Mirror the stack about the core.",
    )
    figure = Measure(abs(len(below) - len(above)), "count")
    longer = below if len(below) > len(above) else above
    extra = longer[min(len(below), len(above)) :]
    return finding(
        "care", "asymmetric", sorted(extra), words, figure=figure, limit=Measure(0, "count")
    )


def _asymmetric(case: Case, unlike: list[tuple[int, int]]) -> Finding:
    worst = max(unlike, key=lambda pair: _difference(case, pair))
    places = sorted(place for pair in unlike for place in pair)
    model, other = worst

    def thick(place: int, system: str) -> str:
        return f"{case.name(place)}, {saying.thick(case.design.layers[place].thickness_nm, system)}"

    return finding(
        "care",
        "asymmetric",
        places,
        lambda system: Words(
            f"The two sides of the core differ: {thick(model, system)}, against "
            f"{thick(other, system)}.",
            _UNEVEN,
            f"Make {saying.listed([other])} the same as {saying.listed([model])}, or mirror the "
            "stack about the core.",
        ),
        figure=Measure(_difference(case, worst), "percent"),
        limit=Measure(case.rules.symmetry_percent, "percent"),
    )
