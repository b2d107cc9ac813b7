"""Whether there is a heat at which the stack can be worked and its steels hardened."""

from collections.abc import Iterator

from billets.findings.finding import Finding, Measure, Words, finding
from billets.layup import words as saying
from billets.layup.case import Case
from billets.layup.limits import PRACTICE_LIMIT_C
from stock.alloys.book import Alloy


def check_heat(case: Case) -> Iterator[Finding]:
    """The working window and the hardening heats against the ceiling.

    Args:
        case: the layup under examination.

    Returns:
        Codes "small-allowance", "solidus-unknown", "no-window", "narrow-window",
        "floor-unknown", "above-practice", "core-hardening-heat", "core-hardening-near",
        "core-heat-unknown", "cladding-hardening-heat".
    """
    if not case.layers:
        return
    yield from _allowance(case)
    yield from _unknown(case)
    yield from _width(case)
    yield from _practice(case)
    yield from _hardening(case)


def _allowance(case: Case) -> Iterator[Finding]:
    allowance_c, least_c = case.rules.allowance_c, case.rules.least_allowance_c
    if allowance_c < least_c:
        yield finding(
            "care",
            "small-allowance",
            (),
            lambda system: Words(
                f"Margin and hot spot together are {saying.warmth(allowance_c, system)}.",
                "A forge is not even and no eye reads heat that closely: copper runs.",
                f"Set them to {saying.warmth(least_c, system)} or more together.",
            ),
            figure=Measure(allowance_c, "warmth"),
            limit=Measure(least_c, "warmth"),
        )


def _unknown(case: Case) -> Iterator[Finding]:
    places = [
        place
        for place, alloy in case.layers.items()
        if alloy.is_low_melting and alloy.solidus_c is None
    ]
    if places:
        words = Words(
            f"Nobody has written down at what heat {saying.listed(places)} "
            f"{'starts' if len(places) == 1 else 'start'} to melt.",
            "Without its solidus there is no working ceiling.",
            "Add the solidus to that alloy, from its maker's data sheet.",
        )
        yield finding("stop", "solidus-unknown", places, words)
    elif case.window.floor_c is None:
        floorless = Words(
            "No layer says how cold it may be worked.",
            "Steel worked too cold cracks.",
            "Add 'do not forge below' to the steels, from their makers' data sheets.",
        )
        yield finding("note", "floor-unknown", (), floorless)


def _width(case: Case) -> Iterator[Finding]:
    found = case.window
    if found.width_c is None or found.width_c >= case.rules.narrow_window_c:
        return
    is_open = found.is_open
    places = (*found.floor_layers, *found.ceiling_layers)
    ceiling, floor = Measure(found.ceiling_c or 0, "heat"), Measure(found.floor_c or 0, "heat")
    width = Measure(found.width_c, "warmth")

    def write(system: str) -> Words:
        what = (
            f"The working window is only {width.text(system)} wide: from {floor.text(system)} "
            f"to {ceiling.text(system)}."
            if is_open
            else f"There is no working window: the ceiling is {ceiling.text(system)}, the floor "
            f"{floor.text(system)}."
        )
        return Words(
            what, _width_reason(case, system), _width_advice(case, system, is_open=is_open)
        )

    if is_open:
        limit = Measure(case.rules.narrow_window_c, "warmth")
        yield finding("care", "narrow-window", places, write, figure=width, limit=limit)
    else:
        yield finding("stop", "no-window", places, write, figure=ceiling, limit=floor)


def _width_reason(case: Case, system: str) -> str:
    found = case.window
    floor = saying.listed(found.floor_layers)
    ceiling = saying.listed(found.ceiling_layers)
    return saying.sentence(
        f"{floor} must not be worked colder than the floor; hotter than the ceiling {ceiling} "
        f"{'is spoiled' if found.ceiling_rule == 'forge-max' else 'may melt'}."
    )


def _width_advice(case: Case, system: str, *, is_open: bool) -> str:
    if is_open:
        return "Take short heats and measure the heat, or " + _wider(case, system)
    floor = saying.listed(case.window.floor_layers)
    ceiling = saying.listed(case.window.ceiling_layers)
    if case.window.ceiling_rule == "pair":
        return f"Lay steel between {ceiling}, so that they cannot melt together."
    return (
        f"Choose a steel for {floor} that may be worked colder, or a metal for {ceiling} that "
        "melts higher, such as oxygen-free copper."
    )


def _wider(case: Case, system: str) -> str:
    """What would widen the window: better copper, or else another steel."""
    better = case.alloys.get("c10200")
    melting = case.window.melting
    if case.window.copper == "tough-pitch" and better and better.solidus_c and melting:
        lift_c = better.solidus_c.value - melting.figure.value
        return (
            f"use oxygen-free copper (C10200), which lifts the ceiling by "
            f"{saying.warmth(lift_c, system)}."
        )
    return (
        f"choose a steel for {saying.listed(case.window.floor_layers)} that may be worked colder."
    )


