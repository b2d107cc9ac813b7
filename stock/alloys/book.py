"""The alloys that a stack is made of, each figure with where it comes from.

`book` reads `alloys.toml` once; `merged` adds a shop's own alloys, marked as the shop's.
It leaves out what any figure means for a stack: that is the metalwork's business.

Errors:
    UnknownAlloy(KeyError)  no alloy has that key
"""

from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from stock.alloys.figures import (
    FAMILIES,
    FORGE_WELD_HIGH_C,
    FORGE_WELD_LOW_C,
    LOW_MELTING_FAMILIES,
    MARKS,
    ZINC_FROM_PERCENT,
    Alloy,
    Figure,
    Said,
    Temper,
)

__all__ = [
    "FAMILIES",
    "FORGE_WELD_HIGH_C",
    "FORGE_WELD_LOW_C",
    "LOW_MELTING_FAMILIES",
    "MARKS",
    "ZINC_FROM_PERCENT",
    "Alloy",
    "Book",
    "Figure",
    "Said",
    "Temper",
    "UnknownAlloy",
    "alloy_name",
    "book",
    "find",
    "is_low_melting",
    "merged",
    "shop_alloy",
    "short_name",
]

Book = Mapping[str, Alloy]


class UnknownAlloy(KeyError):
    """No alloy has that key.

    Attributes:
        key: what was asked for.
        near: keys that look like it, nearest first.
    """

    def __init__(self, key: str, near: Iterable[str] = ()) -> None:
        self.key = key
        self.near = tuple(near)
        hint = f" Did you mean {' or '.join(self.near)}?" if self.near else ""
        super().__init__(
            f"No alloy has the key '{key}'.{hint} Choose one from the list, or add it as your own."
        )

    def __str__(self) -> str:
        return str(self.args[0])


@cache
def book() -> Book:
    """Every published alloy by its key, read once from `alloys.toml`.

    Returns:
        Alloys by key, in the order of the file; it cannot be changed.

    Raises:
        AlloyFileError: the file has a figure without value, source or mark.
    """
    from stock.alloys.toml_file import read_alloys

    return MappingProxyType(read_alloys(Path(__file__).with_name("alloys.toml")))


def merged(extra: Iterable[Alloy]) -> Book:
    """The published alloys together with a shop's own.

    Args:
        extra: the shop's alloys; one with the key of a published alloy takes its place.

    Returns:
        Alloys by key, the shop's last; it cannot be changed.
    """
    return MappingProxyType({**book(), **{alloy.key: alloy for alloy in extra}})


def find(key: str, *, alloys: Book | None = None) -> Alloy:
    """One alloy by its key, as written or with other capitals and spaces around it.

    Args:
        key: such as "1084", "C11000" or "nickel-200".
        alloys: where to look; the published ones when left out.

    Returns:
        The alloy.

    Raises:
        UnknownAlloy: no alloy has that key; the sentence names those near it.

    >>> find(" C11000 ").name
    'C11000 tough-pitch copper'
    """
    known = book() if alloys is None else alloys
    wanted = key.strip()
    found = known.get(wanted) or known.get(wanted.lower())
    if found is None:
        raise UnknownAlloy(key, get_close_matches(wanted.lower(), known, n=2))
    return found


def alloy_name(key: str, *, book: Book) -> str:
    """What an alloy is called wherever one is named.

    Args:
        key: its key.
        book: every alloy by key.

    Returns:
        Its whole name; the key where the book has none of that key.

    >>> alloy_name("c11000", book=book())
    'C11000 tough-pitch copper'
    """
    return book[key].name if key in book else key


def short_name(key: str, *, book: Book) -> str:
    """What to call an alloy where there is little room, such as beside its layer.

    Args:
        key: its key.
        book: every alloy by key.

    Returns:
        The first word of a published name; all of a shop's own alloy's name; the key where the
        book has none of that key.

    >>> short_name("c11000", book=book())
    'C11000'
    """
    name = alloy_name(key, book=book)
    return name.split()[0] if key in book and not book[key].is_shop_made else name


def is_low_melting(alloy: Alloy) -> bool:
    """Whether an alloy cannot stand forge-welding heat, so that a stack with it is bonded.

    Args:
        alloy: any alloy; one without a solidus is judged by its family.

    Returns:
        True when it starts to melt below about 1204 °C (2200 °F).

    Source:
        Common practice for the heat; the solidus is the alloy's own figure.
    """
    return alloy.is_low_melting


def shop_alloy(
    *,
    key: str,
    name: str,
    family: str,
    hardens: bool,
    density_kg_m3: float,
    note: str = "",
    **heats_c: float | None,
) -> Alloy:
    """An alloy that the shop has entered, every figure marked as the shop's.

    Args:
        key: its key, unlike any other.
        name: as it is shown.
        family: one of `FAMILIES`; any other counts as "other".
        hardens: whether a quench hardens it.
        density_kg_m3: density [kg/m³], above 0.
        note: a line shown with it.
        heats_c: temperatures [°C] by their name in `Alloy`, such as `solidus_c` or
            `forge_min_c`; None or left out when not known.

    Returns:
        The alloy, with the fume hazards of its family.

    Raises:
        TypeError: a temperature that no alloy has.
    """
    strange = sorted(set(heats_c) - SHOP_HEATS)
    if strange:
        raise TypeError(f"{', '.join(strange)} is not a temperature of an alloy.")
    kind = family if family in FAMILIES else "other"
    heats: dict[str, Any] = {name: _entered(value) for name, value in heats_c.items()}
    return Alloy(
        key=key,
        name=name,
        family=kind,
        hardens=hardens,
        density_kg_m3=Figure(float(density_kg_m3), "entered by the shop", "shop"),
        hazards=FAMILY_HAZARDS.get(kind, ()),
        note=note,
        is_shop_made=True,
        **heats,
    )


def _entered(value: float | None) -> Figure | None:
    return None if value is None else Figure(float(value), "entered by the shop", "shop")


SHOP_HEATS = frozenset(
    {
        "solidus_c",
        "liquidus_c",
        "forge_max_c",
        "forge_min_c",
        "normalise_c",
        "austenitise_low_c",
        "austenitise_high_c",
    }
)

# What to expect of an alloy of which only the family is known: the worse case of each.
FAMILY_HAZARDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "brass": ("zinc-fume", "copper-fume"),
        "bronze": ("copper-fume",),
        "copper": ("copper-fume",),
        "nickel": ("nickel",),
        "stainless": ("chromium", "nickel"),
        "silver": ("silver",),
    }
)


FAMILY_WORDS = {
    "carbon-steel": "Carbon steel", "stainless": "Stainless", "nickel": "Nickel",
    "copper": "Copper", "bronze": "Bronze", "brass": "Brass", "silver": "Silver",
    "iron": "Iron", "other": "Other",
}  # fmt: skip
