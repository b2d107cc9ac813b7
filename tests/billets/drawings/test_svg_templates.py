"""Every drawing's template: words that say the same, no style, figures in the shop's unit."""

import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from bs4 import BeautifulSoup
from django.template.loader import render_to_string

from billets.blade.outline import ripple
from billets.blade.sizes import BladeSizes
from billets.blade.two_faces import section_of
from billets.drawings.blade import section_drawing
from billets.drawings.chart import Residual, Share, residual_plot, waterfall
from billets.drawings.halves import halves
from billets.drawings.heat import LengthStep, heat_bar, length_chart
from billets.drawings.side import side_view
from billets.drawings.stack import StackLayer, stack_drawing
from billets.layup.design import Blade
from billets.panel.blade import Laminate, blade_page
from stock.drawings.pieces import Cut, PieceSize, bar_cuts, piece_bars
from stock.drawings.sheets import SheetPart, sheet_layout
from stock.house import House

ROOT = Path(__file__).resolve().parents[3]
MM, IN = 1_000_000, 25_400_000
RIGHT, LEFT = halves(
    [1.5, 0.2, 2.0, 0.2, 1.5],
    kinds=["metal-carbon-steel", "metal-copper", "metal-core", "metal-copper", "metal-other"],
    roles=["cladding", "line", "core", "line", "cladding"],
)
BLADE = section_of(Blade(spine_nm=4 * MM, height_nm=30 * MM), edge_nm=400_000)
STEEL = StackLayer("80CrV2", "cladding", "carbon-steel", 3_175_000)
COPPER = StackLayer("C10200", "line", "copper", 508_000)
CORE = StackLayer("52100", "core", "carbon-steel", 4 * MM)

DRAWINGS: dict[str, dict[str, Any]] = {
    "stack": {"drawing": stack_drawing([STEEL, COPPER, CORE, COPPER, STEEL])},
    "piece_bar": {"bar": piece_bars([PieceSize("K4R", 40 * IN, (10 * IN,))]).bars[0]},
    "bar_cuts": {
        "drawing": bar_cuts(40 * IN, [Cut("B-17", 6 * IN)], kerf_nm=MM, keep_from_nm=2 * IN)
    },
    "sheet_layout": {
        "drawing": sheet_layout(
            6 * IN, 20 * IN, placed=[SheetPart("B-17", 0, 0, 2 * IN, 6 * IN)], is_roll=True
        )
    },
    "heat_bar": {
        "drawing": heat_bar(
            floor_mdegc=860_000, ceiling_mdegc=980_000, limits=[("C10200 melts", 1_083_000)]
        )
    },
    "length_chart": {"drawing": length_chart([LengthStep("Draw", 6 * MM, 250 * MM)])},
    "section": {"drawing": section_drawing(BLADE, right=RIGHT, left=LEFT, key="one")},
    "side_view": {
        "drawing": side_view(
            BLADE,
            half=LEFT,
            side="left",
            length_mm=140.0,
            valley_mm=0.1,
            waves=ripple("K7M4", side="left", length_mm=140.0, pitch_mm=20.0),
        )
    },
    "residual_plot": {
        "drawing": residual_plot([Residual(200, 1, "K1")], scatter=1),
        "across": "predicted, mm",
        "up": "difference, %",
    },
    "waterfall": {"drawing": waterfall([Share("Steel", 1240)]), "unit": "cents"},
}


def rendered(name: str, *, system: str = "metric", **more: object) -> str:
    """A drawing's markup with the shop's settings."""
    context = DRAWINGS[name] | {"house": House(system=system), "key": "one"} | more
    return str(render_to_string(f"svg/{name}.html", context))


@pytest.mark.parametrize("name", DRAWINGS)
@pytest.mark.parametrize("paper", [False, True])
def test_a_drawing_is_well_formed_and_has_no_style(name: str, paper: bool) -> None:
    markup = rendered(name, paper=paper)

    ElementTree.fromstring(f"<div>{markup}</div>")
    assert "style=" not in markup
    assert "None" not in markup
    assert "nan" not in markup


