"""The page for contributors holds true: its names exist, and its picture is the house as it is.

Run as `python -m tests.test_developers_page`, it draws the picture's levels afresh.
"""

from __future__ import annotations

import ast
import importlib
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from django.core.management import get_commands

ROOT = Path(__file__).resolve().parent.parent
FLOORS = ("stock", "billets", "shop")
DEVELOPERS = ROOT / "DEVELOPERS.md"
PAGES = (ROOT / "README.md", DEVELOPERS)
# Written like a path, and none of ours: a zone, and a folder that the app makes.
NO_PATHS = {"Europe/Oslo", "data/backups"}
DJANGO_FOLDERS = {"migrations", "templatetags", "management", "commands"}  # no rooms of ours
ENDINGS = "py|md|toml|lock|html|css|js|gz"
ROOM_LINE = re.compile(r"^ +(\d+) +(\S+) +(\S.*)$")


def quoted(text: str) -> list[str]:
    """What a page has between backticks, outside its blocks of code."""
    prose = re.sub(r"^```.*?^```", "", text, flags=re.DOTALL | re.MULTILINE)
    return re.findall(r"`([^`\n]+)`", prose)


def paths_in(text: str) -> set[str]:
    """Files and folders that a page names, in backticks or as a picture."""
    folder = re.compile(rf"\.?[A-Za-z][\w.-]*(/[\w.-]+)+/?|[\w.-]+/|[\w-]+\.({ENDINGS})")
    named = {one for one in quoted(text) if folder.fullmatch(one)} - NO_PATHS
    return named | set(re.findall(r"\]\(([^):]+)\)", text))


def is_there(path: str) -> bool:
    """Whether a file or a folder exists; a bare name may stand anywhere in the house."""
    if "/" in path or (ROOT / path).exists():
        return (ROOT / path).exists()
    return any(next((ROOT / floor).rglob(path), None) for floor in FLOORS)


def dotted_in(text: str) -> set[str]:
    """Names of modules, functions and values of ours that a page has in backticks."""
    name = re.compile(rf"({'|'.join((*FLOORS, 'tests'))})(\.[A-Za-z_]\w*)+")
    run = re.findall(r"python -m ([\w.]+)", text)
    return {one for one in (*quoted(text), *run) if name.fullmatch(one)} - paths_in(text)


def resolves(name: str) -> bool:
    """Whether a dotted name leads to a module, or to what stands in one."""
    parts = name.split(".")
    found: Any = importlib.import_module(parts[0])
    for end, part in enumerate(parts[1:], start=2):
        if not hasattr(found, part):
            try:
                importlib.import_module(".".join(parts[:end]))
            except ModuleNotFoundError:
                return False
        found = getattr(found, part)
    return True


def commands_in(text: str) -> set[str]:
    """Commands of manage.py that a page names, in prose or in blocks of code."""
    others = " ".join(line for line in text.splitlines() if line.startswith("Other commands:"))
    bare = {one.split()[0] for one in quoted(others) if not one.startswith("-")}
    return bare | set(re.findall(r"manage\.py ([a-z_]+)", text))


