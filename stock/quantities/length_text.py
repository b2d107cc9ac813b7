"""Lengths and sections to words for a screen, a sheet or a form field, as the trade reads them.

Inches as fractions to 1/64 where that is the size within half a thousandth, else as decimals;
millimetres with no more digits than a workshop can measure. Masses, temperatures and areas
are in stock.quantities.amount_text, money in stock.quantities.money.

    ValueError    a system, unit or style that we do not have: a mistake in the program
"""

from collections.abc import Callable, Sequence
from fractions import Fraction

__all__ = [
    "field_text",
    "length_second_text",
    "length_text",
    "other_system",
    "section_as_sold",
    "section_second_text",
    "section_text",
]

NM_PER_IN, NM_PER_MM = 25_400_000, 1_000_000  # international yard and pound agreement, 1959
NM_PER_64TH, NM_PER_TEN_THOUSANDTH = 396_875, 2_540
SIXTY_FOURTHS_A_TAPE_MARK = 4  # a tape is read to 1/16 in

FRACTION_TOLERANCE_NM = 12_700  # 0.0005 in: nearer than that, a length is shown as its 1/64
THIN_NM = 2_540_000  # 0.1 in: sheet and strip, told to the ten-thousandth where they need it
METRIC_SOLD_NM = 100_000  # metric stock comes in tenths of a millimetre
STYLES = ("fraction", "thou", "plain", "rack")
TIMES = " × "
MINUS = "−"
ABOUT = "≈\u00a0"


def other_system(system: str) -> str:
    """The system shown second: "metric" for "inch" and the other way round.

    Args:
        system: "inch" or "metric".

    Returns:
        The other one.

    Raises:
        ValueError: neither of the two.
    """
    if system not in ("inch", "metric"):
        raise ValueError(f"system is '{system}'; use inch or metric.")
    return "metric" if system == "inch" else "inch"


def decimal_words(value: Fraction, *, decimals: int, keep_zeros: bool = False) -> str:
    """A number as a decimal, rounded once, half to even; what is not 0 never reads as 0.

    Args:
        value: the number, 0 or above.
        decimals: digits after the point; more are added until one of them shows.
        keep_zeros: whether closing zeros stay.

    Returns:
        Digits with a decimal point.
    """
    while value and round(value * 10**decimals) == 0:
        decimals += 1
    units = round(value * 10**decimals)
    if decimals == 0:
        return str(units)
    text = f"{units // 10**decimals}.{units % 10**decimals:0{decimals}d}"
    return text if keep_zeros else text.rstrip("0").rstrip(".")


def signed_words(amount: int, words: Callable[[int], str]) -> str:
    """Words for the size of an amount, with a minus sign before them where it is below 0.

    Args:
        amount: a whole number of any unit.
        words: makes the words for a number of 0 or above.

    Returns:
        The words, with a minus sign where they need one.
    """
    return f"{MINUS if amount < 0 else ''}{words(abs(amount))}"


def _sixty_fourths(nm: int) -> int | None:
    """How many 1/64 in a length is, within half a thousandth; None where it is not."""
    nearest = round(Fraction(nm, NM_PER_64TH))
    is_near = abs(nm - nearest * NM_PER_64TH) <= FRACTION_TOLERANCE_NM
    return nearest if is_near and (nearest or not nm) else None


def _fraction_words(sixty_fourths: int) -> str:
    """Sixty-fourths as the trade writes them: 1-1/4, 3/16, 2."""
    units, part = divmod(Fraction(sixty_fourths, 64), 1)
    if not part:
        return str(units)
    return f"{units}-{part}" if units else str(part)


def _thousandths(nm: int, *, keep_zeros: bool = True) -> str:
    """Inches to the thousandth; thin sizes that are not whole thousandths to 0.0001 in."""
    is_whole = abs(nm - round(Fraction(nm, 25_400)) * 25_400) <= NM_PER_TEN_THOUSANDTH // 2
    decimals = 4 if nm < THIN_NM and not is_whole else 3
    return decimal_words(Fraction(nm, NM_PER_IN), decimals=decimals, keep_zeros=keep_zeros)


def _inches(nm: int, *, style: str) -> str:
    """Inches without their unit, in one of the styles."""
    sixty_fourths = _sixty_fourths(nm) if style in ("fraction", "rack") else None
    if sixty_fourths is not None:
        return _fraction_words(sixty_fourths)
    tape_marks = round(Fraction(nm, SIXTY_FOURTHS_A_TAPE_MARK * NM_PER_64TH))
    if style == "rack" and tape_marks:
        return f"{ABOUT}{_fraction_words(tape_marks * SIXTY_FOURTHS_A_TAPE_MARK)}"
    return _thousandths(nm, keep_zeros=style != "plain")