@pytest.mark.parametrize("name", DRAWINGS)
def test_every_svg_says_in_words_what_it_shows_or_is_left_to_the_words_beside_it(
    name: str,
) -> None:
    page = BeautifulSoup(rendered(name), "html.parser")

    outermost = [svg for svg in page.find_all("svg") if svg.find_parent("svg") is None]
    assert outermost
    for svg in outermost:
        is_hidden = svg.get("aria-hidden") == "true"
        assert is_hidden != (svg.get("role") == "img" and len(str(svg.get("aria-label"))) > 15)
    if all(svg.get("aria-hidden") == "true" for svg in outermost):
        assert page.find("ol") is not None


@pytest.mark.parametrize("name", DRAWINGS)
def test_a_drawing_on_paper_brings_its_own_inks(name: str) -> None:
    page = BeautifulSoup(rendered(name, paper=True), "html.parser")

    shapes = [shape for shape in page.find_all(["rect", "path", "circle"]) if not is_clip(shape)]
    assert shapes
    assert all(shape.get("fill") or shape.get("stroke") for shape in shapes)


def is_clip(shape: Any) -> bool:
    """Whether a shape only cuts out or repeats others."""
    return shape.find_parent(["clippath", "clipPath"]) is not None


@pytest.mark.parametrize("name", DRAWINGS)
def test_every_reference_inside_a_drawing_has_its_target(name: str) -> None:
    markup = rendered(name, paper=True)

    wanted = set(re.findall(r"url\(#([\w-]+)\)", markup))
    assert wanted <= set(re.findall(r'id="([\w-]+)"', markup))


def test_figures_are_in_the_shop_s_own_unit() -> None:
    assert "0.020 in" in rendered("stack", system="inch")
    assert "0.508 mm" in rendered("stack", system="metric")
    assert "13.3 mm" in rendered("section", system="metric")
    assert "0.525 in" in rendered("section", system="inch")


def test_a_magnification_is_written_under_the_stack() -> None:
    assert "C10200 is drawn 2.9 times thicker than to scale." in " ".join(rendered("stack").split())


def test_the_saw_s_place_is_told_for_each_cut() -> None:
    markup = rendered("bar_cuts", system="inch")

    assert '<b class="figure">6 in</b>' in markup
    assert "33.961 in" in markup
    assert "goes back to the rack" in markup


def test_the_blade_s_form_works_without_a_script() -> None:
    page = blade_page(
        BladeSizes(4 * MM, 30 * MM, edge_nm=400_000),
        laminate=Laminate(RIGHT, LEFT, "K7M4", 140.0, 20.0),
        system="metric",
    )
    markup = render_to_string(
        "billets/panel/_blade.html",
        {"page": page, "house": House(system="metric"), "action": "/layups/3/"},
    )
    form = BeautifulSoup(markup, "html.parser").find("form")

    assert form is not None
    assert (form["method"], form["action"]) == ("get", "/layups/3/#blade")
    names = {field["name"] for field in form.find_all(["input", "select"])}
    assert names == {
        *("grind", "spine", "height", "bevel", "wheel", "bulge"),
        *("left", "left_bevel", "left_wheel", "left_bulge", "off"),
        *("edge", "angle", "drift", "valley"),
    }
    assert form.find("button") is not None


def test_the_blade_s_page_shows_the_refusal_and_nothing_to_move() -> None:
    page = blade_page(
        BladeSizes(300_000, 30 * MM, edge_nm=400_000),
        laminate=Laminate(RIGHT, LEFT, "K7M4", 140.0, 20.0),
        system="metric",
    )

    markup = render_to_string(
        "billets/panel/_blade.html", {"page": page, "house": House(system="metric"), "action": ""}
    )

    assert "make the spine thicker than the edge" in markup
    assert "data-bevel" not in markup
    assert "svg" not in markup


def test_every_class_of_a_drawing_s_style_sheet_is_used() -> None:
    sheet = (ROOT / "shop/static/shop/drawings.css").read_text()
    named = set(re.findall(r"\.([a-z][\w-]*)", re.sub(r"/\*.*?\*/", "", sheet, flags=re.DOTALL)))
    markup = "".join(
        path.read_text()
        for folder in ("templates/svg", "templates/billets")
        for path in (ROOT / folder).rglob("*.html")
    )

    made = {"is-more", "is-less", "is-total"}  # kinds that the drawing itself names
    assert {name for name in named - made if name not in markup} == set()
