"""How the lines will look, and whether grinding leaves the layers outside them."""

import math
from collections.abc import Iterator

from billets.findings.finding import Finding, Measure, Words, finding
from billets.layup import words
from billets.layup.case import Case
from billets.layup.stack import finished_layers


def check_lines(case: Case) -> Iterator[Finding]:
    """Finished thickness of every line against the band that the smith likes.

    Args:
        case: the layup under examination.

    Returns:
        Codes "line-thin", "line-thick", "ground-through".
    """
    if case.finish_nm <= 0 or len(case.design.layers) < 2:
        return
    if case.is_bar:
        return
    yield from _ground(case)
    for runs in _kinds(case):
        yield from _band(case, runs)


def _kinds(case: Case) -> list[list[tuple[int, ...]]]:
    """Lines of one alloy and one thickness together; touching layers of an alloy are one line."""
    kinds: dict[tuple[str, int], list[tuple[int, ...]]] = {}
    for run in _runs(case):
        alloy = case.design.layers[run[0]].alloy
        thickness_nm = sum(case.cleaned_nm[place] for place in run)
        kinds.setdefault((alloy, thickness_nm), []).append(run)
    return list(kinds.values())


def _runs(case: Case) -> Iterator[tuple[int, ...]]:
    run: list[int] = []
    for place in range(len(case.design.layers)):
        if run and case.design.layers[place].alloy != case.design.layers[run[0]].alloy:
            yield tuple(run)
            run = []
        if _is_line(case, place):
            run.append(place)
    if run:
        yield tuple(run)


def _is_line(case: Case, place: int) -> bool:
    alloy = case.layers.get(place)
    return case.design.layers[place].role == "line" or (alloy is not None and alloy.is_low_melting)


def _band(case: Case, runs: list[tuple[int, ...]]) -> Iterator[Finding]:
    thickness_nm = sum(case.drawn_nm[place] for place in runs[0])
    if thickness_nm <= 0:
        return
    if thickness_nm < case.rules.line_min_nm:
        yield _line(case, runs, thickness_nm, is_thin=True)
    elif thickness_nm > case.rules.line_max_nm:
        yield _line(case, runs, thickness_nm, is_thin=False)


def _line(case: Case, runs: list[tuple[int, ...]], thickness_nm: int, *, is_thin: bool) -> Finding:
    places = sorted(place for run in runs for place in run)
    limit_nm = case.rules.line_min_nm if is_thin else case.rules.line_max_nm

    def write(system: str) -> Words:
        side = "thinner than the shop's least" if is_thin else "thicker than the shop's most"
        return Words(
            f"The line of {words.listed(places)} comes out "
            f"{words.thin(thickness_nm, system)} thick, {side} "
            f"({words.thin(limit_nm, system)}).",
            _look(case, thickness_nm, is_thin=is_thin, system=system),
            _instead(case, runs, limit_nm=limit_nm, is_thin=is_thin, system=system),
        )

    return finding(
        "note",
        "line-thin" if is_thin else "line-thick",
        places,
        write,
        figure=Measure(thickness_nm, "thin"),
        limit=Measure(limit_nm, "thin"),
    )


def _look(case: Case, thickness_nm: int, *, is_thin: bool, system: str) -> str:
    look = "It shows as a hairline and may break up" if is_thin else "It shows as a broad band"
    blade = case.design.blade
    # One face of a chisel grind takes all of the spine: as a flat blade twice as thick does.
    times = 2 if blade.is_chisel else 1
    wide_nm = flat_width_nm(
        thickness_nm,
        spine_nm=times * blade.spine_nm,
        edge_nm=times * case.rules.edge_thickness_nm,
        height_nm=blade.height_nm,
    )
    is_plain = blade.left is None or blade.is_chisel
    if blade.grind != "flat" or not is_plain or wide_nm is None:
        return f"{look}."
    return f"{look}, about {words.thick(wide_nm, system)} wide on this flat grind."


def flat_width_nm(thickness_nm: int, *, spine_nm: int, edge_nm: int, height_nm: int) -> int | None:
    """How wide a line shows on a flat grind.

    Args:
        thickness_nm: thickness of the line [nm].
        spine_nm: thickness of the blade at the spine [nm].
        edge_nm: thickness at the edge before sharpening [nm].
        height_nm: edge to spine [nm].

    Returns:
        Width along the bevel [nm]; None where spine and height make no bevel.
    """
    if spine_nm <= edge_nm or height_nm <= 0:
        return None
    half_angle = math.atan2((spine_nm - edge_nm) / 2, height_nm)
    return round(thickness_nm / math.sin(half_angle))


def _instead(
    case: Case, runs: list[tuple[int, ...]], *, limit_nm: int, is_thin: bool, system: str
) -> str:
    """The strip to start with; all lines of the kind change together, and the stack with them."""
    lines_nm = sum(case.cleaned_nm[place] for run in runs for place in run)
    room_nm = case.finish_nm - len(runs) * limit_nm
    if room_nm <= 0:
        return "Use fewer lines, or forge the billet less thin."
    exact_nm = limit_nm * (case.height_nm - lines_nm) / room_nm / len(runs[0])
    step = words.thin_up_nm if is_thin else words.thin_down_nm
    start = words.thin(step(exact_nm, system), system)
    return f"For a line inside the band start with {start} or {'more' if is_thin else 'less'}."


def _ground(case: Case) -> Iterator[Finding]:
    finished = finished_layers(case.design)
    gone = [
        place for place, left_nm in enumerate(finished) if left_nm <= 0 < case.cleaned_nm[place]
    ]
    if not gone:
        return
    is_chisel = case.design.blade.is_chisel
    taken_nm = (case.finish_nm - case.design.blade.spine_nm) // (1 if is_chisel else 2)
    face = "The ground face" if is_chisel else "Each face"
    yield finding(
        "care",
        "ground-through",
        gone,
        lambda system: Words(
            f"Grinding from {words.thick(case.finish_nm, system)} down to a spine of "
            f"{words.thick(case.design.blade.spine_nm, system)} takes all of "
            f"{words.listed(gone)}.",
            f"{face} loses {words.thick(taken_nm, system)}.",
            _forge_thinner(case, system),
        ),
        figure=Measure(taken_nm, "thick"),
    )


def _forge_thinner(case: Case, system: str) -> str:
    """The thickness at which the thinner outer layer is just left at the spine."""
    spine_nm = case.design.blade.spine_nm
    share = 2 * min(case.cleaned_nm[0], case.cleaned_nm[-1]) / case.height_nm
    if case.design.blade.is_chisel:
        share = case.cleaned_nm[-1] / case.height_nm
    below_nm = spine_nm / (1 - share) if share < 1 else float(case.finish_nm)
    forge_nm = words.thick_down_nm(below_nm - 1, system)
    if forge_nm < spine_nm:
        return "Start with thicker outer layers."
    return (
        f"Forge the billet to {words.thick(forge_nm, system)} or start with thicker outer layers."
    )
