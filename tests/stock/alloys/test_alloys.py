"""The book of alloys: every figure has a source, keys are found, a shop's own are added."""

import dataclasses
import itertools
import math
import pickle
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from stock.alloys import book as alloys
from stock.alloys.book import (
    MARKS,
    Alloy,
    Figure,
    Said,
    Temper,
    UnknownAlloy,
    alloy_name,
    book,
    find,
    merged,
    shop_alloy,
    short_name,
)

FILE = Path(alloys.__file__).with_name("alloys.toml")
RAW: dict[str, Any] = tomllib.loads(FILE.read_text(encoding="utf-8"))
PLAIN = {"name", "family", "hardens", "hazards", "note"}


def everything(alloy: Alloy) -> Iterator[Figure | Said | Temper]:
    for field in dataclasses.fields(alloy):
        value = getattr(alloy, field.name)
        if isinstance(value, Figure | Said):
            yield value
        elif isinstance(value, tuple):
            yield from (one for one in value if isinstance(one, Temper))
        elif field.name == "composition":
            yield from value.values()


@pytest.mark.parametrize("key", RAW["alloys"])
def test_no_figure_in_the_file_stands_without_a_source_and_a_mark(key: str) -> None:
    for name, given in RAW["alloys"][key].items():
        if name in PLAIN:
            continue
        source = given["source"] if isinstance(given, dict) else given[1]
        assert source in RAW["sources"], f"{key} {name}"
        assert RAW["sources"][source]["mark"] in {"read", "memory", "practice"}
        assert RAW["sources"][source]["text"].strip()


@pytest.mark.parametrize("key", RAW["alloys"])
def test_no_figure_as_read_stands_without_value_source_and_mark(key: str) -> None:
    found = list(everything(book()[key]))

    assert found
    for one in found:
        assert one.source.strip()
        assert one.mark in MARKS
        if isinstance(one, Figure):
            assert math.isfinite(one.value)


def test_every_source_that_is_marked_from_memory_says_so_or_is_known_to_be() -> None:
    for name, source in RAW["sources"].items():
        if source["mark"] == "memory":
            assert "from memory" in source["text"], name


def test_every_source_is_used() -> None:
    used = {
        given["source"] if isinstance(given, dict) else given[1]
        for alloy in RAW["alloys"].values()
        for name, given in alloy.items()
        if name not in PLAIN
    }

    assert used == set(RAW["sources"])


WANTED = """1075 1080 1084 1095 15n20 5160 52100 80crv2 o1 w2 26c3 1018 wrought-iron pure-iron 410
420 304 316 nickel-200 c11000 c10100 c10200 c12200 c26000 c51000 c52100 c22000 c75200 c71500
fine-silver er70s-6"""


def test_the_book_has_the_alloys_of_the_trade() -> None:
    assert set(book()) == set(WANTED.split())


@pytest.mark.parametrize("key", book())
def test_temperatures_of_an_alloy_stand_in_the_right_order(key: str) -> None:
    alloy = book()[key]
    pairs = [
        (alloy.forge_min_c, alloy.forge_max_c),
        (alloy.austenitise_low_c, alloy.austenitise_high_c),
        (alloy.forge_max_c, alloy.solidus_c),
    ]

    for low, high in pairs:
        if low is not None and high is not None:
            assert low.value < high.value
    if alloy.solidus_c and alloy.liquidus_c:
        assert alloy.solidus_c.value <= alloy.liquidus_c.value


@pytest.mark.parametrize("key", book())
def test_a_composition_is_never_more_than_the_whole(key: str) -> None:
    percents = [figure.value for figure in book()[key].composition.values()]

    assert all(0 < percent <= 100 for percent in percents)
    assert sum(percents) <= 100.0


@pytest.mark.parametrize("key", [key for key, alloy in book().items() if alloy.hardens])
def test_every_steel_that_hardens_has_a_quench_and_a_hardening_range(key: str) -> None:
    alloy = book()[key]

    assert alloy.quench is not None
    assert alloy.austenitise_low_c is not None
    assert alloy.austenitise_high_c is not None


@pytest.mark.parametrize("key", [key for key, alloy in book().items() if alloy.temper])
def test_a_hotter_temper_is_never_harder(key: str) -> None:
    rows = book()[key].temper

    assert [row.temperature_c for row in rows] == sorted(row.temperature_c for row in rows)
    for cooler, hotter in itertools.pairwise(rows):
        assert hotter.high_hrc <= cooler.high_hrc
        assert hotter.low_hrc <= hotter.high_hrc


def test_figures_read_in_fahrenheit_are_turned_exactly_and_kept_as_given() -> None:
    figure = find("1080").forge_max_c

    assert figure is not None
    assert figure.value == pytest.approx(1176.667, abs=0.001)
    assert figure.given == "2150 F"
    assert figure.mark == "read"


LOW = """c11000 c10100 c10200 c12200 c26000 c51000 c52100 c22000 c75200 c71500 fine-silver"""


