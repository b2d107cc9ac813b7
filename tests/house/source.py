"""Reads our own code as text: modules, what they import, and small trees made to break a rule."""

from __future__ import annotations

import ast
from collections.abc import Mapping
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FLOORS = ("stock", "billets", "shop")  # imports go down only: a floor may import those before it
DJANGO = {"django", "django_htmx", "csp", "template_partials"}
DJANGOS_FOLDERS = {"management", "migrations", "models", "templatetags"}


def python_files(*folders: str, root: Path = ROOT) -> list[Path]:
    """Every module of these folders."""
    return sorted(path for folder in folders for path in (root / folder).rglob("*.py"))


def dotted(path: Path, root: Path = ROOT) -> str:
    """A file's name as it is imported."""
    return ".".join(path.relative_to(root).with_suffix("").parts).removesuffix(".__init__")


def modules(root: Path = ROOT) -> dict[str, Path]:
    """Every module of the three floors, by its dotted name."""
    return {dotted(path, root): path for path in python_files(*FLOORS, root=root)}


@cache
def tree_of(path: Path) -> ast.Module:
    """A file, parsed; each is parsed once."""
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def imported(path: Path) -> frozenset[str]:
    """What a file imports, at the top or inside a function."""
    found: set[str] = set()
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Import):
            found |= {one.name for one in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module} | {f"{node.module}.{one.name}" for one in node.names}
    return frozenset(found)


def impure(root: Path = ROOT) -> set[str]:
    """Modules that know Django: by what they import, through and through, or by where they are."""
    needs = {name: imported(path) for name, path in modules(root).items()}
    found = {
        name
        for name, used in needs.items()
        if DJANGOS_FOLDERS & set(name.split("."))
        or any(one.split(".")[0] in DJANGO for one in used)
    }
    while more := {name for name, used in needs.items() if name not in found and used & found}:
        found |= more
    return found


def made(root: Path, files: Mapping[str, str]) -> Path:
    """A small tree of files, by path; folders of modules become packages."""
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        if path.suffix == ".py":
            for folder in path.relative_to(root).parents[:-1]:
                (root / folder / "__init__.py").touch()
    return root
