"""Worked-out figures in the shop's own units: forces, times, shares, heats, drawn sizes.

Pure; it leaves out every sum. A size is rounded to what a tape or a stop block can show.
"""

import math
from dataclasses import dataclass

from billets.errors import NM_PER_MM
from stock.house import House
from stock.quantities.units import length_text, section_text, temperature_one_text

NEWTONS_PER_TON = 8_896.443230521  # US short ton-force; scipy.constants agrees
MOST_TENTHS_TONS = 99.95

SIXTY_FOURTH_NM = 396_875
# Steps of a worked-out size by system: common practice for what a tape or a stop shows.
STOP_STEPS = {"inch": 127_000, "metric": 100_000}  # 0.005 in, 0.1 mm
WIDTH_STEPS = {"inch": 2 * SIXTY_FOURTH_NM, "metric": 500_000}  # 1/32 in, 0.5 mm
LENGTH_STEPS = {"inch": 8 * SIXTY_FOURTH_NM, "metric": 1_000_000}  # 1/8 in, 1 mm
THIN_STEPS = {"inch": 25_400, "metric": 10_000}  # 0.001 in, 0.01 mm


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


def stepped_nm(mm: float, *, step_nm: int) -> int:
    """A worked-out size at the nearest step of what measures it.

    Args:
        mm: size [mm], 0 or more.
        step_nm: step [nm], above 0.

    Returns:
        Size [nm], a whole number of steps, at least one.

    >>> stepped_nm(10.47, step_nm=100_000)
    10500000
    """
    return max(1, round(mm * NM_PER_MM / step_nm)) * step_nm


def length_estimate(mm: float, *, system: str) -> str:
    """A worked-out length.

    Args:
        mm: length [mm], 0 or more.
        system: "inch" or "metric".

    Returns:
        To the nearest 1/8 in or millimetre.

    >>> length_estimate(263.6, system="inch"), length_estimate(263.6, system="metric")
    ('10-3/8 in', '264 mm')
    """
    return length_text(stepped_nm(mm, step_nm=LENGTH_STEPS[system]), system=system)


def width_estimate(mm: float, *, system: str) -> str:
    """A worked-out width.

    Args:
        mm: width [mm], 0 or more.
        system: "inch" or "metric".

    Returns:
        To the nearest 1/32 in or half millimetre.

    >>> width_estimate(39.6, system="inch"), width_estimate(39.6, system="metric")
    ('1-9/16 in', '39.5 mm')
    """
    return length_text(stepped_nm(mm, step_nm=WIDTH_STEPS[system]), system=system)


def block_estimate(
    *,
    length_mm: float,
    width_mm: float,
    thickness_mm: float,
    width_is_set: bool,
    system: str,
    length_is_set: bool = False,
) -> str:
    """The size of a drawn billet.

    Args:
        length_mm: length [mm].
        width_mm: width [mm].
        thickness_mm: thickness that it is forged to [mm]; said as it was entered.
        width_is_set: whether the width was entered too.
        system: "inch" or "metric".
        length_is_set: whether the length was entered, and the width worked out.

    Returns:
        Largest first, as the trade says a billet.

    >>> block_estimate(
    ...     length_mm=263.6, width_mm=39.6, thickness_mm=4.7625, width_is_set=False, system="inch"
    ... )
    'about 10-3/8 × 1-9/16 × 3/16 in'
    """
    steps_nm = (
        1 if length_is_set else LENGTH_STEPS[system],
        1 if width_is_set else WIDTH_STEPS[system],
        1,
    )
    sizes_mm = (length_mm, width_mm, thickness_mm)
    sizes_nm = [stepped_nm(mm, step_nm=step) for mm, step in zip(sizes_mm, steps_nm, strict=True)]
    return f"about {section_text(sizes_nm, system=system)}"