def test_coppers_bronzes_brasses_and_silver_cannot_stand_forge_welding_heat() -> None:
    low = {key for key, alloy in book().items() if alloys.is_low_melting(alloy)}

    assert low == set(LOW.split())


def test_zinc_is_known_in_brass_commercial_bronze_and_nickel_silver() -> None:
    zinc = {key for key, alloy in book().items() if alloy.bears_zinc}

    assert zinc == {"c26000", "c22000", "c75200"}


@pytest.mark.parametrize("key", book())
def test_the_hazards_named_are_those_of_the_composition(key: str) -> None:
    alloy = book()[key]
    percent = {element: figure.value for element, figure in alloy.composition.items()}

    assert ("zinc-fume" in alloy.hazards) is (percent.get("Zn", 0) >= 1)
    assert ("copper-fume" in alloy.hazards) is (percent.get("Cu", 0) >= 50)
    assert ("chromium" in alloy.hazards) is (percent.get("Cr", 0) >= 4)
    assert ("nickel" in alloy.hazards) is (percent.get("Ni", 0) >= 5)
    assert ("silver" in alloy.hazards) is (percent.get("Ag", 0) >= 50)


@pytest.mark.parametrize("text", ["c11000", "C11000", "  C11000 "])
def test_a_key_is_found_however_it_is_written(text: str) -> None:
    assert find(text).key == "c11000"


def test_an_unknown_key_is_refused_with_those_near_it() -> None:
    with pytest.raises(UnknownAlloy) as refused:
        find("c1100")

    assert refused.value.near == ("c11000", "c10100")
    assert str(refused.value) == (
        "No alloy has the key 'c1100'. Did you mean c11000 or c10100? Choose one from the list, "
        "or add it as your own."
    )


def test_a_key_like_no_other_is_refused_without_a_guess() -> None:
    with pytest.raises(UnknownAlloy, match=r"'unobtanium'\. Choose one from the list"):
        find("unobtanium")


def test_the_book_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        book()["1084"] = find("1095")  # type: ignore[index]  # the point of the test


def test_an_alloy_can_be_sent_to_another_process() -> None:
    alloy = find("5160")

    assert pickle.loads(pickle.dumps(alloy)) == alloy


def test_a_shops_alloy_is_added_and_every_figure_is_marked_as_the_shops() -> None:
    ladder = alloys.shop_alloy(
        key="ladder",
        name="ladder bar",
        family="carbon-steel",
        hardens=True,
        density_kg_m3=7850,
        forge_min_c=816,
        note="1095 and 15N20",
    )

    merged = alloys.merged([ladder])

    assert merged["ladder"].is_shop_made
    assert {one.mark for one in everything(merged["ladder"])} == {"shop"}
    assert merged["ladder"].solidus_c is None
    assert merged["1084"] == find("1084")
    assert "ladder" not in book()


def test_a_shops_alloy_may_take_the_place_of_a_published_one() -> None:
    own = alloys.shop_alloy(
        key="1084", name="1084 of our heat", family="carbon-steel", hardens=True, density_kg_m3=7840
    )

    assert alloys.merged([own])["1084"].name == "1084 of our heat"
    assert find("1084").name == "1084"


def test_a_shops_brass_is_taken_to_fume() -> None:
    own = alloys.shop_alloy(
        key="bell", name="bell brass", family="brass", hardens=False, density_kg_m3=8500
    )

    assert own.hazards == ("zinc-fume", "copper-fume")
    assert own.bears_zinc
    assert own.is_low_melting


@pytest.mark.parametrize(
    ("key", "colour"),
    [("c11000", "copper"), ("c71500", "nickel"), ("c75200", "nickel"), ("15n20", "carbon-steel")],
)
def test_copper_with_much_nickel_in_it_is_drawn_white(key: str, colour: str) -> None:
    assert find(key).colour == colour


def test_a_temperature_that_no_alloy_has_is_refused() -> None:
    with pytest.raises(TypeError, match="dew_point_c is not a temperature of an alloy"):
        alloys.shop_alloy(
            key="x", name="x", family="iron", hardens=False, density_kg_m3=7800, dew_point_c=4
        )


def test_a_family_that_nobody_knows_counts_as_other() -> None:
    own = alloys.shop_alloy(
        key="x", name="x", family="moonmetal", hardens=False, density_kg_m3=5000
    )

    assert own.family == "other"
    assert not own.is_low_melting


def test_an_alloy_is_named_in_full_or_by_its_first_word() -> None:
    own = shop_alloy(
        key="own", name="Anna's bronze", family="copper", hardens=False, density_kg_m3=8800
    )
    alloys = merged([own])

    assert alloy_name("c11000", book=alloys) == "C11000 tough-pitch copper"
    assert short_name("c11000", book=alloys) == "C11000"
    assert short_name("own", book=alloys) == "Anna's bronze"
    assert (alloy_name("gone", book=alloys), short_name("gone", book=alloys)) == ("gone", "gone")
