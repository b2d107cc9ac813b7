"""Which sizes a section has in each form, and which size a piece of it is bought by. Pure.

SectionError (ValueError)    sizes that do not suit the form, with the sentence for the user
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

WANTED = {
    "flat": ("thickness × width", "1/8 × 1-1/4 in"),
    "round": ("diameter", "3/4 in"),
    "roll": ("thickness × width", "0.020 × 6 in"),
    "sheet": ("thickness", "0.020 in"),
    "wire": ("diameter", "0.035 in"),
}


class SectionError(ValueError):
    """Sizes that do not suit the form. `form` and `given` are what was asked."""

    def __init__(self, *, form: str, given: int, words: str, example: str) -> None:
        self.form, self.given = form, given
        sizes = "one size" if given == 1 else f"{given} sizes"
        super().__init__(f"That is {sizes}; this form needs {words}, such as {example}.")


@dataclass(frozen=True)
class Section:
    """Sizes of a material [nm]; 0 where its form has none."""

    thickness_nm: int = 0
    width_nm: int = 0
    diameter_nm: int = 0


def section_of(form: str, sizes_nm: Sequence[int]) -> Section:
    """The sizes of a section by name.

    Args:
        form: "flat", "round", "roll", "sheet", "wire" or "counted".
        sizes_nm: sizes in the order of the trade [nm], above 0; none for counted things.

    Returns:
        Thickness, width and diameter; the thinner of two sizes is the thickness.

    Raises:
        SectionError: the form has another number of sizes.

    Source:
        Common practice: thickness before width.

    >>> section_of("flat", [31_750_000, 3_175_000]).thickness_nm
    3175000
    """
    if form == "counted":
        return Section()
    words, example = WANTED[form]
    wanted = 2 if "×" in words else 1
    if len(sizes_nm) != wanted:
        raise SectionError(form=form, given=len(sizes_nm), words=words, example=example)
    if wanted == 2:
        return Section(thickness_nm=min(sizes_nm), width_nm=max(sizes_nm))
    if form == "sheet":
        return Section(thickness_nm=sizes_nm[0])
    return Section(diameter_nm=sizes_nm[0])
