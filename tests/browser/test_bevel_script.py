"""The page's own script and the server work out the same blade, line by line and path by path.

Runs the script's sums and drawings in an empty page; what the blade's page does with them is
tests/browser/test_blade.py.
"""

import json
import random
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from billets.blade.sizes import BladeSizes
from billets.drawings.halves import halves
from billets.panel.blade import BladePage, Laminate, blade_page

SCRIPTS = Path(__file__).resolve().parents[2] / "shop" / "static" / "shop" / "blade"
PARTS = ("face", "sums", "words", "section", "side")
BLADES = 120
LEFT_GRINDS = ("", "", "none", "flat", "sabre", "hollow", "convex")
PATH_TOLERANCE = 2e-4  # both print ten-thousandths of a millimetre

pytestmark = pytest.mark.browser
Pairs = list[tuple[BladePage, dict[str, Any]]]

RUNNER = """
(cases) => cases.map(({ sizes, blade }) => {
  const sums = bevelSums, draw = bevelDraw, page = bevelWords;
  try {
    const found = sums.read(sizes, blade);
    return {
      lines: found.faces,
      said: ["right", "left"].map((side) => page.face(found, side, blade)),
      edge: page.edge(found, blade),
      section: draw.section(sizes, blade, found),
      right: draw.side(sizes, blade, found, "right"),
      left: draw.side(sizes, blade, found, "left"),
    };
  } catch (error) {
    if (!error.key) throw error;
    return { refusal: page.fill(blade.says.refusal[error.key], error.words, blade.system) };
  }
})
"""


def laminate(dice: random.Random) -> Laminate:
    """A five- or seven-layer stack with a core of 1 to 2.4 mm."""
    copper, steel = dice.uniform(0.08, 0.4), dice.uniform(0.3, 0.7)
    bare = dice.random() < 0.2  # the core on the left face, as a chisel grind wants it
    outside = [("metal-carbon-steel", "cladding", 2.0), ("metal-copper", "line", copper)]
    if dice.random() < 0.5:
        outside += [("metal-stainless", "jacket", steel), ("metal-copper", "line", copper)]
    core = ("metal-core", "core", dice.uniform(1.0, 2.4))
    stack = [*(() if bare else outside), core, *reversed(outside)]
    right, left = halves(
        [size for _, _, size in stack],
        kinds=[kind for kind, _, _ in stack],
        roles=[role for _, role, _ in stack],
    )
    return Laminate(right, left, "K7M4", dice.uniform(90, 240), dice.uniform(12, 40))


def sizes(dice: random.Random) -> BladeSizes:
    """A blade with every size of its own, one in eight of which cannot be ground."""
    spine, height = dice.uniform(2.2, 6.0), dice.uniform(20, 60)
    rise = (spine - 0.4) / 2
    bevel = dice.uniform(0.4, 1.0) * height
    fits = (bevel**2 + rise**2) / (2 * rise)
    return BladeSizes(
        spine_nm=round(spine * 1e6),
        height_nm=round(height * 1e6),
        grind=dice.choice(["flat", "sabre", "hollow", "convex"]),
        bevel_nm=round(bevel * 1e6),
        wheel_nm=round(fits * dice.uniform(0.95, 3.0) * 1e6),
        bulge_nm=round(rise * dice.uniform(0.02, 0.28) * 1e6),
        edge_nm=400_000,
        sharpen_deg=float(dice.randint(12, 35)),
        drift_nm=round(dice.uniform(-0.9, 0.9) * 1e6),
        valley_nm=dice.choice([0, 60_000, 150_000]),
        **other_face(dice, spine=spine, bevel=bevel, fits=fits),
    )


def other_face(dice: random.Random, *, spine: float, bevel: float, fits: float) -> dict[str, Any]:
    """The left face: alike, not ground, or with sizes of its own, one in eight of them too much."""
    return {
        "left": dice.choice(LEFT_GRINDS),
        "left_bevel_nm": round(bevel * dice.uniform(0.9, 1.0) * 1e6),
        "left_wheel_nm": round(fits * dice.uniform(1.2, 3.0) * 1e6),
        "left_bulge_nm": round((spine - 0.4) * dice.uniform(0.01, 0.08) * 1e6),
        "off_nm": round((spine - 0.4) / 2 * dice.choice([0, 0, 0.2, 0.4, 1.1]) * 1e6),
    }


@pytest.fixture(scope="module")
def pairs(browser_app: Browser) -> Iterator[Pairs]:
    """The server's page and the script's answer for the same random blades."""
    dice = random.Random(41)
    asked, pages = [], []
    for number in range(BLADES):
        one, stack = sizes(dice), laminate(dice)
        page = blade_page(one, laminate=stack, system="inch" if number % 2 else "metric")
        pages.append(page)
        names = ("spine", "height", "bevel", "wheel", "bulge", "edge", "drift", "valley", "off")
        left = ("left_bevel", "left_wheel", "left_bulge")
        plain = {name: getattr(one, f"{name}_nm") / 1e6 for name in (*names, *left)}
        plain_sizes = plain | {"grind": one.grind, "angle": one.sharpen_deg, "left": one.left}
        asked.append({"sizes": plain_sizes, "blade": json.loads(page.script)})
    tab = browser_app.new_page()
    for part in PARTS:
        tab.add_script_tag(content=(SCRIPTS / f"{part}.js").read_text())
    yield list(zip(pages, tab.evaluate(RUNNER, asked), strict=True))
    tab.close()


