"""Every figure and formula with its source, its mark and its check, read from the code itself.

Nothing is written down a second time here, so the page cannot drift from what is computed: the
alloys come from the book, constants from the modules, formulas from the docstrings' Source
sections, checks from the tests that are held against something published. A higher floor names
its own packages through `also_show`. Pure.
"""

import importlib
import inspect
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cache
from types import FunctionType, ModuleType
from typing import Any

from billets.known.code_sources import MARK_WORDS as MARK_WORDS
from billets.known.code_sources import assigned, published_checks
from billets.known.code_sources import mark_of as mark_of
from billets.known.code_sources import pure_modules as pure_modules
from billets.known.code_sources import source_of as source_of
from stock.alloys.book import Alloy, Book, Figure

PACKAGES: list[str] = ["billets", "stock", "stock.cutting"]
WORDS: dict[str, str] = {
    "billets": "The metalwork",
    "stock": "The metal and its books",
    "stock.cutting": "Cutting",
}
# The unit that a name ends in, as a reader writes it.
UNITS: Mapping[str, str] = {
    "_per_percent": "°C per %",
    "_kg_m3": "kg/m³",
    "_mg_m3": "mg/m³",
    "_w_m2k4": "W/(m²·K⁴)",
    "_per_s": "1/s",
    "_percent": "%",
    "_deg": "°",
    "_mm": "mm",
    "_c": "°C",
    "_s": "s",
}
_BARE_DEGREES = re.compile(r"(?<=\d) ([CF])$")  # the book of alloys writes "1369 C"


@dataclass(frozen=True)
class Known:
    """One figure or formula: its name, its value or what it gives, source, mark."""

    name: str
    value: str
    source: str
    mark: str

    @property
    def word(self) -> str:
        """The name for a reader: no underscores, its unit left to the value."""
        stem, row = self.name.lower().partition("[")[::2]
        ending = next((one for one in UNITS if stem.endswith(one)), "")
        said = stem.removesuffix(ending).replace("_", " ")
        word = self.name if "%" in self.name or "°" in self.name else said
        return f"{word} ({self.name.partition('[')[2].rstrip(']')})" if row else word


@dataclass(frozen=True)
class KnownModule:
    """One module: what it is for, its constants, its formulas, the checks it is held against."""

    name: str
    purpose: str
    figures: tuple[Known, ...]
    formulas: tuple[Known, ...]
    checks: tuple[str, ...]


@dataclass(frozen=True)
class KnownAlloy:
    """One alloy with every figure that is known of it."""

    key: str
    name: str
    figures: tuple[Known, ...]


def also_show(package: str, *, words: str = "") -> None:
    """Let a higher floor's package stand on the page as well.

    Args:
        package: its dotted name.
        words: what to call it on the page; its name where there are none.
    """
    WORDS[package] = words or package
    if package not in PACKAGES:
        PACKAGES.append(package)
        known_modules.cache_clear()


def alloy_figures(alloys: Book) -> tuple[KnownAlloy, ...]:
    """Every alloy of a book with every figure that is known of it.

    Args:
        alloys: every alloy by key.

    Returns:
        Alloys in the order of the book; a figure as its source writes it.
    """
    return tuple(
        KnownAlloy(alloy.key, alloy.name, tuple(_of_alloy(alloy))) for alloy in alloys.values()
    )


@cache
def known_modules() -> tuple[KnownModule, ...]:
    """Every pure module that has a figure or a formula, in the order of its name.

    Returns:
        Modules of the packages that are to be shown.
    """
    checks = published_checks()
    found = (_module(name, checks.get(name, ())) for name in pure_modules(PACKAGES))
    return tuple(one for one in found if one.figures or one.formulas)


def _module(name: str, checks: tuple[str, ...]) -> KnownModule:
    module = importlib.import_module(name)
    purpose = (module.__doc__ or "").strip().split("\n")[0].replace("`", "")
    return KnownModule(
        name=name,
        purpose=purpose.removesuffix(" Pure."),
        figures=tuple(_constants(module)),
        formulas=tuple(_formulas(module)),
        checks=checks,
    )


def _constants(module: ModuleType) -> Iterator[Known]:
    """Figures that a module names itself; those it imports stand with their own module."""
    for name in assigned(module):
        yield from _figures_in(name, getattr(module, name, None))


def _figures_in(name: str, value: Any) -> Iterator[Known]:
    """Figures in a constant, or in the rows of a table."""
    if isinstance(value, Mapping):
        for key, one in value.items():
            yield from _figures_in(f"{name}[{key}]", one)
    elif isinstance(value, tuple | list):
        for at, one in enumerate(value):
            yield from _figures_in(f"{name}[{at}]", one)
    elif hasattr(value, "source") and hasattr(value, "mark") and not isinstance(value, type):
        yield Known(name, _with_unit(name, _shown(value)), str(value.source), str(value.mark))


def _with_unit(name: str, text: str) -> str:
    """A bare number with the unit that its name ends in; a figure that has one keeps it."""
    stem = name.lower().partition("[")[0]
    ending = next((one for one in UNITS if stem.endswith(one)), "")
    try:
        float(text)
    except ValueError:
        return text
    return f"{text} {UNITS[ending]}" if ending else text


def _shown(value: Any) -> str:
    """A figure on the scale of its source, or the fields of a row of a table."""
    if isinstance(value, Figure):
        return _BARE_DEGREES.sub(r" °\1", value.given) or f"{value.value:g}"
    parts = [
        f"{one.name.replace('_', ' ')} {getattr(value, one.name)}"
        for one in fields(value)
        if one.name not in ("source", "mark")
    ]
    return ", ".join(parts)


def _formulas(module: ModuleType) -> Iterator[Known]:
    """Public functions of a module, with what each gives and where that is from."""
    for name, value in vars(module).items():
        is_own = isinstance(value, FunctionType) and value.__module__ == module.__name__
        if name.startswith("_") or not is_own:
            continue
        docstring = inspect.getdoc(value) or ""
        source = source_of(docstring)
        if source:
            yield Known(name, docstring.split("\n")[0], source, mark_of(source))


def _of_alloy(alloy: Alloy) -> Iterator[Known]:
    """Every figure, statement and table of an alloy."""
    for one in fields(alloy):
        value = getattr(alloy, one.name)
        if isinstance(value, Figure):
            yield Known(one.name, _with_unit(one.name, _shown(value)), value.source, value.mark)
    if alloy.quench is not None:
        yield Known("quench", alloy.quench.text, alloy.quench.source, alloy.quench.mark)
    for element, figure in alloy.composition.items():
        yield Known(f"{element}, %", _shown(figure), figure.source, figure.mark)
    for row in alloy.temper:
        low, high = f"{row.low_hrc:g}", f"{row.high_hrc:g}"
        hardness = f"{low} HRC" if low == high else f"{low} to {high} HRC"
        yield Known(f"temper at {row.temperature_c:.0f} °C", hardness, row.source, row.mark)
