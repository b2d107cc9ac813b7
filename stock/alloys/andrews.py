"""Where a steel's phases change, from its composition: Andrews' linear formulas.

They were fitted to low-alloy steels; most blade steels lie outside that range in carbon, which
`outside_fitted_range` says in words. It leaves out stainless steels, for which they are wrong.

Errors:
    CompositionError(ValueError)  a percentage below 0 or above 100
"""

from collections.abc import Callable, Mapping

from stock.alloys.figures import Figure

SOURCE = "K. W. Andrews, Empirical formulae, J. Iron and Steel Institute 203 (1965) 721-727"
MS_BASE_C = Figure(539.0, SOURCE, "read")
MS_PER_PERCENT = {
    "C": Figure(-423.0, SOURCE, "read"),
    "Mn": Figure(-30.4, SOURCE, "read"),
    "Ni": Figure(-17.7, SOURCE, "read"),
    "Cr": Figure(-12.1, SOURCE, "read"),
    "Mo": Figure(-7.5, SOURCE, "read"),
}
AC1_BASE_C = Figure(723.0, SOURCE, "read")
AC1_PER_PERCENT = {
    "Mn": Figure(-10.7, SOURCE, "read"),
    "Ni": Figure(-16.9, SOURCE, "read"),
    "Si": Figure(29.1, SOURCE, "read"),  # plus: silicon raises it
    "Cr": Figure(16.9, SOURCE, "read"),
    "As": Figure(290.0, SOURCE, "read"),
    "W": Figure(6.38, SOURCE, "read"),
}
FITTED_TO_PERCENT = {
    "C": Figure(0.6, "highest carbon of Andrews' steels, about", "read"),
    "Mn": Figure(4.9, "highest manganese of Andrews' steels", "memory"),
    "Ni": Figure(5.0, "highest nickel of Andrews' steels", "memory"),
    "Cr": Figure(5.0, "highest chromium of Andrews' steels", "memory"),
    "Mo": Figure(5.4, "highest molybdenum of Andrews' steels", "memory"),
}
# Not all carbon dissolves at hardening heat; past this the figure says more than it knows.
MISLEADS_ABOVE_PERCENT = Figure(1.0, "carbon, our own limit for showing the figure", "practice")
_ELEMENT_NAMES = {
    "C": "carbon",
    "Mn": "manganese",
    "Ni": "nickel",
    "Cr": "chromium",
    "Mo": "molybdenum",
}


class CompositionError(ValueError):
    """A percentage of an element that no steel can have.

    Attributes:
        element: its symbol.
        percent: what was given.
    """

    def __init__(self, element: str, percent: float) -> None:
        self.element = element
        self.percent = percent
        super().__init__(
            f"{element} is {percent} percent; it has to lie between 0 and 100. "
            "Check the composition."
        )


def andrews_ms_c(composition: Mapping[str, float]) -> float:
    """Temperature at which martensite starts to form on quenching, by Andrews' linear formula.

    Args:
        composition: percent of the mass by element symbol, 0 to 100; elements that the formula
            does not know are passed over.

    Returns:
        Ms [°C]. Above about 0.6 % carbon it is outside the range the formula was fitted to:
        ask `outside_fitted_range`. All carbon is taken to be dissolved.

    Raises:
        CompositionError: a percentage is below 0 or above 100.

    Source:
        Andrews (1965): 539 - 423 C - 30.4 Mn - 17.7 Ni - 12.1 Cr - 7.5 Mo.

    >>> round(andrews_ms_c({"C": 0.40, "Mn": 0.80, "Cr": 0.85}), 3)
    335.195
    """
    return _linear(MS_BASE_C, MS_PER_PERCENT, composition)


def andrews_ac1_c(composition: Mapping[str, float]) -> float:
    """Temperature at which austenite starts to form on heating, by Andrews' formula.

    Args:
        composition: percent of the mass by element symbol, 0 to 100; elements that the formula
            does not know are passed over.

    Returns:
        Ac1 [°C]. Outside the range the formula was fitted to, `outside_fitted_range` says so.

    Raises:
        CompositionError: a percentage is below 0 or above 100.

    Source:
        Andrews (1965): 723 - 10.7 Mn - 16.9 Ni + 29.1 Si + 16.9 Cr + 290 As + 6.38 W.

    >>> round(andrews_ac1_c({"C": 0.84, "Mn": 0.75, "Si": 0.25}), 3)
    722.25
    """
    return _linear(AC1_BASE_C, AC1_PER_PERCENT, composition)


def outside_fitted_range(composition: Mapping[str, float]) -> tuple[str, ...]:
    """In words, what lies outside the range that Andrews' formulas were fitted to.

    Args:
        composition: percent of the mass by element symbol.

    Returns:
        One sentence for each element that is too high; none when all is inside.

    Source:
        Andrews (1965); the limits and their marks are in `FITTED_TO_PERCENT`.
    """
    return tuple(
        f"{composition[element]:g} % {_ELEMENT_NAMES[element]} is above the "
        f"{limit.value:g} % that Andrews' steels went up to: take the figure as a guide."
        for element, limit in FITTED_TO_PERCENT.items()
        if composition.get(element, 0.0) > limit.value
    )


def ms_figure(composition: Mapping[str, Figure]) -> Figure | None:
    """Ms of a steel with its source and, outside the fitted range, the warning.

    Args:
        composition: percent of the mass by element symbol, with sources.

    Returns:
        Ms [°C], marked no better than the composition it rests on; None without carbon, and
        None above 1 % carbon, where so much carbon stays undissolved that it would mislead.

    Raises:
        CompositionError: a percentage is below 0 or above 100.

    Source:
        Andrews (1965), see `andrews_ms_c`.
    """
    carbon = composition.get("C")
    if carbon is not None and carbon.value > MISLEADS_ABOVE_PERCENT.value:
        return None
    return _figure(andrews_ms_c, composition)


def ac1_figure(composition: Mapping[str, Figure]) -> Figure | None:
    """Ac1 of a steel with its source and, outside the fitted range, the warning.

    Args:
        composition: percent of the mass by element symbol, with sources.

    Returns:
        Ac1 [°C], marked no better than the composition it rests on; None without carbon.

    Raises:
        CompositionError: a percentage is below 0 or above 100.

    Source:
        Andrews (1965), see `andrews_ac1_c`.
    """
    return _figure(andrews_ac1_c, composition)


def _linear(base: Figure, slopes: Mapping[str, Figure], composition: Mapping[str, float]) -> float:
    for element, percent in composition.items():
        if not 0.0 <= percent <= 100.0:
            raise CompositionError(element, percent)
    return base.value + sum(
        slope.value * composition.get(element, 0.0) for element, slope in slopes.items()
    )


def _figure(
    formula: Callable[[Mapping[str, float]], float], composition: Mapping[str, Figure]
) -> Figure | None:
    if "C" not in composition:
        return None
    percents = {element: figure.value for element, figure in composition.items()}
    rests_on = composition["C"]
    words = ("Andrews (1965), from the composition", *outside_fitted_range(percents))
    return Figure(formula(percents), "; ".join(words), rests_on.mark)
