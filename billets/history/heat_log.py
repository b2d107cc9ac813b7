"""What a line of the heat log makes somebody ask: outside the window, thicker. Pure.

It leaves out the log itself (`billets.history.writing`) and whether the shop's own figures may
learn from it (`billets.forging.calibration`).
"""

from billets.layup.case import Case
from billets.layup.design import Design
from billets.layup.stack import stack_height_nm
from stock.alloys.book import Alloy, Figure
from stock.quantities.units import length_text, temperature_one_text

THICKER_RATIO = Figure(0.05, "hot metal, scale and a caliper held askew make less", "practice")
SAME_HEAT_C = Figure(0.5, "what rounding to whole degrees hides", "practice")

_RUN_OUT = frozenset({"copper", "bronze", "brass", "silver"})  # families, in plain words


def too_hot(temperature_c: float, *, is_setting: bool, case: Case) -> str:
    """What to look for after a heat above what the stack stands.

    Args:
        temperature_c: heat that was written down [°C].
        is_setting: whether it set the bond; steel alone is welded hotter than it is forged.
        case: the layup in its shop, which says what scale is read.

    Returns:
        A sentence; empty where the heat is within the ceiling, or nobody knows the ceiling.

    Source:
        `billets.layup.window`; what to look for is common practice.
    """
    window = case.window
    if window.ceiling_c is None:
        return ""
    limit_c, name = window.ceiling_c, "this stack's ceiling"
    if is_setting and window.weld_c is not None and window.weld_c[1] > limit_c:
        limit_c, name = window.weld_c[1], "the welding heat of steel"
    if temperature_c <= limit_c + SAME_HEAT_C.value:
        return ""
    given, limit = _told(temperature_c, limit_c, case=case)
    return f"{given} is above {name} of {limit}; look for {_sign(case)}."


def too_cold(temperature_c: float, *, is_setting: bool, case: Case) -> str:
    """What to look for after a heat below the one that the stack may be worked at.

    Args:
        temperature_c: heat that was written down [°C].
        is_setting: whether it set the bond.
        case: the layup in its shop, which says what scale is read.

    Returns:
        A sentence; empty where the heat is at the floor or above, or nobody knows the floor.

    Source:
        `billets.layup.window`; what to look for is common practice.
    """
    floor_c = case.window.floor_c
    if floor_c is None or temperature_c >= floor_c - SAME_HEAT_C.value:
        return ""
    given, limit = _told(temperature_c, floor_c, case=case)
    sign = "seams that did not take" if is_setting else "cracks at the edges and seams that opened"
    return f"{given} is below this stack's floor of {limit}; look for {sign}."


def _told(*celsius: float, case: Case) -> list[str]:
    """Heats in words, on the scale that the shop reads."""
    unit = case.house.temperature_unit
    return [temperature_one_text(round(one * 1000), unit=unit) for one in celsius]


def _sign(case: Case) -> str:
    """What shows that the metal which sets the ceiling was too hot."""
    known, places = case.layers, case.window.ceiling_layers
    rulers: list[Alloy] = [known[place] for place in places if place in known]
    ran = next((one.family for one in rulers if one.family in _RUN_OUT), "")
    return f"{ran} at the seams" if ran else "burnt edges and coarse grain"


def question_about_thickness(
    thickness_nm: int, *, before_nm: int | None, design: Design, system: str
) -> str:
    """What to ask where a heat left the billet thicker than it was.

    Args:
        thickness_nm: thickness after the heat [nm].
        before_nm: thickness after the last heat that has one [nm]; None if none has.
        design: the layup.
        system: "inch" or "metric".

    Returns:
        The question; empty when there is nothing to ask.
    """
    stack_nm = stack_height_nm(design)
    if before_nm is not None and _is_thicker(thickness_nm, before_nm):
        than = f"the {length_text(before_nm, system=system)} after the heat before"
    elif stack_nm > 0 and _is_thicker(thickness_nm, stack_nm):
        than = f"the stack, which is {length_text(stack_nm, system=system)} high"
    else:
        return ""
    given = length_text(thickness_nm, system=system)
    return (
        f"{given} is thicker than {than}. Pressing makes a billet thinner: measure again, or "
        "confirm that it is so."
    )


def _is_thicker(thickness_nm: int, than_nm: int) -> bool:
    return thickness_nm > than_nm * (1 + THICKER_RATIO.value)
