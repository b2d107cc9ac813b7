"""Every figure and formula with its source, its mark and its check, read from the code itself.

Nothing is written down a second time here, so the page cannot drift from what is computed: the
alloys come from the book, constants from the modules, formulas from the docstrings' Source
sections, checks from the tests that are held against something published. A higher floor names
its own packages through `also_show`. Pure.
"""

import ast
import importlib
import inspect
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from types import FunctionType, ModuleType
from typing import Any

from stock.alloys import Alloy, Book, Figure

ROOT = Path(__file__).resolve().parent.parent
PACKAGES: list[str] = ["billets", "stock", "stock.cutting"]
MARK_WORDS: Mapping[str, str] = {
    "read": "read in the source named",
    "memory": "recalled, not looked up again",
    "practice": "common practice of the trade",
    "shop": "entered by this shop",
    "derived": "follows from a law, a definition or another line here",
    "own": "our own rule or picture",
}
_SECTION = re.compile(r"^\s*Source:\s*$", re.MULTILINE)
_MARKED = (
    ("from memory", "memory"),
    ("(read)", "read"),
    ("common practice", "practice"),
    ("rule of thumb", "practice"),
    ("custom", "practice"),
    ("our own", "own"),
    ("the shop", "shop"),
)


@dataclass(frozen=True)
class Known:
    """One figure or formula: its name, its value or what it gives, source, mark."""

    name: str
    value: str
    source: str
    mark: str


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


def also_show(package: str) -> None:
    """Let a higher floor's package stand on the page as well.

    Args:
        package: its dotted name.

    Source:
        Imports go down only, so a lower floor is told of a higher one.
    """
    if package not in PACKAGES:
        PACKAGES.append(package)
        known_modules.cache_clear()


def alloy_figures(alloys: Book) -> tuple[KnownAlloy, ...]:
    """Every alloy of a book with every figure that is known of it.

    Args:
        alloys: every alloy by key.

    Returns:
        Alloys in the order of the book; a figure as its source writes it.

    Source:
        Beside each figure.
    """
    return tuple(
        KnownAlloy(alloy.key, alloy.name, tuple(_of_alloy(alloy))) for alloy in alloys.values()
    )


@cache
def known_modules() -> tuple[KnownModule, ...]:
    """Every pure module that has a figure or a formula, in the order of its name.

    Returns:
        Modules of the packages that are to be shown.

    Source:
        The code.
    """
    checks = published_checks()
    found = (_module(name, checks.get(name, ())) for name in pure_modules(PACKAGES))
    return tuple(one for one in found if one.figures or one.formulas)


def pure_modules(packages: Sequence[str]) -> tuple[str, ...]:
    """Modules that import no Django, themselves or through another of ours.

    Args:
        packages: dotted names of packages, each with its own modules only.

    Returns:
        Dotted names in order.

    Source:
        The import statements, as they are written.
    """
    every = {name: _imports(path) for name, path in _files(packages).items()}
    impure = {name for name, used in every.items() if any(_is_django(one) for one in used)}
    while True:
        more = {
            name
            for name, used in every.items()
            if name not in impure and any(one in impure for one in used)
        }
        if not more:
            return tuple(sorted(set(every) - impure))
        impure |= more


@cache
def published_checks() -> dict[str, tuple[str, ...]]:
    """Tests that hold a module against something published, by the module's name.

    Returns:
        File names by dotted module name; nothing where the tests are not installed.

    Source:
        The imports of tests/published.
    """
    found: dict[str, list[str]] = {}
    for path in sorted((ROOT / "tests" / "published").glob("test_*.py")):
        for name in _imports(path):
            found.setdefault(name, []).append(f"tests/published/{path.name}")
    return {name: tuple(dict.fromkeys(files)) for name, files in found.items()}


def source_of(docstring: str) -> str:
    """The Source section of a docstring, in one line.

    Args:
        docstring: as written.

    Returns:
        Its words; empty when it has no such section.

    Source:
        The house style of docstrings.

    >>> source_of('''A sum.
    ...
    ...     Source:
    ...         Addition.
    ...
    ...     >>> 1 + 1
    ...     2
    ... ''')
    'Addition.'
    """
    match = _SECTION.search(docstring)
    if match is None:
        return ""
    lines = []
    for line in docstring[match.end() :].strip("\n").splitlines():
        if not line.strip() or line.strip().startswith(">>>"):
            break
        lines.append(line.strip())
    return " ".join(lines)


def mark_of(source: str) -> str:
    """How far a source may be trusted, from its own words.

    Args:
        source: a Source section.

    Returns:
        A key of `MARK_WORDS`; "derived" when it names a law, a definition or another module.

    Source:
        The words that the house style prescribes.

    >>> mark_of("Shida (1969), from memory")
    'memory'
    """
    words = source.lower()
    return next((mark for sign, mark in _MARKED if sign in words), "derived")


def _module(name: str, checks: tuple[str, ...]) -> KnownModule:
    module = importlib.import_module(name)
    purpose = (module.__doc__ or "").strip().split("\n")[0]
    return KnownModule(
        name=name,
        purpose=purpose,
        figures=tuple(_constants(module)),
        formulas=tuple(_formulas(module)),
        checks=checks,
    )


def _constants(module: ModuleType) -> Iterator[Known]:
    """Figures that a module names itself; those it imports stand with their own module."""
    for name in _assigned(module):
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
        yield Known(name, _shown(value), str(value.source), str(value.mark))


def _shown(value: Any) -> str:
    """A figure as its source writes it, or the fields of a row of a table."""
    if isinstance(value, Figure):
        return value.given or f"{value.value:g}"
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
            yield Known(one.name, _shown(value), value.source, value.mark)
    if alloy.quench is not None:
        yield Known("quench", alloy.quench.text, alloy.quench.source, alloy.quench.mark)
    for element, figure in alloy.composition.items():
        yield Known(f"{element}, %", _shown(figure), figure.source, figure.mark)
    for row in alloy.temper:
        hardness = f"{row.low_hrc:g} to {row.high_hrc:g} HRC"
        yield Known(f"temper at {row.temperature_c:.0f} °C", hardness, row.source, row.mark)


def _files(packages: Sequence[str]) -> dict[str, Path]:
    """Every module of the packages by its dotted name."""
    return {
        f"{package}.{path.stem}": path
        for package in packages
        for path in sorted((ROOT / package.replace(".", "/")).glob("*.py"))
        if path.stem != "__init__"
    }


@cache
def _imports(path: Path) -> frozenset[str]:
    """What a file imports, by dotted name; `from a import b` counts as a and as a.b."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {one.name for one in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module} | {f"{node.module}.{one.name}" for one in node.names}
    return frozenset(found)


def _is_django(name: str) -> bool:
    return name.split(".")[0] in {"django", "django_htmx", "csp", "template_partials"}


def _assigned(module: ModuleType) -> list[str]:
    """Names that a module gives a value to itself."""
    path = Path(module.__file__ or "")
    names: list[str] = []
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.Assign):
            names += [one.id for one in node.targets if isinstance(one, ast.Name)]
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            names.append(node.target.id)
    return names