def imported(path: Path) -> set[str]:
    """What a file imports from, at the top or inside a function: modules and what is in them."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            found |= {one.name for one in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module} | {f"{node.module}.{one.name}" for one in node.names}
    return found


def house() -> dict[str, tuple[str, Path]]:
    """Every module that has something in it, by dotted name: its folder, dotted, and its file."""
    found: dict[str, tuple[str, Path]] = {}
    for path in (path for floor in FLOORS for path in (ROOT / floor).rglob("*.py")):
        folder = ".".join(path.parent.relative_to(ROOT).parts)
        if path.name != "__init__.py":
            found[f"{folder}.{path.stem}"] = (folder, path)
        elif path.read_text().strip():
            found[folder] = (folder, path)
    return found


def levels() -> dict[str, int]:
    """Each room with its level: one above the highest room of its floor that it imports."""
    files = house()
    needs: dict[str, set[str]] = {}
    for folder, path in files.values():
        if folder in FLOORS or set(folder.split(".")) & DJANGO_FOLDERS:
            continue
        floor = folder.split(".")[0] + "."
        used = {files[name][0] for name in imported(path) & files.keys()} - {folder}
        needs.setdefault(folder, set()).update(one for one in used if one.startswith(floor))
    return ranked(needs)


def ranked(needs: Mapping[str, set[str]]) -> dict[str, int]:
    """Levels of rooms by what each needs; rooms that need each other in a circle get none."""
    found: dict[str, int] = {}
    waiting = set(needs)
    while free := {room for room in waiting if not needs[room] & waiting}:
        for room in free:
            found[room] = 1 + max((found[one] for one in needs[room] & found.keys()), default=0)
        waiting -= free
    return found


def picture(text: str) -> list[str]:
    """The lines of the picture of the house."""
    return next(
        block.splitlines()
        for block in re.findall(r"^```\n(.*?)^```$", text, re.DOTALL | re.MULTILINE)
        if block.startswith("shop ")
    )


def drawn(text: str) -> dict[str, int]:
    """Rooms and levels as the picture has them."""
    found: dict[str, int] = {}
    floor = ""
    for line in picture(text):
        room = ROOM_LINE.match(line)
        if room is None:
            floor = line.split()[0]
        else:
            found[f"{floor}.{room[2].replace('/', '.')}"] = int(room[1])
    return found


def redrawn(text: str, *, rooms: Mapping[str, int]) -> str:
    """The page with its rooms at these levels; a new room waits for its words."""
    words: dict[str, str] = {}
    heads: dict[str, str] = {}
    for line in picture(text):
        room = ROOM_LINE.match(line)
        if room is None:
            heads[floor := line.split()[0]] = line
        else:
            words[f"{floor}.{room[2].replace('/', '.')}"] = room[3]
    lines: list[str] = []
    for floor, head in heads.items():
        here = sorted(
            (-level, name) for name, level in rooms.items() if name.startswith(f"{floor}.")
        )
        short = {name: name.removeprefix(f"{floor}.").replace(".", "/") for _, name in here}
        lines.append(head)
        lines += [f"  {-top:2}  {short[name]:<14} {words.get(name, '…')}" for top, name in here]
    return text.replace("\n".join(picture(text)), "\n".join(lines))


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_file_that_a_page_names_is_there(page: Path) -> None:
    named = paths_in(page.read_text())

    assert len(named) > 3
    assert {path for path in named if not is_there(path)} == set()


@pytest.mark.slow
@pytest.mark.parametrize(("page", "least"), [(PAGES[0], 1), (PAGES[1], 20)], ids=["README", "DEV"])
def test_every_dotted_name_of_a_page_leads_somewhere(page: Path, least: int) -> None:
    named = dotted_in(page.read_text())

    assert len(named) >= least
    assert {name for name in named if not resolves(name)} == set()


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_command_that_a_page_names_is_there(page: Path) -> None:
    named = commands_in(page.read_text())

    assert named >= {"start", "test", "check_ledger"}
    assert named - get_commands().keys() == set()


@pytest.mark.slow
def test_the_picture_has_every_room_at_its_level() -> None:
    assert drawn(DEVELOPERS.read_text()) == levels(), (
        "Draw it afresh: .venv/bin/python -m tests.test_developers_page"
    )


def test_a_picture_drawn_afresh_moves_drops_and_adds_rooms() -> None:
    page = "Before\n```\nshop  the business\n   2  old  gone\n   1  rates  by day\n```\nAfter\n"

    found = redrawn(page, rooms={"shop.rates": 3, "shop.new.door": 1})

    assert found == (
        "Before\n```\nshop  the business\n"
        "   3  rates          by day\n   1  new/door       …\n```\nAfter\n"
    )


def test_rooms_that_need_each_other_have_no_level() -> None:
    needs = {"low": set[str](), "high": {"low"}, "top": {"high", "low"}, "a": {"b"}, "b": {"a"}}

    assert ranked(needs) == {"low": 1, "high": 2, "top": 3}


@pytest.mark.parametrize(
    "breach",
    [
        "`shop/planning/gone.py`",
        "`gone.py`",
        "`gone/`",
        "![A picture](tests/browser/shots/gone.png)",
    ],
)
def test_a_file_that_is_not_there_is_seen(breach: str) -> None:
    assert not any(is_there(path) for path in paths_in(breach))
    assert paths_in(breach)


@pytest.mark.parametrize("name", ["shop.planning.gone", "shop.gone", "stock.models.Piece.gone"])
def test_a_name_that_leads_nowhere_is_seen(name: str) -> None:
    assert dotted_in(f"by `{name}` only") == {name}
    assert not resolves(name)


def test_a_command_that_is_not_there_is_seen() -> None:
    assert commands_in("`python3 manage.py gone`\nOther commands: `away NAME`.") == {"gone", "away"}


if __name__ == "__main__":
    text = DEVELOPERS.read_text()
    DEVELOPERS.write_text(redrawn(text, rooms=levels()))
