"""The heat-treatment card: figures with their source, beside what the copper can stand."""

from dataclasses import replace
from typing import Any

import pytest

from billets.heat.treatment import CONFIRM, Card, treatment_card
from billets.layup import design as layup_design
from billets.layup import limits
from billets.layup.window import window
from stock.alloys.book import Alloy, Figure, Said, Temper, book, find
from stock.house import House

COPPER_CEILING_C = 980.0  # 1065 °C less 85


def invented(**changes: Any) -> Alloy:
    """A core steel with round figures."""
    steel = Alloy(
        key="invented",
        name="Invented steel",
        family="carbon-steel",
        hardens=True,
        density_kg_m3=Figure(7850, "invented", "shop"),
        normalise_c=Figure(900, "book A", "read"),
        austenitise_low_c=Figure(800, "book A", "read"),
        austenitise_high_c=Figure(830, "book B", "memory"),
        quench=Said("fast oil", "book C", "practice"),
        temper=(Temper(200, 60, 61, "book A", "read"), Temper(250, 57, 57, "book A", "read")),
    )
    return replace(steel, **changes)


def card(**changes: Any) -> Card:
    """Its card under copper."""
    return treatment_card(invented(**changes), ceiling_c=COPPER_CEILING_C)


def test_a_card_has_its_four_steps_in_order_each_beside_the_ceiling() -> None:
    found = card()

    assert [step.name for step in found.steps] == ["normalise", "harden", "quench", "temper"]
    assert {step.ceiling_c for step in found.steps} == {980.0}
    assert found.is_possible
    assert found.warnings("inch") == ()


def test_every_step_names_its_source_and_the_worse_of_its_marks() -> None:
    normalise, harden, quench, temper = card().steps

    assert (normalise.source, normalise.mark) == ("book A", "read")
    assert (harden.source, harden.mark) == ("book A; book B", "memory")
    assert (quench.source, quench.mark, quench.text("inch")) == ("book C", "practice", "fast oil")
    assert (temper.low_c, temper.high_c) == (200, 250)


def test_temperatures_are_said_in_the_shops_scale_first() -> None:
    harden = card().steps[1]

    assert harden.text("inch") == "1472 °F · 800 °C to 1526 °F · 830 °C"
    assert harden.text("metric").startswith("800 °C · 1472 °F to 830 °C")


def test_the_temper_table_is_on_the_card() -> None:
    assert [row.text("metric") for row in card().tempers] == [
        "200 °C · 392 °F: 60 to 61 HRC",
        "250 °C · 482 °F: 57 HRC",
    ]


def test_a_step_partly_above_the_ceiling_is_warned_about() -> None:
    found = card(
        austenitise_low_c=Figure(950, "book A", "read"),
        austenitise_high_c=Figure(1010, "book A", "read"),
    )

    assert found.steps[1].passes_ceiling
    assert not found.steps[1].is_impossible
    assert found.is_possible
    (warning,) = found.warnings("inch")
    assert "must stay under 1796 °F" in warning
    assert "cool end" in warning


def test_a_step_wholly_above_the_ceiling_cannot_be_done() -> None:
    found = card(
        austenitise_low_c=Figure(1010, "book A", "read"),
        austenitise_high_c=Figure(1065, "book A", "read"),
    )

    assert not found.is_possible
    assert "cannot be done without melting a layer" in found.warnings("metric")[0]


def test_a_step_with_only_its_hot_end_known_is_taken_at_it() -> None:
    harden = card(austenitise_low_c=None).steps[1]

    assert (harden.low_c, harden.high_c) == (830, 830)
    assert harden.text("metric") == "830 °C · 1526 °F"


def test_what_is_not_known_is_said_and_never_guessed() -> None:
    found = card(normalise_c=None, quench=None, temper=())

    assert found.missing == ("normalise", "quench", "temper")
    assert found.steps[0].text("inch") == "not known here; take it from the steel's own data"
    assert not found.steps[0].passes_ceiling
    assert found.tempers == ()


def test_a_stack_without_a_low_melting_layer_has_no_ceiling_to_pass() -> None:
    found = treatment_card(invented(), ceiling_c=None)

    assert found.warnings("inch") == ()


def test_a_core_that_does_not_harden_gets_a_reason_in_place_of_steps() -> None:
    found = treatment_card(find("1018"), ceiling_c=COPPER_CEILING_C)

    assert found.steps == ()
    assert "does not harden by quenching" in found.why


def test_every_card_says_to_confirm() -> None:
    assert "Confirm against your steel's own data" in CONFIRM
    assert card().confirm == CONFIRM
    assert treatment_card(find("1018"), ceiling_c=None).confirm == CONFIRM


def test_sources_are_listed_once_each() -> None:
    assert card().sources == (
        ("book A", "read"),
        ("book A; book B", "memory"),
        ("book C", "practice"),
    )


def test_a_1084_core_under_ordinary_copper_can_be_treated() -> None:
    # 1084 austenitises at 1475 to 1500 °F, far below 1065 - 65 - 20 = 980 °C.
    design = layup_design.Design(
        layers=(
            layup_design.Layer("1018", 2_540_000),
            layup_design.Layer("c11000", 508_000, "line"),
            layup_design.Layer("1084", 3_810_000, "core"),
            layup_design.Layer("c11000", 508_000, "line"),
            layup_design.Layer("1018", 2_540_000),
        ),
        blank_length_nm=152_400_000,
        blank_width_nm=31_750_000,
        finish_thickness_nm=4_762_500,
    )
    ceiling_c = window(design, book(), limits.rules_of(House())).ceiling_c

    found = treatment_card(find("1084"), ceiling_c=ceiling_c)

    assert ceiling_c == pytest.approx(980)
    assert found.is_possible
    assert found.steps[1].text("inch").startswith("1475 °F")


@pytest.mark.parametrize("key", [key for key, alloy in book().items() if alloy.hardens])
def test_every_figure_of_every_hardening_steel_has_a_source(key: str) -> None:
    found = treatment_card(book()[key], ceiling_c=COPPER_CEILING_C)

    for step in found.steps:
        assert step.name in found.missing or (step.source and step.mark)
    for row in found.tempers:
        assert row.source
        assert row.mark
