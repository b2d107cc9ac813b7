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
