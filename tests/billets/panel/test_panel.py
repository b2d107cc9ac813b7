"""What the live panel says of a stack, in both systems, and what it keeps silent about."""

import time
from dataclasses import replace
from typing import Any

import pytest

from billets.drawings.heat import melting_limits
from billets.forging.calibration import calibrate
from billets.layup.case import case_of
from billets.panel.figures import force_text, percent_text, seconds_text, time_left_text
from billets.panel.panel import glance_words, panel_of
from stock.alloys.book import book
from stock.house import House
from tests.billets.stacks import around, cased, clad, core, five, lay, line, nine

INCH = House(system="inch", press_n=222_411)
METRIC = House(system="metric")


def words(lines: tuple[Any, ...]) -> dict[str, str]:
    """Figures by their word."""
    return {one.word: f"{one.text} {one.second}".strip() for one in lines}


def test_a_sound_stack_says_its_sums_in_inches() -> None:
    panel = panel_of(cased(five(), INCH))

    said = words(panel.sums)
    assert said["Stack, cleaned"] == "0.512 in"  # 13 mm
    assert said["Joined"] == "bonded below the copper's melting point"
    assert said["Blanks to cut"] == "5 × 5.906 in 1.181 in wide"  # 150 by 30 mm
    assert (panel.stops, panel.cares) == (0, 0)


def test_the_ceiling_stands_with_what_came_off_the_solidus() -> None:
    panel = panel_of(cased(five(), METRIC))

    said = words(panel.heat.figures)
    assert said["Ceiling"] == "980 °C 1796 °F"  # 1065 less 65 and 20
    assert said["Floor"] == "816 °C 1500 °F"
    assert said["Margin"] == "65 °C (117 °F)"
    assert said["Hot spots of the forge"] == "20 °C (36 °F)"
    assert any("Pure copper melts at 1085 °C (1984 °F)" in why for why in panel.heat.why)


def test_the_bar_shows_the_copper_that_was_bought_and_pure_copper_beside_it() -> None:
    assert melting_limits(cased(five())) == (
        ("C11000", 1_065_000),
        ("pure copper", 1_084_620),
    )


def test_oxygen_free_copper_has_no_second_line_of_its_own_beside_it() -> None:
    design = around(core(), clad(), line("c10200"))

    assert melting_limits(cased(design)) == (("C10200", 1_083_000),)


def test_silver_on_copper_is_marked_where_the_two_melt_together() -> None:
    design = around(core(), clad(), line("c11000"), line("fine-silver"))

    names = [name for name, _ in melting_limits(cased(design))]

    assert names[0] == "silver on copper"


def test_a_press_that_is_too_small_shows_the_bite_that_it_can_take() -> None:
    panel = panel_of(cased(five(), INCH))

    last = panel.drawn.schedule[-1]
    assert last.work == "flatten"
    assert last.is_too_much
    figures = words(panel.drawn.figures)
    assert figures["The shop's press"] == "25.0 tons"
    assert figures["Smallest bite"].startswith(f"{last.bite} in heat {last.heat}; ")
    assert figures["Smallest bite"].endswith(f"would take {last.force}")
    assert "Most force" not in figures


def test_a_press_that_is_strong_enough_shows_the_most_force_that_it_needs() -> None:
    panel = panel_of(cased(five(), replace(INCH, press_n=9_000_000)))

    figures = words(panel.drawn.figures)
    assert figures["The shop's press"] == "1012 tons"  # 9 MN / 8896.44
    assert figures["Most force"].endswith("at the floor")
    assert "Smallest bite" not in figures
    assert not any(row.is_too_much for row in panel.drawn.schedule)


def test_a_shop_without_a_press_works_by_hand() -> None:
    panel = panel_of(cased(five(), METRIC))

    assert words(panel.drawn.figures)["Worked with"] == "hand hammer no press is set in Shop"
    assert {row.bite for row in panel.drawn.schedule} == {"by hand"}
    assert not any(row.is_too_much for row in panel.drawn.schedule)


