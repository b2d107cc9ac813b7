"""Every page template keeps to the strict content policy and to our own class names.

The sheets for paper (templates/pdf) go through another engine and are left out.
"""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
STATIC = ROOT / "shop" / "static" / "shop"
PAGES = sorted(path for path in (ROOT / "templates").rglob("*.html") if "pdf" not in path.parts)
STYLED = set(
    re.findall(
        r"\.([a-z][\w-]*)",
        "".join(re.sub(r"\.\d", "", path.read_text()) for path in STATIC.glob("*.css")),
    )
)


def name_of(path: Path) -> str:
    """A template's name, as Django asks for it."""
    return path.relative_to(ROOT / "templates").as_posix()


def markup_of(path: Path) -> str:
    """A template without its comments."""
    text = re.sub(r"\{% comment %\}.*?\{% endcomment %\}", "", path.read_text(), flags=re.DOTALL)
    return re.sub(r"\{#.*?#\}", "", text)


@pytest.mark.parametrize("path", PAGES, ids=name_of)
def test_a_template_has_no_inline_style_script_or_handler(path: Path) -> None:
    markup = markup_of(path)

    assert re.findall(r"\sstyle\s*=|<style\b|\son[a-z]+\s*=\s*[\"']|javascript:", markup) == []
    assert [tag for tag in re.findall(r"<script\b[^>]*>", markup) if "src=" not in tag] == []


@pytest.mark.parametrize("path", PAGES, ids=name_of)
def test_a_template_uses_only_classes_that_a_style_sheet_names(path: Path) -> None:
    used: set[str] = set()
    for value in re.findall(r"\bclass=\"([^\"]*)\"", markup_of(path)):
        # A class made by a tag is followed no further than its fixed words.
        fixed = re.sub(r"[\w-]*(\{\{.*?\}\}|\{%.*?%\})[\w-]*", " ", value)
        used |= {word for word in fixed.split() if re.fullmatch(r"[a-z][\w-]*", word)}

    assert used - STYLED == set()
