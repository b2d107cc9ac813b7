"""Whether the blade can be ground, and where the edge of faces that are not alike comes out.

It leaves out the edge in the middle of a blade that is ground alike: that is
`billets.findings.core`'s.
"""

import math
from collections.abc import Iterator

from billets.blade.grind import BevelError
from billets.blade.two_faces import edge_place_nm, section_of
from billets.findings.finding import Finding, Measure, Words, finding
from billets.layup import words as saying
from billets.layup.case import Case


def check_edge(case: Case) -> Iterator[Finding]:
    """Whether the blade can be ground at all, and whether its edge comes out in the core.

    Args:
        case: the layup under examination.

    Returns:
        Codes "blade-not-ground", "edge-off-blade", "edge-off-core", "one-sided".

    Source:
        Plane geometry (`billets.blade.two_faces`); the drift allowance is the shop's. That an
        uneven stack bends in the quench is common practice.
    """
    if case.core is None or case.is_bar or case.finish_nm <= 0:
        return
    left = case.design.blade.left
    if left is None:
        yield from _no_blade(case)
        return
    most_nm = (case.design.blade.spine_nm - case.rules.edge_thickness_nm) / 2
    if left.is_ground and left.edge_off_nm > 0 and left.edge_off_nm >= most_nm:
        yield _off_blade(case, left.edge_off_nm, most_nm)
        return
    yield from _no_blade(case)
    if case.design.blade.is_chisel and case.cores[0] > 0:
        yield _not_at_face(case, case.cores)
        return
    yield from _reach(case)
    if case.design.blade.is_chisel and case.cores[-1] < len(case.design.layers) - 1:
        yield _one_sided()


def _no_blade(case: Case) -> Iterator[Finding]:
    """Sizes that make no blade, in the words of the grind that refuses them."""
    try:
        section_of(case.design.blade, edge_nm=case.rules.edge_thickness_nm)
    except BevelError as refusal:
        said = refusal  # the name of an except clause does not outlive it
        yield finding(
            "care",
            "blade-not-ground",
            (),
            lambda system: Words(said.sentence(system), "No blade can be drawn until then.", ""),
        )


def _off_blade(case: Case, off_nm: int, most_nm: float) -> Finding:
    spine_nm = case.design.blade.spine_nm
    return finding(
        "stop",
        "edge-off-blade",
        (),
        lambda system: Words(
            f"The edge is to lie {saying.thick(off_nm, system)} off the middle of a spine of "
            f"{saying.thick(spine_nm, system)}.",
            "That leaves nothing to grind on the left face.",
            f"Put it less than {saying.thick(round(max(0, most_nm)), system)} off, or leave that "
            "face not ground.",
        ),
        figure=Measure(off_nm, "thick"),
        limit=Measure(most_nm, "thick"),
    )


def _not_at_face(case: Case, cores: tuple[int, ...]) -> Finding:
    short_nm = sum(case.drawn_nm[: cores[0]])
    return finding(
        "stop",
        "edge-off-core",
        cores,
        lambda system: Words(
            f"The left face is not ground, so the edge comes out on it, in {case.name(0)}; the "
            f"core begins {saying.thick(short_nm, system)} further in.",
            "An edge outside the core does not harden.",
            "Make the core the bottom layer, or grind both faces.",
        ),
        figure=Measure(-short_nm, "thick"),
        limit=Measure(0, "thick"),
    )


def _reach(case: Case) -> Iterator[Finding]:
    """How far the core reaches beyond the edge on each side that has something else beyond it."""
    edge_nm = edge_place_nm(case.design.blade, finish_nm=case.finish_nm)
    thick_nm, drift_nm = case.rules.edge_thickness_nm, case.rules.drift_allowance_nm
    share_nm: float = thick_nm if case.design.blade.is_chisel else thick_nm / 2
    first, last = case.cores[0], case.cores[-1]
    sides = []
    if first > 0:
        sides.append((edge_nm - sum(case.drawn_nm[:first]), "left"))
    if last < len(case.design.layers) - 1:
        sides.append((sum(case.drawn_nm[: last + 1]) - edge_nm, "right"))
    reach_nm, side = min(sides, default=(math.inf, ""))
    if reach_nm < share_nm + drift_nm:
        yield _too_near(case, reach_nm, share_nm + drift_nm, side)


def _too_near(case: Case, reach_nm: float, need_nm: float, side: str) -> Finding:
    def write(system: str) -> Words:
        far = saying.thick(round(abs(reach_nm)), system)
        edge = saying.thick(case.rules.edge_thickness_nm, system)
        drift = saying.thick(case.rules.drift_allowance_nm, system)
        ways = "Start with a thicker core, or forge the billet less thin."
        if not case.design.blade.is_chisel:
            ways = "Put the edge nearer the middle of the core, or start with a thicker core."
        return Words(
            f"The edge comes out in the core, {far} from its {side} side."
            if reach_nm > 0
            else f"The edge comes out {far} outside the core, on its {side} side.",
            f"The edge ({edge}) and a core that may lie {drift} off need "
            f"{saying.thick(round(need_nm), system)} of core on that side.",
            ways,
        )

    return finding(
        "stop",
        "edge-off-core",
        case.cores,
        write,
        figure=Measure(reach_nm, "thick"),
        limit=Measure(need_nm, "thick"),
    )


def _one_sided() -> Finding:
    words = Words(
        "The core lies at one face, as a chisel grind wants it.",
        "Core and cladding shrink by different amounts, so the blade bends in the quench.",
        "Leave it a little thick, and be ready to straighten it.",
    )
    return finding("note", "one-sided", (), words)
