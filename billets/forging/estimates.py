"""Worked-out sizes of a billet at what a tape or a stop can show. Pure.

A drawn length is good to a per cent or so: 10.378 in for it would lie. It leaves out sizes that
were typed in, which `stock.quantities.units` shows exactly, and layers, which are measured in
thousandths.
"""

from billets.errors import NM_PER_MM, nm_from_mm
from stock.quantities.units import length_text, section_text

SIXTY_FOURTH_NM = 396_875
# Steps of a worked-out size by system: common practice for what a tape or a stop shows.
STOP_STEPS = {"inch": 127_000, "metric": 100_000}  # 0.005 in, 0.1 mm
WIDTH_STEPS = {"inch": 2 * SIXTY_FOURTH_NM, "metric": 500_000}  # 1/32 in, 0.5 mm
LENGTH_STEPS = {"inch": 8 * SIXTY_FOURTH_NM, "metric": 1_000_000}  # 1/8 in, 1 mm
THIN_STEPS = {"inch": 25_400, "metric": 10_000}  # 0.001 in, 0.01 mm


def stepped_nm(mm: float, *, step_nm: int) -> int:
    """A worked-out size at the nearest step of what measures it.

    Args:
        mm: size [mm], 0 or more.
        step_nm: step [nm], above 0.

    Returns:
        Size [nm], a whole number of steps, at least one.

    Source:
        Our own rule.

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

    Source:
        `LENGTH_STEPS`.

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

    Source:
        `WIDTH_STEPS`.

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

    Source:
        `LENGTH_STEPS`, `WIDTH_STEPS`.

    >>> block_estimate(
    ...     length_mm=263.6, width_mm=39.6, thickness_mm=4.7625, width_is_set=False, system="inch"
    ... )
    'about 10-3/8 × 1-9/16 × 3/16 in'
    """
    width_nm = nm_from_mm(width_mm)
    if not width_is_set:
        width_nm = stepped_nm(width_mm, step_nm=WIDTH_STEPS[system])
    length_nm = nm_from_mm(length_mm)
    if not length_is_set:
        length_nm = stepped_nm(length_mm, step_nm=LENGTH_STEPS[system])
    sizes = section_text((length_nm, width_nm, nm_from_mm(thickness_mm)), system=system)
    return f"about {sizes}"
