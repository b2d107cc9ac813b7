"""The page How we know: an index, folded parts, figures narrowed to an alloy or a mark."""

import re

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from billets.known import index
from billets.known.how_we_know import Known, KnownModule, alloy_figures, known_modules
from billets.known.index import Asked, asked_for, counted, module_words, parts
from stock.alloys.book import book
from tests.kinds import Client

READ = Known("a", "1", "a handbook", "read")
RECALLED = Known("b", "2", "a handbook, from memory", "memory")
OWN = Known("c", "3", "our own rule", "own")


def module(name: str, *, figures: int = 0, formulas: int = 0, checks: int = 0) -> KnownModule:
    """A made-up module with so many lines."""
    return KnownModule(
        name, "For a test.", (READ,) * figures, (OWN,) * formulas, ("tests/x.py",) * checks
    )


def page(client: Client, query: str = "") -> BeautifulSoup:
    return BeautifulSoup(client.get(reverse("billets:how-we-know") + query).text, "html.parser")


def test_lines_are_counted_by_how_far_they_may_be_trusted() -> None:
    assert counted([READ, RECALLED, READ], word="figure") == "3 figures: 2 read, 1 from memory"
    assert counted([OWN], word="line") == "1 line: 1 our own"


def test_a_module_says_what_it_holds() -> None:
    assert module_words(module("x", figures=2, formulas=1, checks=1)) == (
        "2 figures, 1 formula, checked"
    )
    assert module_words(module("x", formulas=3)) == "3 formulas"


def test_modules_with_checks_and_figures_stand_first_in_their_part() -> None:
    given = [
        module("billets.a", formulas=1),
        module("billets.b", figures=1),
        module("billets.c", formulas=1, checks=1),
        module("stock.cutting.d", formulas=2),
    ]

    found = parts(given)

    assert [one.words for one in found] == ["The metalwork", "Cutting"]
    assert [one.name for one in found[0].modules] == ["billets.c", "billets.b", "billets.a"]
    assert found[0].size_words == "3 parts, 3 lines"
    assert found[0].count_words == (
        "3 lines: 1 read, 2 our own; 1 part held against published figures"
    )


def test_every_module_stands_in_one_part() -> None:
    shown = [module.name for part in parts(known_modules()) for module in part.modules]

    assert sorted(shown) == sorted(module.name for module in known_modules())


@pytest.mark.parametrize(
    ("query", "asked"),
    [
        ({}, Asked()),
        ({"alloy": "c11000"}, Asked(alloy="c11000")),
        ({"alloy": "unobtainium", "mark": "rumour"}, Asked()),
        ({"mark": "memory", "open": "1"}, Asked(mark="memory", is_open=True)),
        ({"open": "yes"}, Asked()),
    ],
)
def test_what_nobody_knows_is_not_asked_for(query: dict[str, str], asked: Asked) -> None:
    assert asked_for(query, alloys=book()) == asked


@pytest.mark.slow
def test_the_page_opens_folded_with_an_index_that_leads_to_every_part(as_helper: Client) -> None:
    shown = page(as_helper)

    links = [str(one["href"]) for one in shown.select(".known-index a")]
    assert links == ["#alloys", *(f"#part-{part.key}" for part in parts(known_modules()))]
    assert all(shown.select_one(link) for link in links)
    assert shown.select("main details[open]") == []
    assert all(one.select_one("summary small") for one in shown.select(".known-part"))


@pytest.mark.slow
def test_one_link_opens_all_without_a_script(as_helper: Client) -> None:
    shown = page(as_helper, "?open=1")

    folded = shown.select("main .known-part:not([open]), main .sources")
    assert [one for one in folded if one.name == "details"] == []
    holding = [one.find_parent("details") for one in shown.select(".sources")]
    assert holding
    assert all(fold is not None and fold.has_attr("open") for fold in holding)


def test_the_figures_of_one_alloy_stand_alone_and_open(as_helper: Client) -> None:
    shown = page(as_helper, "?alloy=c11000")

    copper = next(one for one in alloy_figures(book()) if one.key == "c11000")
    assert [one["id"] for one in shown.select("details.known[id]")] == ["alloy-c11000"]
    assert len(shown.select(".sources li")) == len(copper.figures)
    assert shown.select_one("#alloy-c11000[open]") is not None
    assert [one["value"] for one in shown.select("#alloy option[selected]")] == ["c11000"]


def test_what_is_only_recalled_can_be_asked_for(as_helper: Client) -> None:
    shown = page(as_helper, "?mark=memory")

    tags = {one.text for one in shown.select(".sources .tag")}
    everything = [figure for one in alloy_figures(book()) for figure in one.figures]
    everything += [line for one in known_modules() for line in (*one.figures, *one.formulas)]
    assert tags == {"memory"}
    assert len(shown.select(".sources li")) == sum(one.mark == "memory" for one in everything)


def test_a_mark_that_an_alloy_has_not_says_so(as_helper: Client) -> None:
    shown = page(as_helper, "?alloy=c11000&mark=own")

    assert "Nothing here has that mark." in shown.text
    assert index.SHORT_MARKS["own"] == "our own"


@pytest.mark.slow
def test_everything_that_is_folded_opens_on_paper(as_helper: Client) -> None:
    shown = page(as_helper)

    folded = shown.select("main details")
    assert len(folded) > 100
    assert all(one.has_attr("data-print-open") for one in folded)
    assert re.search(r"print-open\.js", str(shown))
