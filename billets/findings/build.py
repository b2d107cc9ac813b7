"""Whether a layup is complete enough to be judged at all."""

from collections.abc import Iterator

from billets.findings.finding import Finding, Measure, Words, finding
from billets.layup import words as saying
from billets.layup.case import Case


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
