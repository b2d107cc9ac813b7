"""The working window and the hardening heats against it."""

import pytest

from billets.layup import limits
from stock.alloys.book import book
from stock.house import House
from tests.billets.stacks import (
    around,
    clad,
    codes,
    core,
    five,
    heat,
    judged,
    line,
    only,
    own,
)


def test_a_margin_and_hot_spot_of_39_degrees_is_too_little() -> None:
    rules = limits.rules_of(House(ceiling_margin_c=25, hot_spot_c=14))

    one = only(judged(five(), rules=rules), "small-allowance")

    assert one.level == "care"
    assert one.sentence("metric") == (
        "Margin and hot spot together are 39 °C (70 °F). A forge is not even and no eye reads "
        "heat that closely: copper runs. Set them to 40 °C (72 °F) or more together."
    )


def test_a_margin_and_hot_spot_of_40_degrees_is_enough() -> None:
    rules = limits.rules_of(House(ceiling_margin_c=20, hot_spot_c=20))

    assert "small-allowance" not in {one.code for one in judged(five(), rules=rules)}


def test_an_empty_window_gives_ceiling_and_floor_and_what_to_change() -> None:
    one = only(judged(around(core(), clad(), line("c52100"))), "no-window")

    assert one.sentence("inch") == (
        "There is no working window: the ceiling is 1467 °F (797 °C), the floor 1500 °F "
        "(816 °C). Layers 1, 3 and 5 must not be worked colder than the floor; hotter than the "
        "ceiling layers 2 and 4 may melt. Choose a steel for layers 1, 3 and 5 that may be "
        "worked colder, or a metal for layers 2 and 4 that melts higher, such as oxygen-free "
        "copper."
    )
    assert one.figure is not None
    assert one.figure.value == pytest.approx(797.222, abs=0.001)


def test_a_ceiling_that_equals_the_floor_is_no_window() -> None:
    alloys = {**book(), "even": own("even", forge_min_c=heat(980.0))}

    found = judged(around(core(), clad("even"), line()), alloys=alloys)

    assert "no-window" in codes(found, "stop")


def test_a_window_of_exactly_100_degrees_is_not_narrow() -> None:
    alloys = {**book(), "near": own("near", forge_min_c=heat(880.0))}

    assert judged(around(core(), clad("near"), line()), alloys=alloys) == ()


def test_a_narrow_window_says_how_wide_it_is() -> None:
    one = only(judged(around(core("52100"), clad(), line())), "narrow-window")

    assert one.layers == (2, 1, 3)
    assert one.sentence("metric").startswith(
        "The working window is only 53 °C (96 °F) wide: from 927 °C (1700 °F) to 980 °C (1796 °F)."
    )


def test_a_narrow_window_under_ordinary_copper_says_what_better_copper_gives() -> None:
    one = only(judged(around(core("52100"), clad(), line())), "narrow-window")

    assert one.words("metric").to_do == (
        "Take short heats and measure the heat, or use oxygen-free copper (C10200), which lifts "
        "the ceiling by 18 °C (32 °F)."
    )


def test_a_narrow_window_under_bronze_asks_for_another_steel() -> None:
    one = only(judged(around(core(), clad(), line("c51000"))), "narrow-window")

    assert one.words("inch").to_do.endswith(
        "choose a steel for layers 1, 3 and 5 that may be worked colder."
    )


def test_a_ceiling_above_common_practice_is_noted() -> None:
    found = judged(around(core(), clad(), line("c10200")))

    assert codes(found, "note") == {"above-practice"}
    assert "stays under about 1800 °F (982 °C), a red heat" in found[0].sentence("inch")


def test_a_line_of_unknown_solidus_is_a_stop() -> None:
    alloys = {**book(), "mystery": own("mystery", family="bronze")}

    found = judged(around(core(), clad(), line("mystery")), alloys=alloys)

    assert codes(found, "stop") == {"solidus-unknown"}
    assert "at what heat layers 2 and 4 start to melt" in found[0].sentence("inch")


def test_a_stack_of_which_no_floor_is_known_says_so() -> None:
    alloys = {
        **book(),
        "bare": own("bare"),
        "edge": own("edge", hardens=True, austenitise_low_c=heat(800.0)),
    }

    found = judged(around(core("edge"), clad("bare"), line()), alloys=alloys)

    assert codes(found, "note") == {"floor-unknown"}


def test_a_core_that_hardens_above_the_ceiling_is_offered_cooler_steels() -> None:
    one = only(judged(around(core("420"), clad(), line())), "core-hardening-heat")

    assert one.sentence("metric") == (
        "Layer 3 (420 stainless) hardens from 980 °C (1796 °F), and the ceiling of this stack "
        "is 980 °C (1796 °F). The line would run before the core is hard. Choose a core that "
        "hardens below the ceiling, such as 1075, 1080, 1084, 1095."
    )


def test_a_core_whose_range_passes_the_ceiling_is_hardened_low() -> None:
    one = only(judged(around(core("410"), clad(), line())), "core-hardening-near")

    assert one.level == "care"
    assert "goes up to 1010 °C (1850 °F), past the ceiling of 980 °C" in one.sentence("metric")


def test_a_core_of_unknown_hardening_heat_is_a_care() -> None:
    alloys = {**book(), "scrap": own("scrap", hardens=True, forge_min_c=heat(820.0))}

    found = judged(around(core("scrap"), clad(), line()), alloys=alloys)

    assert codes(found, "care") == {"core-heat-unknown"}


def test_stainless_cladding_that_hardens_past_the_coppers_ceiling_is_a_care() -> None:
    one = only(judged(around(core(), clad("410"), line())), "cladding-hardening-heat")

    assert one.layers == (0, 4)
    assert one.sentence("inch").startswith(
        "Layers 1 and 5 (410 stainless) harden fully only at 1850 °F (1010 °C), past the ceiling "
        "of 1796 °F (980 °C)."
    )
