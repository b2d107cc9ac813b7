"""The colours of tokens.css hold the contrast that people need, in both themes.

Source of the ratio and the limits: W3C, Web Content Accessibility Guidelines 2.2,
"relative luminance", "contrast ratio", 1.4.3 (text 4.5:1) and 1.4.11 (edges 3:1).
"""

import re
from pathlib import Path

import pytest

STATIC = Path(__file__).resolve().parents[3] / "shop" / "static" / "shop"
TOKENS = (STATIC / "tokens.css").read_text()
PAIR = re.compile(r"--([\w-]+): light-dark\((#[0-9a-f]{6}), (#[0-9a-f]{6})\);")
SINGLE = re.compile(r"--([\w-]+): (#[0-9a-f]{6});")
THEMES = {
    "light": {name: light for name, light, _ in PAIR.findall(TOKENS)},
    "dark": {name: dark for name, _, dark in PAIR.findall(TOKENS)},
}
SHEETS = sorted(STATIC.glob("*.css"))
RAW_COLOURS_BELONG = {"tokens.css", "print.css", "sheet.css"}
GROUNDS = ("paper", "plate", "sunk")
WORDS = ("ink", "ink-soft", "copper", "copper-deep", "stop", "care", "note")
TEXT_LIMIT = 4.5
EDGE_LIMIT = 3.0


def luminance(colour: str) -> float:
    """Relative luminance of "#rrggbb", 0 to 1."""
    shares = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [("#000000", "#ffffff", 21.0), ("#ffffff", "#ffffff", 1.0), ("#777777", "#ffffff", 4.48)],
)
def test_the_ratio_agrees_with_known_pairs(one: str, other: str, ratio: float) -> None:
    # Black on white is 21:1 by definition; #777 on white is the well-known near miss, 4.48:1.
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("word", WORDS)
def test_text_is_readable_on_every_ground(theme: str, ground: str, word: str) -> None:
    colours = THEMES[theme]

    assert contrast(colours[word], colours[ground]) >= TEXT_LIMIT


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("fill", ["copper", "copper-deep"])
def test_a_button_is_readable_on_its_copper(theme: str, fill: str) -> None:
    colours = THEMES[theme]

    assert contrast(colours["on-copper"], colours[fill]) >= TEXT_LIMIT


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("ground", GROUNDS)
def test_the_edge_of_a_field_can_be_seen(theme: str, ground: str) -> None:
    colours = THEMES[theme]

    assert contrast(colours["edge"], colours[ground]) >= EDGE_LIMIT


@pytest.mark.parametrize("theme", THEMES)
def test_copper_stands_out_from_the_steel_beside_it_in_hue_and_the_core_in_light(
    theme: str,
) -> None:
    colours = THEMES[theme]
    red, green, blue = (int(colours["metal-copper"][at : at + 2], 16) for at in (1, 3, 5))

    assert red - blue > 100
    assert red > green > blue
    assert contrast(colours["metal-steel"], colours["metal-core"]) > 2


def test_browsers_without_light_dark_get_the_light_half_of_every_colour() -> None:
    fallback = dict(SINGLE.findall(TOKENS.split("@supports not")[1]))

    assert fallback == THEMES["light"]
    assert len(fallback) == 22


@pytest.mark.parametrize(
    "path",
    [path for path in SHEETS if path.name not in RAW_COLOURS_BELONG],
    ids=lambda path: path.name,
)
def test_a_component_takes_its_colours_from_the_tokens(path: Path) -> None:
    # The colours of hot steel are the same in both themes and used in one place.
    rules = [line for line in path.read_text().splitlines() if "stop-color" not in line]

    assert [line for line in rules if re.search(r"#[0-9a-fA-F]{3,8}\b", line)] == []


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.name)
def test_every_name_that_a_style_sheet_uses_is_a_token(path: Path) -> None:
    text = path.read_text()
    known = set(re.findall(r"--([\w-]+):", TOKENS + text))

    assert set(re.findall(r"var\(--([\w-]+)", text)) <= known