def _millimetres(nm: int, *, style: str) -> str:
    """Millimetres without their unit: tenths from 10 mm, hundredths below, 0.001 under 0.1 mm."""
    decimals = 1 if nm >= 10 * NM_PER_MM else 2 if nm >= NM_PER_MM // 10 else 3
    if style == "thou":
        decimals = min(decimals + 1, 3)
    return decimal_words(Fraction(nm, NM_PER_MM), decimals=decimals)


def _bare(nm: int, *, system: str, style: str) -> str:
    """A length without its unit."""
    if style not in STYLES:
        raise ValueError(f"style is '{style}'; use one of {', '.join(STYLES)}.")
    words = _millimetres if other_system(system) == "inch" else _inches
    return signed_words(nm, lambda size: words(size, style=style))


def _unit(system: str) -> str:
    """The unit of length that a system shows."""
    return "in" if system == "inch" else "mm"


def length_text(nm: int, *, system: str, style: str = "fraction") -> str:
    """A length as the trade writes it.

    Args:
        nm: length [nm]; below 0 gets a minus sign.
        system: "inch" or "metric".
        style: "fraction" (1/64 in within 0.0005 in, else decimals), "thou" (0.020 in; one more
            digit in mm), "plain" (decimals without closing zeros) or "rack" (as a fraction, but
            what is no 1/64 in is told to the nearest 1/16 in after "≈": a glance, not a cut).

    Returns:
        Such as "1-1/4 in", "0.020 in", "0.0216 in", "≈ 39-3/8 in" or "31.8 mm". Read back, it
        is the same length within 0.0005 in (1/32 in after "≈"), or within 0.05 mm (0.005 mm
        below 10 mm).

    Raises:
        ValueError: a system or style that we do not have.

    Source:
        Common practice for fractions to 1/64 and thousandths.

    >>> length_text(31_750_000, system="inch")
    '1-1/4 in'
    """
    return f"{_bare(nm, system=system, style=style)} {_unit(system)}"


def length_second_text(nm: int, *, system: str, style: str = "fraction") -> str:
    """The same length in the system that is shown second.

    Args:
        nm: length [nm].
        system: the system shown first, "inch" or "metric".
        style: as for `length_text`.

    Returns:
        Text with its unit.
    """
    return length_text(nm, system=other_system(system), style=style)


def field_text(nm: int, *, system: str) -> str:
    """A length as a form field starts with it: read back, it is the same to the nanometre.

    Args:
        nm: length [nm], 0 or above.
        system: the system shown first; a size that is not exact in inches is given in mm.

    Returns:
        Such as "1-1/4 in", "0.0216 in" or "3.2 mm".
    """
    if other_system(system) == "metric" and nm % NM_PER_64TH == 0:
        return f"{_fraction_words(nm // NM_PER_64TH)} in"
    if system == "inch" and nm % NM_PER_TEN_THOUSANDTH == 0:
        return f"{decimal_words(Fraction(nm, NM_PER_IN), decimals=4)} in"
    return f"{decimal_words(Fraction(nm, NM_PER_MM), decimals=6)} mm"


def section_text(nms: Sequence[int], *, system: str, style: str = "fraction") -> str:
    """Sizes with × between them and one unit at the end.

    Args:
        nms: one size or more [nm], in the order to show them.
        system: "inch" or "metric".
        style: as for `length_text`.

    Returns:
        Such as "1/8 × 1-1/4 in" or "3.2 × 32 mm".

    Source:
        Common practice.

    >>> section_text((508_000, 152_400_000), system="inch")
    '0.020 × 6 in'
    """
    sizes = TIMES.join(_bare(nm, system=system, style=style) for nm in nms)
    return f"{sizes} {_unit(system)}"


def section_second_text(nms: Sequence[int], *, system: str, style: str = "fraction") -> str:
    """The same sizes in the system that is shown second.

    Args:
        nms: sizes [nm].
        system: the system shown first.
        style: as for `length_text`.

    Returns:
        Text with its unit.
    """
    return section_text(nms, system=other_system(system), style=style)


def section_as_sold(nms: Sequence[int], *, system: str) -> str:
    """Sizes in the system that the stock was rolled to, whatever the shop shows first.

    Args:
        nms: sizes [nm].
        system: the system for sizes that are round in neither.

    Returns:
        Inches where each size is a whole 1/64 or 0.0001 in, millimetres where each is a whole
        0.1 mm, else the system given.

    Source:
        Common practice: a 3.2 × 32 mm bar is not called 0.126 × 1.260 in.
    """
    if all(nm % NM_PER_64TH == 0 or nm % NM_PER_TEN_THOUSANDTH == 0 for nm in nms):
        return section_text(nms, system="inch")
    is_metric = all(nm % METRIC_SOLD_NM == 0 for nm in nms)
    return section_text(nms, system="metric" if is_metric else system)
