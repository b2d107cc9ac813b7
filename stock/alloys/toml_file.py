"""Reading `alloys.toml`: every figure with its source, or the file is refused.

A figure stands in the file as its source writes it, ["2150 F", "source"]; this module turns
temperatures into °C exactly. It leaves out looking an alloy up: that is `stock.alloys.book`.

Errors:
    AlloyFileError(ValueError)  a figure lacks value, source or mark, or an alloy is malformed
"""

import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from stock.alloys import andrews
from stock.alloys.figures import FAMILIES, MARKS, Alloy, Figure, Said, Temper

TEMPERATURES = (
    "solidus",
    "liquidus",
    "forge_max",
    "forge_min",
    "normalise",
    "austenitise_low",
    "austenitise_high",
)
Sources = Mapping[str, tuple[str, str]]


class AlloyFileError(ValueError):
    """A figure in the file lacks its value, source or mark.

    Attributes:
        key: the alloy.
        name: the figure.
    """

    def __init__(self, key: str, name: str, why: str) -> None:
        self.key = key
        self.name = name
        super().__init__(f"alloys.toml, {key}, {name}: {why}.")


def read_alloys(path: Path) -> dict[str, Alloy]:
    """Every alloy of a file, by key, in the order of the file.

    Args:
        path: a file such as `alloys.toml`.

    Returns:
        Alloys by key.

    Raises:
        AlloyFileError: a figure lacks value, source or mark, or an alloy is malformed.
    """
    with path.open("rb") as file:
        return alloys_of(tomllib.load(file))


def alloys_of(data: Mapping[str, Any]) -> dict[str, Alloy]:
    """Every alloy of a file that has been parsed.

    Args:
        data: a table `sources` and a table `alloys`, as in `alloys.toml`.

    Returns:
        Alloys by key, in the order of the file.

    Raises:
        AlloyFileError: a figure lacks value, source or mark, or an alloy is malformed.
    """
    sources = {name: _source(name, given) for name, given in data["sources"].items()}
    return {key: _alloy(key, given, sources) for key, given in data["alloys"].items()}


def _source(name: str, given: Mapping[str, Any]) -> tuple[str, str]:
    text, mark = given.get("text", ""), given.get("mark", "")
    if not text or mark not in MARKS:
        raise AlloyFileError("sources", name, "a source needs a text and a mark")
    return text, mark


def _alloy(key: str, given: Mapping[str, Any], sources: Sources) -> Alloy:
    if given.get("family") not in FAMILIES:
        raise AlloyFileError(key, "family", f"it is {given.get('family')!r}, not a known family")
    composition = _composition(key, given, sources)
    heats: dict[str, Any] = {
        f"{name}_c": _figure(key, name, given, sources, celsius) for name in TEMPERATURES
    }
    density = _figure(key, "density_kg_m3", given, sources, float)
    if density is None:
        raise AlloyFileError(key, "density_kg_m3", "every alloy needs a density")
    is_carbon_steel = given["family"] == "carbon-steel"
    return Alloy(
        key=key,
        name=given["name"],
        family=given["family"],
        hardens=given["hardens"],
        density_kg_m3=density,
        **heats,
        ac1_c=andrews.ac1_figure(composition) if is_carbon_steel else None,
        ms_c=andrews.ms_figure(composition) if is_carbon_steel else None,
        quench=_quench(key, given, sources),
        temper=_temper(key, given, sources),
        composition=composition,
        hazards=tuple(given.get("hazards", ())),
        note=given.get("note", ""),
    )


def celsius(given: str) -> float:
    """A temperature as the file writes it, in °C.

    Args:
        given: a number and C, F or K, such as "2150 F".

    Returns:
        Temperature [°C], not rounded.

    Raises:
        ValueError: it is not a number and C, F or K.

    >>> celsius("1832 F")
    1000.0
    """
    number, unit = given.split()
    scales: dict[str, Callable[[float], float]] = {
        "C": lambda value: value,
        "F": lambda value: (value - 32) / 1.8,
        "K": lambda value: value - 273.15,
    }
    if unit not in scales:
        raise ValueError(f"'{given}' is not a temperature; write a number and C, F or K.")
    return scales[unit](float(number))


def _cited(key: str, name: str, source: object, sources: Sources) -> tuple[str, str]:
    if not isinstance(source, str) or source not in sources:
        raise AlloyFileError(key, name, f"{source!r} is not one of the sources")
    return sources[source]


def _figure(
    key: str,
    name: str,
    given: Mapping[str, Any],
    sources: Sources,
    read: Callable[[str], float],
) -> Figure | None:
    if name not in given:
        return None
    pair = given[name]
    if not isinstance(pair, list) or len(pair) != 2:
        raise AlloyFileError(key, name, "write the figure and its source")
    text, mark = _cited(key, name, pair[1], sources)
    return Figure(read(pair[0]), text, mark, str(pair[0]))


def _composition(key: str, given: Mapping[str, Any], sources: Sources) -> dict[str, Figure]:
    parts = dict(given.get("composition", {}))
    if not parts:
        return {}
    text, mark = _cited(key, "composition", parts.pop("source", None), sources)
    return {element: Figure(float(percent), text, mark) for element, percent in parts.items()}


def _quench(key: str, given: Mapping[str, Any], sources: Sources) -> Said | None:
    if "quench" not in given:
        return None
    words, source = given["quench"]
    text, mark = _cited(key, "quench", source, sources)
    return Said(words, text, mark)


def _temper(key: str, given: Mapping[str, Any], sources: Sources) -> tuple[Temper, ...]:
    table = given.get("temper", {})
    if not table:
        return ()
    text, mark = _cited(key, "temper", table.get("source"), sources)
    rows = table["rows"]
    return tuple(
        Temper(celsius(heat), float(low), float(high), text, mark) for heat, low, high in rows
    )
