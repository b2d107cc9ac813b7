"""Templates: lines that fit a screen, parts told from pages by their name, none left behind."""

from __future__ import annotations

import re
from collections.abc import Collection
from pathlib import Path

import pytest

from tests.house.source import FLOORS, ROOT, made, python_files

LONGEST_LINE = 120
# Folders that hold parts and nothing else.
PARTS = {"django", "parts", "svg"}
# Django asks for these itself, by name.
BY_NAME = {"400.html", "403.html", "403_csrf.html", "404.html", "405.html", "500.html"}
BY_NAME |= {"django/forms/div.html", "django/forms/field.html"}


def templates(root: Path = ROOT) -> dict[str, str]:
    """The text of every template, by the name that Django knows it by."""
    folder = root / "templates"
    return {
        path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted(folder.rglob("*.html"))
    }


def long_lines(root: Path = ROOT) -> list[str]:
    """Lines that are longer than a screen is wide."""
    return [
        f"{name}:{number} has {len(line)} characters"
        for name, text in templates(root).items()
        for number, line in enumerate(text.splitlines(), 1)
        if len(line) > LONGEST_LINE
    ]


def asked_by_templates(tag: str, root: Path = ROOT) -> set[str]:
    """Templates that others include or extend; of `page.html#part` the page."""
    found = re.compile(rf"\{{%-?\s*{tag}\s+[\"']([^\"'#]+)")
    return {name for text in templates(root).values() for name in found.findall(text)}


def asked_by_modules(root: Path = ROOT) -> set[str]:
    """Templates that our modules name."""
    return {
        name
        for path in python_files(*FLOORS, root=root)
        for name in re.findall(r"[\"']([\w/]+\.html)\b", path.read_text(encoding="utf-8"))
    }


def says_part(name: str) -> bool:
    """Whether a template's name or folder says that it is part of a page."""
    folder, _, last = name.rpartition("/")
    return last.startswith("_") or folder.split("/")[0] in PARTS


def unsaid_parts(root: Path = ROOT) -> list[str]:
    """Templates that others include though their name does not say so."""
    return sorted(name for name in asked_by_templates("include", root) if not says_part(name))


def parts_as_pages(root: Path = ROOT) -> list[str]:
    """Templates extended, or extending, under the name of a part."""
    extended = asked_by_templates("extends", root)
    extending = {name for name, text in templates(root).items() if "{% extends" in text}
    return sorted(name for name in extended | extending if says_part(name))


def left_behind(root: Path = ROOT, *, by_name: Collection[str] = BY_NAME) -> list[str]:
    """Templates that nobody includes, extends or renders."""
    asked = asked_by_templates("include", root) | asked_by_templates("extends", root)
    return sorted(set(templates(root)) - asked - asked_by_modules(root) - set(by_name))


def missing(root: Path = ROOT) -> list[str]:
    """Templates that are asked for and are not there."""
    asked = asked_by_templates("include", root) | asked_by_templates("extends", root)
    return sorted((asked | asked_by_modules(root)) - set(templates(root)))


def blindly_included(root: Path = ROOT) -> list[str]:
    """Templates that include one by a variable: no reader could tell which."""
    blind = re.compile(r"\{%-?\s*(?:include|extends)\s+[^\"'\s]")
    return [name for name, text in templates(root).items() if blind.search(text)]


def test_no_line_is_longer_than_a_screen() -> None:
    assert long_lines() == []


def test_what_is_included_is_named_as_a_part() -> None:
    assert len(asked_by_templates("include")) > 50
    assert unsaid_parts() == []


def test_a_page_is_not_named_as_a_part() -> None:
    assert parts_as_pages() == []


def test_no_template_is_left_behind_or_missing() -> None:
    assert left_behind() == []
    assert missing() == []


def test_a_template_says_by_name_what_it_includes() -> None:
    assert blindly_included() == []


# Every rule, seen to fail.


def test_a_long_line_is_named(tmp_path: Path) -> None:
    text = "<p>\n" + "x" * LONGEST_LINE + "\n" + "x" * (LONGEST_LINE + 1) + "\n"

    assert long_lines(made(tmp_path, {"templates/shop/home.html": text})) == [
        "shop/home.html:3 has 121 characters"
    ]


@pytest.mark.parametrize("tag", ['{% include "shop/row.html" %}', "{%- include 'shop/row.html' %}"])
def test_a_part_with_the_name_of_a_page_is_named(tag: str, tmp_path: Path) -> None:
    fine = '{% include "shop/_row.html" %}{% include "svg/bar.html" %}{% extends "base.html" %}'

    assert unsaid_parts(made(tmp_path, {"templates/shop/a.html": fine + tag})) == ["shop/row.html"]


def test_a_page_with_the_name_of_a_part_is_named(tmp_path: Path) -> None:
    page = '{% extends "shop/_frame.html" %}'

    assert parts_as_pages(made(tmp_path, {"templates/parts/rack.html": page})) == [
        "parts/rack.html",
        "shop/_frame.html",
    ]


def test_a_template_left_behind_and_one_that_is_missing_are_named(tmp_path: Path) -> None:
    made(
        tmp_path,
        {
            "templates/404.html": "",
            "templates/base.html": "",
            "templates/shop/page.html": '{% extends "base.html" %}{% include "shop/_gone.html" %}',
            "templates/shop/old.html": '{% extends "base.html" %}',
            "templates/shop/_old.html": "",
            "shop/views.py": 'PAGE, GONE = "shop/page.html#rows", "shop/gone.html"',
        },
    )

    assert left_behind(tmp_path) == ["shop/_old.html", "shop/old.html"]
    assert missing(tmp_path) == ["shop/_gone.html", "shop/gone.html"]


def test_a_template_included_by_a_variable_is_named(tmp_path: Path) -> None:
    made(tmp_path, {"templates/shop/page.html": "{% include drawing.template %}"})

    assert blindly_included(tmp_path) == ["shop/page.html"]
