"""The cautions that a sheet prints."""

import dataclasses

import pytest

from billets.findings import cautions as module
from billets.findings import joins
from billets.findings.cautions import cautions
from billets.layup import limits, window
from billets.layup.design import Design
from stock.alloys import andrews
from stock.alloys.book import MARKS, Figure
from tests.billets.stacks import around, cased, clad, core, five, lay, line

ALWAYS = {
    "carbon-monoxide", "cleaners", "galvanised", "quench-oil", "arc", "fire", "noise", "deference",
}  # fmt: skip


def codes(design: Design) -> list[str]:
    return [one.code for one in cautions(cased(design))]


def said(design: Design, code: str, system: str = "inch") -> str:
    (one,) = [each for each in cautions(cased(design)) if each.code == code]
    return one.sentence(system)


@pytest.mark.parametrize(
    ("design", "metals"),
    [
        (five(), ["copper-fume"]),
        (around(core(), clad("410"), line()), ["copper-fume", "chromium"]),
        (around(core(), clad("304"), line()), ["copper-fume", "nickel", "chromium"]),
        (around(core(), clad(), line("c26000")), ["zinc-fume", "copper-fume"]),
        (around(core(), clad(), line("c75200")), ["zinc-fume", "copper-fume", "nickel"]),
        (around(core(), clad(), line("fine-silver")), ["silver"]),
        (around(core("1095"), clad("wrought-iron")), []),
        (around(core(), clad("unobtanium"), line()), ["copper-fume"]),
        (lay(), []),
    ],
)
def test_a_sheet_warns_of_the_metals_that_are_in_the_stack(
    design: Design, metals: list[str]
) -> None:
    assert set(codes(design)) - {"seam"} == ALWAYS | set(metals)
    assert len(codes(design)) == len(set(codes(design)))


def test_the_gravest_comes_first_and_who_decides_last() -> None:
    stack = around(core(), clad("304"), line("c26000"))

    assert codes(stack) == [
        "carbon-monoxide", "cleaners", "zinc-fume", "seam", "galvanised", "quench-oil", "arc",
        "fire", "chromium", "copper-fume", "nickel", "noise", "deference",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("process", "shades"),
    [
        ("gas tungsten arc", "8, from 150 A 10;"),
        ("gas metal arc", "7, from 60 A 10;"),
        ("stick", "7, from 60 A 8, from 160 A 10, from 250 A 11."),
    ],
)
def test_each_way_of_welding_has_its_own_shade(process: str, shades: str) -> None:
    # 29 CFR 1910.133 (a)(5), the rows of the three processes
    assert f"{process} {shades}" in said(five(), "arc")


def test_a_shut_stack_can_burst_and_open_seams_squirt_copper() -> None:
    shut = said(five(), "seam")
    steel = around(core("1095"), clad("wrought-iron"), seam_closed=False)

    assert "A stack that is wet inside can burst: it must be dry before it is shut." in shut
    assert "Molten copper squirts from an open seam." in shut
    assert shut.endswith("Stand clear of the edges.")
    assert "burst" not in said(five(seam_closed=False), "seam")
    assert "seam" not in codes(steel)


def test_what_makes_phosgene_and_what_burns_is_said_of_cleaning() -> None:
    words = said(five(), "cleaners")

    assert "Never a chlorinated cleaner" in words
    assert "phosgene, which kills" in words
    assert "let it dry" in words


def test_a_fire_watch_of_an_hour_is_marked_as_recalled() -> None:
    assert "at least 60 where the code in force asks it (newer fire codes, from memory)" in said(
        five(), "fire"
    )
    assert module.FIRE_WATCH_NEWER_MIN.mark == "memory"
    assert module.FIRE_WATCH_MIN.mark == "read"


def test_the_last_word_is_whom_to_follow() -> None:
    last = cautions(cased(five()))[-1]

    for words in ("maker's instructions", "local rules", "licensed professional"):
        assert words in last.sentence("metric")


@pytest.mark.parametrize(
    ("code", "figure"),
    [
        ("copper-fume", "0.1 mg/m³ (OSHA, fume; ACGIH 0.2)"),
        ("carbon-monoxide", "50 ppm over 8 h (OSHA), 35 ppm and never above 200 ppm (NIOSH)"),
        ("arc", "Filter shade at least (29 CFR 1910.133): gas tungsten arc 8"),
        ("noise", "90 dBA (OSHA), 85 dBA (NIOSH)"),
        ("fire", "a fire watch for at least 30 minutes"),
        ("quench-oil", "Never put water on an oil fire"),
        ("galvanised", "Never heat galvanised"),
    ],
)
def test_a_caution_prints_the_published_limit(code: str, figure: str) -> None:
    assert figure in said(five(), code)


def test_zinc_prints_its_limit_and_what_was_written_about_it() -> None:
    design = around(core(), clad(), line("c26000"), zinc_control="hood on,  nobody inside")

    words = said(design, "zinc-fume", "metric")

    assert "5 mg/m³ (OSHA, zinc oxide fume)" in words
    assert "907 °C (1665 °F)" in words
    assert words.endswith("Recorded control: hood on, nobody inside")


def test_distances_are_in_the_readers_system() -> None:
    assert "35 ft away" in said(five(), "fire", "inch")
    assert "11 m away" in said(five(), "fire", "metric")


def test_nickel_and_chromium_print_their_limits() -> None:
    design = around(core(), clad("304"), line())

    assert "1 mg/m³ (OSHA)" in said(design, "nickel")
    assert "0.005 mg/m³ (OSHA)" in said(design, "chromium")


def test_a_limit_from_memory_says_so() -> None:
    assert "from memory" in said(around(core(), clad(), line("fine-silver")), "silver")


@pytest.mark.parametrize("where", [module, joins, window, limits, andrews])
def test_no_constant_stands_without_a_source_and_a_mark(where: object) -> None:
    tables = [value for value in vars(where).values() if isinstance(value, dict)]
    figures = [value for value in vars(where).values() if isinstance(value, Figure)]
    figures += [one for table in tables for one in table.values() if isinstance(one, Figure)]

    assert figures
    for figure in figures:
        assert figure.source.strip()
        assert figure.mark in MARKS


def test_a_caution_carries_the_figures_it_rests_on() -> None:
    (copper,) = [one for one in cautions(cased(five())) if one.code == "copper-fume"]

    assert [figure.value for figure in copper.figures] == [0.1, 0.2]
    assert dataclasses.is_dataclass(copper)
