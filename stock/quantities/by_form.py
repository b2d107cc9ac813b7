"""An amount in the words of its form: length, area, mass or count. Pure.

`system` is "inch" or "metric"; where a sentence has no shop at hand (an error of the books),
both are written.
"""

from stock.quantities import units


def amount_text(amount: int, *, form: str, system: str = "both", style: str = "fraction") -> str:
    """An amount in the unit of its form.

    Args:
        amount: nm for bars and rolls, nm² for sheets, µg for wire, a count otherwise.
        form: "flat", "round", "roll", "sheet", "wire" or "counted".
        system: "inch", "metric", or "both" for "12 in (304.8 mm)".
        style: of a length, as for `units.length_text`; "rack" is for a glance.

    Returns:
        Text with its unit.

    Source:
        `stock.quantities.units`.
    """
    if system == "both":
        first = amount_text(amount, form=form, system="inch", style=style)
        second = amount_text(amount, form=form, system="metric", style=style)
        return first if first == second else f"{first} ({second})"
    if form in ("flat", "round", "roll"):
        return units.length_text(amount, system=system, style=style)
    if form == "sheet":
        return units.area_text(amount, system=system)
    if form == "wire":
        return units.mass_text(amount, system=system)
    return f"{amount:,}"
