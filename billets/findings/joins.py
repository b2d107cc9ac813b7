"""What touches what: whether it joins, whether it may lie there, and what it gives off."""

from collections.abc import Iterator

from billets.findings.finding import Finding, Level, Measure, Words, finding
from billets.layup import words as saying
from billets.layup.case import Case
from billets.layup.window import SILVER_COPPER_C, silver_on_copper
from stock.alloys.book import FORGE_WELD_LOW_C, ZINC_FROM_PERCENT, Figure

ZINC_BOILS_C = Figure(907.0, "mendeleev and chemicals libraries, 1180.15 K", "read")


def check_joins(case: Case) -> Iterator[Finding]:
    """Joints that never weld, low-melting layers where they must not be, zinc, the seam.

    Args:
        case: the layup under examination.

    Returns:
        Codes "steel-on-steel", "nickel-on-steel", "copper-outside", "copper-on-copper",
        "silver-on-copper", "zinc", "seam-open".

    Source:
        Common practice; melting points beside each alloy.
    """
    if case.process == "bonded":
        yield from _never_weld(case)
    yield from _outside(case)
    yield from _touching(case)
    yield from _silver(case)
    yield from _zinc(case)
    yield from _seam(case)


def _never_weld(case: Case) -> Iterator[Finding]:
    for place in sorted(case.layers):
        pair = (place, place + 1)
        if place + 1 in case.layers and not any(case.layers[one].is_low_melting for one in pair):
            yield _no_weld(case, pair)


def _no_weld(case: Case, pair: tuple[int, int]) -> Finding:
    has_nickel = any(case.layers[place].family == "nickel" for place in pair)
    ceiling_c = case.window.ceiling_c
    figure = None if ceiling_c is None else Measure(ceiling_c, "heat")

    def write(system: str) -> Words:
        heat = f" at no more than {figure.text(system)}" if figure else " below copper's heat"
        return Words(
            f"{saying.sentence(case.name(pair[0]))} lies straight on {case.name(pair[1])}.",
            f"This stack is worked{heat}, and {'nickel or ' if has_nickel else ''}steel welds "
            f"to steel only at about {saying.degrees(FORGE_WELD_LOW_C.value, system)}: that "
            "pair never joins.",
            _no_weld_advice(case, pair),
        )

    code = "nickel-on-steel" if has_nickel else "steel-on-steel"
    limit = Measure(FORGE_WELD_LOW_C.value, "heat")
    return finding("stop", code, pair, write, figure=figure, limit=limit)


def _no_weld_advice(case: Case, pair: tuple[int, int]) -> str:
    if all(case.design.layers[place].role == "core" for place in pair):
        return f"Take {saying.listed(pair[1:])} out: one core is enough."
    return (
        "Lay copper between them, take one out, or forge-weld the two into one bar first and "
        "use that as a layer."
    )


def _outside(case: Case) -> Iterator[Finding]:
    last = len(case.design.layers) - 1
    for place in sorted({0, last}):
        alloy = case.layers.get(place)
        if alloy is not None and alloy.is_low_melting:
            face = "bottom" if place == 0 else "top"
            words = Words(
                f"{saying.sentence(case.name(place))} lies on the {face} face.",
                "It touches the dies and the fire: it smears, burns off and runs first.",
                "Put a layer of steel or iron outside it, or take it out.",
            )
            yield finding("stop", "copper-outside", (place,), words)


def _touching(case: Case) -> Iterator[Finding]:
    for group in _groups(case):
        yield _one_line(case, group)


def _one_line(case: Case, group: tuple[int, ...]) -> Finding:
    total_nm = sum(case.cleaned_nm[place] for place in group)
    is_one = len({case.design.layers[place].alloy for place in group}) == 1

    def write(system: str) -> Words:
        thick = saying.thin(total_nm, system)
        return Words(
            f"{saying.sentence(saying.listed(group))} are low-melting layers that touch.",
            f"They join: in the stack it is one line {thick} thick."
            if is_one
            else f"They join: together they are {thick} thick in the stack, and show as "
            f"{'two' if len(group) == 2 else 'several'} colours.",
            "If two lines are wanted, lay steel between them."
            if is_one
            else "Leave it, or lay steel between them for separate lines.",
        )

    return finding("note", "copper-on-copper", group, write, figure=Measure(total_nm, "thin"))


def _groups(case: Case) -> Iterator[tuple[int, ...]]:
    """Runs of two or more low-melting layers."""
    run: list[int] = []
    for place in range(len(case.design.layers) + 1):
        alloy = case.layers.get(place)
        if alloy is not None and alloy.is_low_melting:
            run.append(place)
            continue
        if len(run) > 1:
            yield tuple(run)
        run = []


def _silver(case: Case) -> Iterator[Finding]:
    for pair in silver_on_copper(case.layers):
        yield _eutectic(case, pair)


def _eutectic(case: Case, pair: tuple[int, int]) -> Finding:
    return finding(
        "stop",
        "silver-on-copper",
        pair,
        lambda system: Words(
            f"{saying.sentence(case.name(pair[0]))} touches {case.name(pair[1])}.",
            "Where silver touches copper the two melt together at "
            f"{saying.degrees(SILVER_COPPER_C.value, system)}, far below either alone.",
            "Lay steel between them, or use one of the two.",
        ),
        limit=Measure(SILVER_COPPER_C.value, "heat"),
    )


