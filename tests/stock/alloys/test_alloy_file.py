"""The file of alloys: what is refused in it, and how its temperatures are read."""

from typing import Any

import pytest

from stock.alloys.toml_file import AlloyFileError, alloys_of, celsius

SOUND: dict[str, Any] = {
    "sources": {"mill": {"text": "a mill sheet", "mark": "read"}},
    "alloys": {
        "x": {
            "name": "X",
            "family": "other",
            "hardens": False,
            "density_kg_m3": [7850, "mill"],
        }
    },
}


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"solidus": ["1400 C"]}, "alloys.toml, x, solidus: write the figure and its source."),
        ({"solidus": ["1400 C", "hearsay"]}, "x, solidus: 'hearsay' is not one of the sources."),
        ({"quench": ["oil", "hearsay"]}, "x, quench: 'hearsay' is not one of the sources."),
        ({"composition": {"C": 1.0}}, "x, composition: None is not one of the sources."),
        ({"temper": {"rows": [["400 F", 60, 61]]}}, "x, temper: None is not one of the sources."),
        ({"family": "moonmetal"}, "x, family: it is 'moonmetal', not a known family."),
    ],
)
def test_a_figure_without_a_source_stops_the_file(change: dict[str, Any], sentence: str) -> None:
    data = {**SOUND, "alloys": {"x": SOUND["alloys"]["x"] | change}}

    with pytest.raises(AlloyFileError) as refused:
        alloys_of(data)

    assert sentence in str(refused.value)


def test_a_source_without_a_mark_stops_the_file() -> None:
    data = {**SOUND, "sources": {"mill": {"text": "a mill sheet"}}}

    with pytest.raises(AlloyFileError, match="a source needs a text and a mark"):
        alloys_of(data)


def test_an_alloy_without_density_stops_the_file() -> None:
    bare = {name: value for name, value in SOUND["alloys"]["x"].items() if name != "density_kg_m3"}

    with pytest.raises(AlloyFileError, match="every alloy needs a density"):
        alloys_of({**SOUND, "alloys": {"x": bare}})


@pytest.mark.parametrize(
    ("given", "expected"), [("32 F", 0.0), ("1800 F", 982.222), ("1065 C", 1065.0), ("273.15 K", 0)]
)
def test_temperatures_are_read_in_three_scales(given: str, expected: float) -> None:
    assert celsius(given) == pytest.approx(expected, abs=0.001)


def test_another_scale_is_refused() -> None:
    with pytest.raises(ValueError, match="'80 R' is not a temperature; write a number and C, F or"):
        celsius("80 R")