def numbers(text: str) -> list[float]:
    """Every number of a path, a box or a matrix."""
    return [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?(?:e-?\d+)?", text)]


def same(one: str, other: str) -> bool:
    """Whether two paths have the same commands and, nearly, the same numbers."""
    return re.sub(r"[\d.\-e ]+", " ", one) == re.sub(r"[\d.\-e ]+", " ", other) and numbers(
        one
    ) == pytest.approx(numbers(other), abs=PATH_TOLERANCE)


def test_the_script_refuses_the_same_blades_in_the_same_words(pairs: Pairs) -> None:
    refused = [(page.refusal, answer.get("refusal", "")) for page, answer in pairs]

    assert [ours for ours, _ in refused] == [theirs for _, theirs in refused]
    assert 3 <= sum(bool(ours) for ours, _ in refused) <= BLADES // 2
    assert any("off the middle leaves nothing to grind" in ours for ours, _ in refused)


def test_the_script_finds_every_line_where_the_server_does(pairs: Pairs) -> None:
    states = set()
    for page, answer in pairs:
        if page.section is None:
            continue
        for face in page.section.reading.faces:
            theirs = answer["lines"][face.side]
            for line, found in zip(face.lines, theirs, strict=True):
                states.add(line.state)
                assert found["state"] == line.state
                for name, size_mm in (
                    ("start", line.start_mm),
                    ("end", line.end_mm),
                    ("width", line.width_mm),
                    ("wave", line.wave_mm),
                    ("wear", line.wear_mm or 0.0),
                ):
                    assert found[name] == pytest.approx(size_mm, rel=1e-9, abs=1e-9)
    assert states >= {"shows", "to-spine", "not-reached", "at-edge", "edge-out", "not-ground"}


def test_the_script_says_the_same_sentences(pairs: Pairs) -> None:
    for page, answer in pairs:
        if page.section is None:
            continue
        lines = [[re.sub(r"^Line \d+: ", "", said) for said in face.lines] for face in page.faces]
        assert answer["said"] == lines
        assert answer["edge"] == page.edge


def test_the_script_draws_the_same_section(pairs: Pairs) -> None:
    for page, answer in pairs:
        ours = page.section
        if ours is None:
            continue
        theirs = answer["section"]
        assert same(theirs["view"]["viewBox"], ours.view_box)
        assert same(theirs["outline"]["d"], ours.outline)
        assert same(theirs["before"]["d"], ours.before)
        for number, layer in enumerate(ours.layers):
            band = theirs[f"layer-{number}"]
            assert (float(band["y"]), float(band["height"])) == pytest.approx(
                (layer.y, layer.height), abs=PATH_TOLERANCE
            )
        for number, inset in enumerate(ours.insets):
            assert theirs["words"][f"factor-{number}"]["text"] == inset.factor
            assert same(theirs[f"matrix-{number}"]["transform"], inset.matrix)
            assert float(theirs[f"frame-{number}"]["height"]) == pytest.approx(
                inset.frame.height, abs=PATH_TOLERANCE
            )
        for measure in ours.measures:
            assert same(theirs[f"measure-{measure.side}"]["d"], measure.d)


def test_the_script_draws_the_same_blade_from_both_sides(pairs: Pairs) -> None:
    for page, answer in pairs:
        for ours in (page.right, page.left):
            if ours is None:
                continue
            theirs = answer[ours.side]
            assert same(theirs["view"]["viewBox"], ours.view_box)
            for number, zone in enumerate(ours.zones):
                assert same(theirs[f"zone-{number}"]["d"], zone.d)
            assert same(theirs["sharpened"]["d"], ours.sharpened)
            assert same(theirs["grind"]["d"], ours.grind_line)
            assert same(theirs["tang"]["d"], ours.tang)
            for measure in ours.measures:
                assert same(theirs[f"measure-{measure.side}"]["d"], measure.d)
                word = theirs["words"][f"word-{measure.side}"]
                if measure.d:
                    assert (word["x"], word["y"]) == pytest.approx(
                        (measure.label_x, measure.label_y), abs=1e-3
                    )


def test_every_kind_of_left_face_is_among_the_blades(pairs: Pairs) -> None:
    drawn = {page.sizes.left for page, _ in pairs if page.section is not None}
    edges = {page.edge.split(",")[0] for page, _ in pairs if page.section is not None}

    assert drawn == set(LEFT_GRINDS)
    assert edges >= {"The edge lies in the core", "The edge lies outside the core"}
