"""The page How we know: no figure without a source and a mark, read from the code itself."""

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from billets.known import how_we_know
from billets.known.how_we_know import MARK_WORDS, alloy_figures, known_modules, mark_of, source_of
from stock.alloys.book import MARKS, book
from tests.kinds import Client, ShopSettings


def test_no_figure_of_an_alloy_is_without_source_and_mark() -> None:
    bare = [
        (alloy.key, one.name)
        for alloy in alloy_figures(book())
        for one in alloy.figures
        if not one.source.strip() or one.mark not in MARKS or not one.value
    ]

    assert bare == []


def test_every_alloy_has_at_least_its_density_on_the_page() -> None:
    figures = {alloy.key: {one.name for one in alloy.figures} for alloy in alloy_figures(book())}

    assert len(figures) == len(book())
    assert all("density_kg_m3" in names for names in figures.values())
    assert "solidus_c" in figures["c11000"]


def test_no_constant_is_without_source_and_mark() -> None:
    bare = [
        (module.name, one.name)
        for module in known_modules()
        for one in module.figures
        if not one.source.strip() or one.mark not in MARKS
    ]

    assert bare == []


def test_no_formula_is_without_source_and_mark() -> None:
    bare = [
        (module.name, one.name)
        for module in known_modules()
        for one in module.formulas
        if not one.source.strip() or one.mark not in MARK_WORDS
    ]

    assert bare == []


def test_figures_that_the_forge_rests_on_are_among_them() -> None:
    named = {
        f"{module.name}.{one.name}": one for module in known_modules() for one in module.figures
    }

    assert named["billets.layup.window.PURE_COPPER_C"].mark == "read"
    assert named["stock.alloys.figures.FORGE_WELD_LOW_C"].value == "2200 °F"
    assert named["billets.findings.cautions.COPPER_PEL_MG_M3"].value == "0.1 mg/m³"
    assert named["billets.heat.cooling.FACE_UP_W_M2K"].mark == "memory"


def test_a_temperature_of_an_alloy_is_written_with_its_degrees() -> None:
    alloy = next(one for one in alloy_figures(book()) if one.key == "1084")
    values = {one.name: one.value for one in alloy.figures}

    assert (values["solidus_c"], values["forge_max_c"]) == ("1369 °C", "2150 °F")


def test_no_temperature_is_left_without_its_degrees() -> None:
    values = [figure.value for one in alloy_figures(book()) for figure in one.figures]
    values += [figure.value for one in known_modules() for figure in one.figures]

    assert [value for value in values if value.endswith((" C", " F"))] == []


def test_every_floor_is_on_the_page() -> None:
    floors = {module.name.partition(".")[0] for module in known_modules()}

    assert floors == {"stock", "billets", "shop"}


def test_a_module_names_the_published_checks_that_it_is_held_against() -> None:
    checks = {module.name: module.checks for module in known_modules()}

    assert checks["billets.heat.section_cooling"] == ("tests/published/test_section_cooling.py",)
    assert "tests/published/test_groover.py" in checks["billets.forging.press"]
    assert "tests/published/test_andrews.py" in checks["stock.alloys.andrews"]


def test_pure_means_pure_through_and_through() -> None:
    pure = how_we_know.pure_modules(["stock", "billets"])

    assert {"billets.heat.cooling", "billets.heat.section_cooling"} <= set(pure)
    assert not {
        "billets.models",
        "billets.history.record",
        "stock.ledger.by_hand",
        "billets.billet.list_views",
    } & set(pure)


@pytest.mark.parametrize(
    ("source", "mark"),
    [
        ("Shida (1969), from memory", "memory"),
        ("EN 1993-1-2 (read)", "read"),
        ("Common practice.", "practice"),
        ("Our own rule.", "own"),
        ("The shop's settings", "shop"),
        ("Conservation of volume.", "derived"),
    ],
)
def test_the_words_of_a_source_say_how_far_to_trust_it(source: str, mark: str) -> None:
    assert mark_of(source) == mark


@pytest.mark.parametrize("docstring", ["", "A sum.", "A sum.\n\nSources:\n    None of ours."])
def test_a_docstring_without_a_source_has_none(docstring: str) -> None:
    assert source_of(docstring) == ""


def test_a_source_of_two_lines_is_read_whole_and_no_further() -> None:
    docstring = "A.\n\nSource:\n    One line\n    and another.\n\n>>> 1\n1\n"

    assert source_of(docstring) == "One line and another."


def test_a_higher_floor_is_shown_once_however_often_it_asks(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(how_we_know, "PACKAGES", ["billets"])

    how_we_know.also_show("shop")
    how_we_know.also_show("shop")

    assert how_we_know.PACKAGES == ["billets", "shop"]
    known_modules.cache_clear()


@pytest.mark.slow
def test_the_page_shows_every_figure_with_its_mark(as_helper: Client) -> None:
    response = as_helper.get(reverse("billets:how-we-know"))

    soup = BeautifulSoup(response.text, "html.parser")
    lines = soup.select(".known .sources li")
    figures = sum(len(one.figures) for one in alloy_figures(book()))
    modules = sum(len(one.figures) + len(one.formulas) for one in known_modules())
    assert response.status_code == 200
    assert len(lines) == figures + modules
    assert all(line.select_one(".tag") and line.select_one("small") for line in lines)


def test_a_stranger_does_not_see_it(client: Client, shop_row: ShopSettings) -> None:
    assert client.get(reverse("billets:how-we-know")).status_code == 302


def test_it_is_only_looked_at(as_owner: Client) -> None:
    assert as_owner.post(reverse("billets:how-we-know")).status_code == 405


def test_a_figure_is_shown_with_its_unit_and_a_name_that_reads_as_words() -> None:
    copper = next(one for one in alloy_figures(book()) if one.key == "c11000")
    density = next(one for one in copper.figures if one.name == "density_kg_m3")
    named = {
        f"{module.name}.{one.name}": one for module in known_modules() for one in module.figures
    }

    assert (density.word, density.value) == ("density", "8915 kg/m³")
    assert named["billets.layup.window.PURE_COPPER_C"].value == "1084.62 °C"
    assert named["billets.layup.window.PURE_COPPER_C"].word == "pure copper"
    assert named["stock.alloys.andrews.MS_PER_PERCENT[Mn]"].word == "ms (Mn)"
    assert named["stock.alloys.andrews.MS_PER_PERCENT[Mn]"].value == "-30.4 °C per %"
    assert not [one.purpose for one in known_modules() if one.purpose.endswith("Pure.")]
