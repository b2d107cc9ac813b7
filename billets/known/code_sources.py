"""What the code says about itself: what it imports, what its docstrings give as their source.

Reads files and docstrings only; what is shown of them is `billets.known.how_we_know`'s. Pure.
"""

import ast
import re
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parents[2]
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


def pure_modules(packages: Sequence[str]) -> tuple[str, ...]:
    """Modules that import no Django, themselves or through another of ours.

    Args:
        packages: dotted names of packages; the rooms inside them belong to them.

    Returns:
        Dotted names in order.
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

    >>> mark_of("Shida (1969), from memory")
    'memory'
    """
    words = source.lower()
    return next((mark for sign, mark in _MARKED if sign in words), "derived")


def _files(packages: Sequence[str]) -> dict[str, Path]:
    """Every module of the packages and of the rooms inside them, by its dotted name."""
    return {
        ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"): path
        for package in packages
        for path in sorted((ROOT / package.replace(".", "/")).rglob("*.py"))
        if "migrations" not in path.parts
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


def assigned(module: ModuleType) -> list[str]:
    """Names that a module gives a value to itself.

    Args:
        module: an imported module.

    Returns:
        Names at its top level, in order.
    """
    path = Path(module.__file__ or "")
    names: list[str] = []
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.Assign):
            names += [one.id for one in node.targets if isinstance(one, ast.Name)]
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            names.append(node.target.id)
    return names
