"""Style sheets as a checker reads them: no mistakes that a browser passes over in silence."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest
import tinycss2

STATIC = Path(__file__).resolve().parents[3] / "shop" / "static" / "shop"
SHEETS = sorted(STATIC.glob("*.css"))
WITH_RULES = {"media", "container", "layer", "supports", "page"}


def declarations(rules: Iterable[Any]) -> Iterator[tuple[str, list[Any]]]:
    """Each block of declarations with its selector; blocks inside at-rules too."""
    for rule in rules:
        if rule.type == "qualified-rule":
            yield (
                tinycss2.serialize(rule.prelude).strip(),
                tinycss2.parse_blocks_contents(
                    rule.content, skip_comments=True, skip_whitespace=True
                ),
            )
        elif (
            rule.type == "at-rule"
            and rule.content
            and rule.lower_at_keyword in WITH_RULES - {"page"}
        ):
            yield from declarations(
                tinycss2.parse_rule_list(rule.content, skip_comments=True, skip_whitespace=True)
            )


def faults(text: str) -> list[str]:
    """What a browser would pass over: what it cannot read, and what is said twice in one block."""
    rules = tinycss2.parse_stylesheet(text, skip_comments=True, skip_whitespace=True)
    found = [rule.message for rule in rules if rule.type == "error"]
    for selector, block in declarations(rules):
        found += [f"{selector}: {one.message}" for one in block if one.type == "error"]
        names = [one.name for one in block if one.type == "declaration"]
        found += [
            f"{selector}: {name} twice" for name in sorted(set(names)) if names.count(name) > 1
        ]
    return found


def custom(text: str) -> tuple[set[str], set[str]]:
    """Custom properties that a sheet gives a value, and those that it asks for."""
    return set(re.findall(r"(--[\w-]+)\s*:", text)), set(re.findall(r"var\(\s*(--[\w-]+)", text))


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda path: path.name)
def test_a_style_sheet_has_no_mistakes(sheet: Path) -> None:
    assert faults(sheet.read_text()) == []


def test_every_custom_property_that_is_asked_for_is_given() -> None:
    pairs = [custom(path.read_text()) for path in SHEETS]

    given = set[str]().union(*(one for one, _ in pairs))
    asked = set[str]().union(*(one for _, one in pairs))
    assert len(given) > 20
    assert asked - given == set()


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("a { color: red; color: blue; }", "a: color twice"),
        ("@media print { b { margin 0; } }", "b: "),
        ("a { color: red; } }", "EOF reached"),
    ],
)
def test_a_made_mistake_is_found(text: str, fault: str) -> None:
    assert any(one.startswith(fault) for one in faults(text)), faults(text)