def _practice(case: Case) -> Iterator[Finding]:
    ceiling_c = case.window.ceiling_c
    if case.process != "bonded" or ceiling_c is None or ceiling_c <= PRACTICE_LIMIT_C.value + 0.5:
        return
    yield finding(
        "note",
        "above-practice",
        case.window.ceiling_layers,
        lambda system: Words(
            f"The ceiling is {saying.degrees(ceiling_c, system)}.",
            "Common practice stays under about "
            f"{saying.degrees(PRACTICE_LIMIT_C.value, system)}, a red heat.",
            "The ceiling is a limit, not a heat to aim at.",
        ),
        figure=Measure(ceiling_c, "heat"),
        limit=Measure(PRACTICE_LIMIT_C.value, "heat"),
    )


def _hardening(case: Case) -> Iterator[Finding]:
    ceiling_c = case.window.ceiling_c
    if case.process != "bonded" or ceiling_c is None:
        return
    hardening = {
        place: alloy
        for place, alloy in case.layers.items()
        if alloy.hardens and not alloy.is_low_melting
    }
    for place in case.cores:
        if place in hardening:
            yield from _core(case, place, hardening[place], ceiling_c)
    others = [place for place in hardening if place not in case.cores]
    for key in dict.fromkeys(case.design.layers[place].alloy for place in others):
        same = [place for place in others if case.design.layers[place].alloy == key]
        yield from _cladding(case, same, hardening[same[0]], ceiling_c)


def _core(case: Case, place: int, alloy: Alloy, ceiling_c: float) -> Iterator[Finding]:
    low, high = alloy.austenitise_low_c, alloy.austenitise_high_c
    if low is None and high is None:
        words = Words(
            f"Nobody has written down the hardening heat of {case.name(place)}.",
            "It cannot be held against the copper's ceiling.",
            "Add it to that alloy, from its maker's data sheet.",
        )
        yield finding("care", "core-heat-unknown", (place,), words)
        return
    lowest = low or high
    if lowest is not None and lowest.value >= ceiling_c:
        yield _core_too_hot(case, place, lowest.value, ceiling_c)
    elif high is not None and high.value > ceiling_c:
        yield _core_near(case, place, high.value, ceiling_c)


def _core_too_hot(case: Case, place: int, heat_c: float, ceiling_c: float) -> Finding:
    return finding(
        "stop",
        "core-hardening-heat",
        (place,),
        lambda system: Words(
            f"{saying.sentence(case.name(place))} hardens from {saying.degrees(heat_c, system)}, "
            f"and the ceiling of this stack is {saying.degrees(ceiling_c, system)}.",
            "The line would run before the core is hard.",
            _cooler_core(case, ceiling_c),
        ),
        figure=Measure(heat_c, "heat"),
        limit=Measure(ceiling_c, "heat"),
    )


def _cooler_core(case: Case, ceiling_c: float) -> str:
    names = [
        alloy.name
        for alloy in case.alloys.values()
        if alloy.family == "carbon-steel"
        and alloy.hardens
        and alloy.austenitise_high_c is not None
        and alloy.austenitise_high_c.value <= ceiling_c
    ]
    if not names:
        places = saying.listed(case.window.ceiling_layers)
        return (
            f"No core in the list hardens so cool: choose a metal for {places} that melts higher."
        )
    return f"Choose a core that hardens below the ceiling, such as {', '.join(names[:4])}."


def _core_near(case: Case, place: int, heat_c: float, ceiling_c: float) -> Finding:
    return finding(
        "care",
        "core-hardening-near",
        (place,),
        lambda system: Words(
            f"The hardening range of {case.name(place)} goes up to "
            f"{saying.degrees(heat_c, system)}, past the ceiling of "
            f"{saying.degrees(ceiling_c, system)}.",
            "Hotter than the ceiling the line may run.",
            "Harden in the lower part of the range, by a measured heat.",
        ),
        figure=Measure(heat_c, "heat"),
        limit=Measure(ceiling_c, "heat"),
    )


def _cladding(case: Case, places: list[int], alloy: Alloy, ceiling_c: float) -> Iterator[Finding]:
    high = alloy.austenitise_high_c or alloy.austenitise_low_c
    if high is None or high.value <= ceiling_c:
        return
    heat_c = high.value
    verb = "hardens" if len(places) == 1 else "harden"
    yield finding(
        "care",
        "cladding-hardening-heat",
        places,
        lambda system: Words(
            f"{saying.sentence(saying.listed(places))} ({alloy.name}) {verb} fully only at "
            f"{saying.degrees(heat_c, system)}, past the ceiling of "
            f"{saying.degrees(ceiling_c, system)}.",
            "At that heat the line may run.",
            "Harden for the core only and leave that steel softer, or choose one that does not "
            "need it, such as 304 or mild steel.",
        ),
        figure=Measure(heat_c, "heat"),
        limit=Measure(ceiling_c, "heat"),
    )
