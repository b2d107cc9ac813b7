"""How hot and how cold a stack may be worked, and what says so."""

import pytest

from billets.layup import limits, window
from stock.alloys.book import book
from stock.house import House
from tests.billets.stacks import (
    MM,
    RULES,
    around,
    clad,
    core,
    five,
    heat,
    jacket,
    lay,
    line,
    own,
)


def test_tough_pitch_copper_puts_the_ceiling_at_980_degrees() -> None:
    # 1065 solidus - 65 margin - 20 hot spot; floor 1500 °F
    found = window.window(five(), book(), RULES)

    assert found.ceiling_c == pytest.approx(980.0)
    assert found.ceiling_mdegc == 980_000
    assert found.floor_mdegc == 815_556
    assert found.width_c == pytest.approx(164.444, abs=0.001)
    assert (found.ceiling_rule, found.ceiling_layers) == ("solidus", (1, 3))
    assert found.floor_layers == (0, 2, 4)
    assert found.weld_c is None


def test_oxygen_free_copper_lifts_the_ceiling_by_18_degrees() -> None:
    found = window.window(around(core(), clad(), line("c10200")), book(), RULES)

    assert found.ceiling_c == pytest.approx(998.0)


def test_the_window_says_what_it_rests_on_with_both_coppers_figures() -> None:
    assert window.window(five(), book(), RULES).why("metric") == (
        "Layers 2 and 4 start to melt at 1065 °C (1949 °F).",
        "A margin of 65 °C (117 °F) and 20 °C (36 °F) for the forge's hot spots come off it: "
        "the ceiling is 980 °C (1796 °F).",
        "Pure copper melts at 1085 °C (1984 °F); ordinary copper (C11000) holds a little copper "
        "oxide, and the two start to melt at 1065 °C (1949 °F).",
        "Layers 1, 3 and 5 are not to be forged below 816 °C (1500 °F).",
    )


def test_oxygen_free_copper_is_told_apart_from_the_ordinary_kind() -> None:
    design = around(core(), clad(), line("c10200"))

    why = " ".join(window.window(design, book(), RULES).why("inch"))

    assert "start to melt at 1981 °F (1083 °C)" in why
    assert "Ordinary copper (C11000) would start to melt at 1949 °F (1065 °C)" in why


def test_the_shops_margin_and_hot_spot_move_the_ceiling() -> None:
    rules = limits.rules_of(House(ceiling_margin_c=80, hot_spot_c=35))

    assert window.window(five(), book(), rules).ceiling_c == pytest.approx(950.0)


def test_the_lowest_solidus_rules_and_not_the_first() -> None:
    design = lay(clad(), line("c71500"), core(), line("c11000"), clad())

    found = window.window(design, book(), RULES)

    assert found.ceiling_c == pytest.approx(980.0)
    assert found.ceiling_layers == (3,)


def test_under_cupronickel_the_steel_sets_the_ceiling() -> None:
    # C71500 melts from 2140 °F = 1171.1 °C, less 85 is 1086.1; O1 is spoiled above 1950 °F
    found = window.window(around(core("o1"), clad(), line("c71500")), book(), RULES)

    assert found.ceiling_rule == "forge-max"
    assert found.ceiling_c == pytest.approx(1065.556, abs=0.001)
    assert found.ceiling_layers == (2,)


def test_a_forge_welded_stack_is_ruled_by_its_steels_and_has_a_welding_heat() -> None:
    design = lay(clad("1095"), clad("15n20"), clad("1095"))

    found = window.window(design, book(), RULES)

    assert (found.process, found.ceiling_rule) == ("forge-welded", "forge-max")
    assert found.ceiling_c == pytest.approx(1148.889, abs=0.001)
    assert found.weld_c == pytest.approx((1204.444, 1260.0), abs=0.001)


def test_silver_against_copper_melts_at_the_pairs_own_heat() -> None:
    # 779.1 °C, below silver (961.8) and copper (1065): less 85 is 694.1
    design = around(core(), clad(), line("fine-silver"), line("c11000"))

    found = window.window(design, book(), RULES)

    assert found.ceiling_rule == "pair"
    assert found.ceiling_c == pytest.approx(694.1)
    assert found.ceiling_layers == (1, 2)


def test_silver_with_steel_between_keeps_its_own_melting_point() -> None:
    design = around(core(), clad(), line("fine-silver"), jacket(), line("c11000"))

    assert window.window(design, book(), RULES).ceiling_c == pytest.approx(876.78)


def test_a_line_of_unknown_solidus_leaves_the_ceiling_unknown() -> None:
    alloys = {**book(), "mystery": own("mystery", family="bronze")}

    found = window.window(around(core(), clad(), line("mystery")), alloys, RULES)

    assert found.ceiling_c is None
    assert found.ceiling_rule == "unknown"


def test_the_floor_is_that_of_the_steel_that_may_be_worked_least_cold() -> None:
    alloys = {**book(), "tender": own("tender", forge_min_c=heat(950.0))}

    found = window.window(around(core(), clad("tender"), line()), alloys, RULES)

    assert found.floor_c == 950.0
    assert found.floor_layers == (0, 4)


def test_the_shops_limits_become_rules() -> None:
    rules = limits.rules_of(House(min_core_stack_nm=4 * MM, line_max_nm=600_000))

    assert (rules.min_core_stack_nm, rules.line_max_nm) == (4_000_000, 600_000)
    assert (rules.margin_c, rules.hot_spot_c) == (65.0, 20.0)
    assert rules.core_floor_nm == 650_000  # 0.25 mm edge and 0.2 mm drift either way
