"""The card of a knife: what it tells, without money, and that nothing on it runs over."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from billets.history import writing as history
from shop.knives import writing as knives
from shop.knives.card import knife_card_html
from shop.knives.writing import CARE
from shop.models import Knife
from stock.house import House
from tests.conftest import IN
from tests.kinds import MakeLayup, Person
from tests.shop.drawn_paper import drawn, texts


def treat(knife: Knife, *, by: Person) -> None:
    """A usual heat treatment."""
    steps: tuple[dict[str, Any], ...] = (
        {"step": "normalise", "temperature_mdegc": 871_111, "medium": "still air", "times": 2},
        {"step": "harden", "temperature_mdegc": 801_667, "seconds": 600, "hrc_tenths": 655},
        {"step": "temper", "temperature_mdegc": 204_444, "seconds": 7200, "times": 2},
    )
    for about in steps:
        knives.write_step(knife=knife, by=by, **about)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("house", "points", "thickness"),
    [
        (House(system="inch", paper="Letter"), (612, 792), "1/8 in"),
        (House(system="metric", paper="A4"), (595, 842), "3.18 mm"),
    ],
)
def test_the_card_is_one_sheet_of_the_shop_s_paper_in_its_units(
    owner: Person, make_layup: MakeLayup, house: House, points: tuple[int, int], thickness: str
) -> None:
    billet = history.make_billet(layup=make_layup(), by=owner)
    knife = knives.make_knife(pattern="petty", by=owner, billet=billet, handle="walnut")
    treat(knife, by=owner)

    pdf = drawn(knife_card_html(knife, house=house))

    box = pdf.pages[0].mediabox
    text = " ".join(pdf.pages[0].extract_text().split())
    assert (round(box.width), round(box.height)) == points
    assert len(pdf.pages) == 1
    assert thickness in text


@pytest.mark.slow
def test_the_card_tells_every_step_of_the_heat_treatment(owner: Person, knife: Knife) -> None:
    treat(knife, by=owner)
    struck = knives.write_step(knife=knife, step="cold", medium="dry ice", by=owner)
    knives.strike_step(row=struck)

    text = texts(knife_card_html(knife, house=House(system="inch")))[0]

    assert "Normalise, 2 × 1600 °F · 871 °C still air" in text
    assert "Harden 1475 °F · 802 °C 10 min 65.5 HRC" in text
    assert "Temper, 2 × 400 °F · 204 °C 2 h" in text
    assert "dry ice" not in text


@pytest.mark.slow
def test_like_metals_of_one_lot_are_told_once(owner: Person, make_layup: MakeLayup) -> None:
    billet = history.make_billet(layup=make_layup(), by=owner)
    knife = knives.make_knife(pattern="petty", by=owner, billet=billet)

    text = texts(knife_card_html(knife, house=House()))[0]

    assert text.count("not written down") == 3  # 1084, copper, 1095; not five layers


@pytest.mark.slow
def test_the_longest_words_stay_on_the_paper(owner: Person, make_layup: MakeLayup) -> None:
    many = [("1084" if place % 2 else "15n20", IN // 8, "cladding") for place in range(12)]
    layers = [*many, ("1095", IN // 8, "core"), *many]
    billet = history.make_billet(layup=make_layup(name="L" * 80, layers=layers), by=owner)
    knife = knives.make_knife(
        pattern="W" * 120,
        by=owner,
        billet=billet,
        handle="h" * 200,
        heat_treatment="Temper " * 140,
        care="q" * 1000,
    )
    for _ in range(5):
        knives.write_step(knife=knife, step="temper", medium="m" * 100, note="n" * 200, by=owner)
    knives.sell(knife=knife, sold_to="S" * 100, sold_on=date(2026, 4, 1), price_cents=0)
    knife.refresh_from_db()

    pdf = drawn(knife_card_html(knife, house=House(paper="A4")))

    assert len(pdf.pages) <= 4
    said = "".join(page.extract_text() for page in pdf.pages).replace("\n", "")
    assert said.count("q") >= 1000
    assert said.count("m") >= 500


@pytest.mark.slow
def test_the_card_draws_the_blade_of_its_billet(owner: Person, make_layup: MakeLayup) -> None:
    billet = history.make_billet(layup=make_layup(), by=owner)
    knife = knives.make_knife(pattern="petty", by=owner, billet=billet)

    html = knife_card_html(knife, house=House())

    assert html.count('data-draw="view"') == 1
    assert "The line as it was drawn for this billet" in texts(html)[0]


@pytest.mark.slow
def test_a_bar_without_a_core_has_a_card_without_a_blade(
    owner: Person, make_layup: MakeLayup
) -> None:
    layers = [("1084", IN // 8, "cladding"), ("15n20", IN // 8, "cladding")]
    billet = history.make_billet(layup=make_layup(layers=layers), by=owner)
    knife = knives.make_knife(pattern="petty", by=owner, billet=billet)

    html = knife_card_html(knife, house=House())

    assert 'data-draw="view"' not in html
    assert "2 layers" in texts(html)[0]


def test_care_notes_speak_of_copper_only_where_there_is_some(
    owner: Person, make_layup: MakeLayup
) -> None:
    billet = history.make_billet(layup=make_layup(), by=owner)

    laminated = knives.make_knife(pattern="petty", by=owner, billet=billet)
    plain = knives.make_knife(pattern="paring", by=owner, care=CARE)
    own = knives.make_knife(pattern="paring", by=owner, care="Dry it.")

    assert "Copper and steel" in laminated.care
    assert "Copper" not in plain.care
    assert own.care == "Dry it."