def test_every_heat_has_a_thickness_for_every_layer_in_the_ratio_of_the_stack() -> None:
    panel = panel_of(cased(five(), METRIC))

    assert len(panel.drawn.layers) == len(panel.drawn.schedule) == 7
    assert panel.drawn.layers[-1].thicknesses == (
        "2 mm",
        "0.25 mm",
        "2 mm",
        "0.25 mm",
        "2 mm",
    )  # 13 mm to 6.5 mm


def test_a_stack_without_a_window_keeps_its_size_and_says_why_there_is_no_schedule() -> None:
    house = House(system="metric", ceiling_margin_c=300)

    panel = panel_of(cased(five(), house))

    assert panel.drawn.schedule == ()
    assert "no working window" in panel.drawn.refused
    assert panel.drawn.finish is not None
    assert "no-window" in {one.code for one in panel.findings if one.level == "stop"}


def test_an_empty_layup_still_has_a_panel() -> None:
    panel = panel_of(cased(lay(), INCH))

    assert panel.stack is None
    assert panel.stops >= 1
    assert panel.card is None
    assert glance_words(panel, house=INCH).startswith("0 in high")


def test_an_alloy_that_nobody_knows_leaves_its_mass_out_and_is_said() -> None:
    panel = panel_of(cased(five().with_layers([clad("unobtainium"), core()]), INCH))

    assert words(panel.sums)["Mass"].startswith("not known")
    assert panel.stack is not None


def test_a_bar_of_steel_says_that_it_is_forge_welded() -> None:
    panel = panel_of(cased(lay(clad("1084"), clad("15n20"), clad("1084")), INCH))

    assert words(panel.sums)["Joined"] == "forge-welded"


def test_the_line_for_a_phone_says_height_window_and_the_worst() -> None:
    sound = panel_of(cased(five(), METRIC))
    wrong = panel_of(cased(lay(clad(), clad(), core(), line()), METRIC))

    assert glance_words(sound, house=METRIC) == "13 mm high · 816 to 980 °C · sound"
    assert glance_words(wrong, house=METRIC).endswith("stops")


def test_a_finding_names_its_layers_from_the_bottom_face() -> None:
    panel = panel_of(cased(lay(clad(), clad(), line(), core()), INCH))

    joins = next(one for one in panel.findings if one.level == "stop" and 1 in one.layers)
    assert joins.layers == (1, 2)
    assert joins.layer_words == "layers 1 and 2"


def test_without_five_billets_the_forecast_says_that_the_spread_is_the_published_one() -> None:
    few = calibrate([], crop_ratio=0.04)

    panel = panel_of(cased(five(), INCH, calibration=few))

    assert "Tomlinson" in words(panel.drawn.figures)["Spread"]


@pytest.mark.parametrize(
    ("newtons", "system", "said"),
    [(8_896.443230521, "inch", "1.0 tons"), (222_411.0, "inch", "25.0 tons"),
     (1_366_493.7, "inch", "154 tons"),
     (222_411.0, "metric", "222 kN")],
)  # fmt: skip
def test_a_force_is_said_in_tons_or_kilonewtons(newtons: float, system: str, said: str) -> None:
    assert force_text(newtons, system=system) == said


def test_times_and_shares_have_no_digits_that_mean_nothing() -> None:
    assert [seconds_text(one) for one in (0, 37.6, 119.4, 120, 250)] == [
        "0 s",
        "38 s",
        "119 s",
        "2 min",
        "4 min",
    ]
    # A time to work in is never told longer than it is.
    assert [time_left_text(one) for one in (0, 37.9, 119.9, 120, 209, 250)] == [
        "0 s",
        "37 s",
        "119 s",
        "2 min",
        "3 min 20 s",
        "4 min 10 s",
    ]
    assert [percent_text(one) for one in (0, 0.0451, 0.0994, 0.15)] == [
        "0.0 %",
        "4.5 %",
        "9.9 %",
        "15 %",
    ]


def test_the_whole_panel_of_nine_layers_takes_less_than_a_tenth_of_a_second() -> None:
    alloys = book()
    panel_of(case_of(nine(), alloys=alloys, house=INCH))

    began = time.process_time()
    for _ in range(5):
        panel_of(case_of(nine(), alloys=alloys, house=INCH))

    assert (time.process_time() - began) / 5 < 0.1