def _zinc(case: Case) -> Iterator[Finding]:
    places = [place for place, alloy in case.layers.items() if alloy.bears_zinc]
    if not places:
        return
    control = " ".join(case.design.zinc_control.split())
    names = tuple(dict.fromkeys(case.layers[place].name for place in places))
    most = max(case.layers[place].zinc_percent for place in places)
    share = f" ({'up to ' if len(names) > 1 else ''}{most:.0f} % of the metal)" if most else ""

    def write(system: str) -> Words:
        boils = saying.degrees(ZINC_BOILS_C.value, system)
        return Words(
            f"{saying.sentence(saying.listed(places))} ({' and '.join(names)}) "
            f"{'holds' if len(places) == 1 else 'hold'} zinc.",
            f"Zinc{share} leaves as poisonous fume at forging heat; it boils at "
            f"{boils}, and fumes below that.",
            f"Recorded control: {control}"
            if control
            else "Use copper instead, or write down how the fume is kept away from everyone.",
        )

    level: Level = "care" if control else "stop"
    figure = Measure(most, "percent") if most else None
    limit = Measure(ZINC_FROM_PERCENT, "percent")
    yield finding(level, "zinc", places, write, figure=figure, limit=limit)


def _seam(case: Case) -> Iterator[Finding]:
    if case.design.seam_closed:
        return
    words = Words(
        "The seam is left open.",
        "Air gets in, scale forms between the layers and they do not join; molten copper can "
        "also run out.",
        "Weld all four edges closed before the first heat.",
    )
    yield finding("care", "seam-open", (), words)


def check_build(case: Case) -> Iterator[Finding]:
    """Missing layers, sizes and alloys.

    Args:
        case: the layup under examination.

    Returns:
        Codes "empty", "single-layer", "unknown-alloy", "no-thickness", "no-size", "no-finish",
        "finish-too-thick", "spine-too-thick".
    """
    yield from _count(case)
    yield from _alloys(case)
    yield from _thicknesses(case)
    yield from _sizes(case)
    yield from _finish(case)


def _count(case: Case) -> Iterator[Finding]:
    count = len(case.design.layers)
    if count > 1:
        return
    code = "single-layer" if count else "empty"
    what = "This layup has one layer." if count else "This layup has no layers."
    words = Words(
        what,
        "A billet needs a core and at least one layer on each side of it.",
        "Add a core, a line of copper on each side, and cladding outside them.",
    )
    limit = Measure(3, "count")
    figure = Measure(count, "count")
    yield finding("stop", code, range(count), words, figure=figure, limit=limit)


def _alloys(case: Case) -> Iterator[Finding]:
    for place, layer in enumerate(case.design.layers):
        if place not in case.layers:
            words = Words(
                f"Layer {place + 1} is '{layer.alloy}', which is not in the list of alloys.",
                "Without its figures nothing can be said about this stack.",
                "Choose its alloy from the list, or add it as your own.",
            )
            yield finding("stop", "unknown-alloy", (place,), words)


def _thicknesses(case: Case) -> Iterator[Finding]:
    places = [place for place, thickness in enumerate(case.cleaned_nm) if thickness <= 0]
    if places:
        yield finding(
            "stop",
            "no-thickness",
            places,
            lambda system: Words(
                f"Nothing is left of {saying.listed(places)} after cleaning.",
                f"Cleaning takes {saying.thin(case.design.cleaning_loss_nm, system)} from each "
                "face of every layer but the lines.",
                "Write the thickness of each layer as bought, or a smaller cleaning loss.",
            ),
        )


def _sizes(case: Case) -> Iterator[Finding]:
    if case.design.blank_length_nm > 0 and case.design.blank_width_nm > 0:
        return
    words = Words(
        "The blanks have no length or no width.",
        "",
        "Write both, such as 6 in by 1-1/4 in or 150 by 32 mm.",
    )
    yield finding("stop", "no-size", (), words)


def _finish(case: Case) -> Iterator[Finding]:
    finish_nm, height_nm = case.design.finish_thickness_nm, case.height_nm
    if finish_nm <= 0:
        words = Words(
            "There is no thickness to forge the billet to.",
            "Layer thicknesses, size and heats all follow from it.",
            "Write the thickness of the finished billet.",
        )
        yield finding("stop", "no-finish", (), words)
    elif height_nm and finish_nm > height_nm:
        yield _too_thick(case)
    elif case.design.blade.spine_nm > finish_nm and not case.is_bar:
        yield _spine(case)


def _too_thick(case: Case) -> Finding:
    finish_nm, height_nm = case.design.finish_thickness_nm, case.height_nm
    return finding(
        "stop",
        "finish-too-thick",
        (),
        lambda system: Words(
            f"The billet is to finish {saying.thick(finish_nm, system)} thick, but the stack is "
            f"only {saying.thick(height_nm, system)} high.",
            "Pressing thickens nothing.",
            f"Finish at less than {saying.thick(height_nm, system)}, or start with thicker layers.",
        ),
        figure=Measure(finish_nm, "thick"),
        limit=Measure(height_nm, "thick"),
    )


def _spine(case: Case) -> Finding:
    spine_nm, finish_nm = case.design.blade.spine_nm, case.design.finish_thickness_nm
    return finding(
        "care",
        "spine-too-thick",
        (),
        lambda system: Words(
            f"The blade's spine is {saying.thick(spine_nm, system)}, the finished billet only "
            f"{saying.thick(finish_nm, system)}.",
            "The spine can be no thicker than the billet it is ground from.",
            f"Forge to {saying.thick(spine_nm, system)} or more, or choose a thinner spine.",
        ),
        figure=Measure(spine_nm, "thick"),
        limit=Measure(finish_nm, "thick"),
    )
