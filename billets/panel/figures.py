"""Figures of the live panel in the shop's own units. Pure; it leaves out every sum."""

import math
from dataclasses import dataclass

from stock.house import House
from stock.quantities.units import temperature_one_text

NEWTONS_PER_TON = 8_896.443230521  # US short ton-force; scipy.constants agrees
MOST_TENTHS_TONS = 99.95


@dataclass(frozen=True)
class FigureLine:
    """One figure: what it is, the figure with its unit, the second unit or a remark."""

    word: str
    text: str
    second: str = ""


def force_text(newtons: float, *, system: str) -> str:
    """A force as the trade says it.

    Args:
        newtons: force [N].
        system: "inch" (US tons) or "metric" (kN).

    Returns:
        Text with its unit, to a tenth of a ton (from 100 on a whole one) or a whole kilonewton.

    >>> force_text(88964.43, system="inch")
    '10.0 tons'
    """
    if system == "inch":
        tons = newtons / NEWTONS_PER_TON
        return f"{tons:.1f} tons" if tons < MOST_TENTHS_TONS else f"{tons:.0f} tons"
    return f"{newtons / 1000:.0f} kN"


def seconds_text(seconds: float) -> str:
    """A worked-out time to wait, such as a soak.

    Args:
        seconds: time [s], 0 or more.

    Returns:
        Such as "38 s" or "4 min"; seconds under two minutes, whole minutes above.

    Source:
        Common practice.

    >>> seconds_text(37.6), seconds_text(250)
    ('38 s', '4 min')
    """
    return f"{seconds:.0f} s" if seconds < 120 else f"{seconds / 60:.0f} min"


def time_left_text(seconds: float) -> str:
    """A worked-out time to work in: rounded down, so that nobody is told more than there is.

    Args:
        seconds: time [s], 0 or more.

    Returns:
        Such as "57 s" or "3 min 20 s"; whole seconds under two minutes, tens of them above.

    >>> time_left_text(57.6), time_left_text(209), time_left_text(240)
    ('57 s', '3 min 20 s', '4 min')
    """
    if seconds < 120:
        return f"{math.floor(seconds)} s"
    minutes, rest = divmod(math.floor(seconds), 60)
    return f"{minutes} min {rest // 10 * 10} s" if rest >= 10 else f"{minutes} min"


def percent_text(ratio: float) -> str:
    """A share in per cent.

    Args:
        ratio: share of 1.

    Returns:
        To a tenth below 10 %, whole above.

    Source:
        Common practice.

    >>> percent_text(0.0451), percent_text(0.15)
    ('4.5 %', '15 %')
    """
    percent = ratio * 100
    return f"{percent:.1f} %" if abs(percent) < 9.95 else f"{percent:.0f} %"


def heat_line(word: str, celsius: float | None, *, house: House, remark: str = "") -> FigureLine:
    """A temperature in both scales, the shop's first.

    Args:
        word: what it is.
        celsius: temperature [°C]; None where it is not known.
        house: the shop's settings.
        remark: more words after the second scale.

    Returns:
        The figure; "not known" for None.
    """
    if celsius is None:
        return FigureLine(word, "not known", remark)
    first = house.temperature_unit
    other = "C" if first == "F" else "F"
    mdegc = round(celsius * 1000)
    second = temperature_one_text(mdegc, unit=other)
    return FigureLine(word, temperature_one_text(mdegc, unit=first), f"{second} {remark}".strip())
