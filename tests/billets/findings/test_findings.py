"""A catalogue of wrong stacks, each with what has to be said about it; and sound ones."""

import pytest

from billets.findings import findings
from billets.layup.design import Blade, Design
from tests.billets.stacks import (
    MM,
    around,
    clad,
    codes,
    core,
    five,
    jacket,
    judged,
    lay,
    line,
    nine,
)


def test_nothing_is_said_about_a_sound_five_layer_stack() -> None:
    assert judged(five()) == ()
    assert findings.is_plannable(())


def test_nothing_is_said_about_a_sound_stack_with_two_lines_a_side() -> None:
    assert judged(nine()) == ()


def test_a_seven_layer_stack_with_touching_lines_gets_notes_only() -> None:
    design = around(core(), clad(), line("c11000", 0.3), line("c71500", 0.3))

    found = judged(design)

    assert codes(found, "stop") == set()
    assert codes(found, "care") == set()
    assert codes(found, "note") == {"copper-on-copper"}
    assert findings.is_plannable(found)


def test_a_forge_welded_blade_of_steel_on_steel_is_fine() -> None:
    assert judged(around(core(), clad("wrought-iron"), finish_mm=6.0)) == ()


def test_nickel_against_steel_is_fine_in_a_forge_welded_stack() -> None:
    assert judged(around(core(), clad(), line("nickel-200"))) == ()


@pytest.mark.parametrize("steel", ["1075", "1080", "1084", "1095", "15n20", "80crv2", "o1", "w2"])
def test_every_simple_blade_steel_makes_a_sound_core_under_copper(steel: str) -> None:
    assert findings.is_plannable(judged(around(core(steel), clad(), line())))


WRONG: list[tuple[str, Design, set[str], set[str]]] = [
    ("no layers", lay(), {"empty"}, set()),
    ("one layer", lay(core(), finish_mm=3.0), {"single-layer"}, {"spine-too-thick"}),
    ("two layers", lay(core(), line(), finish_mm=4.0), {"copper-outside"}, {"asymmetric"}),
    (
        "doubled core",
        lay(clad(), line(), core(), core(), line(), clad(), finish_mm=7.5),
        {"steel-on-steel"},
        set(),
    ),
    ("cladding doubled", around(core(), clad(mm=3), clad(mm=1), line()), {"steel-on-steel"}, set()),
    (
        "jacket on the core",
        around(core(), clad(), line(), jacket(), finish_mm=7.5),
        {"steel-on-steel"},
        set(),
    ),
    (
        "nickel on steel",
        around(core(), clad(), line("nickel-200"), line()),
        {"nickel-on-steel"},
        set(),
    ),
    ("copper outside", around(core(), line(), finish_mm=4.0), {"copper-outside"}, set()),
    ("brass", around(core(), clad(), line("c26000")), {"zinc"}, {"narrow-window"}),
    ("bronze that is brass", around(core(), clad(), line("c22000")), {"zinc"}, set()),
    ("nickel silver", around(core(), clad(), line("c75200")), {"zinc"}, set()),
    (
        "silver on copper",
        around(core(), clad(), line("fine-silver", 0.3), line(mm=0.3)),
        {"silver-on-copper", "no-window", "core-hardening-heat"},
        set(),
    ),
    (
        "tin bronze that melts too low",
        around(core(), clad(), line("c52100")),
        {"no-window", "core-hardening-heat"},
        set(),
    ),
    ("bronze", around(core(), clad(), line("c51000")), set(), {"narrow-window"}),
    ("52100 core", around(core("52100"), clad(), line()), set(), {"narrow-window"}),
    (
        "410 cladding",
        around(core(), clad("410"), line()),
        set(),
        {"cladding-hardening-heat", "narrow-window"},
    ),
    ("304 cladding", around(core(), clad("304"), line()), set(), {"narrow-window"}),
    (
        "420 core",
        around(core("420"), clad(), line()),
        {"core-hardening-heat"},
        {"narrow-window"},
    ),
    ("soft core", around(core("1018"), clad(), line()), {"core-soft"}, set()),
    ("nickel core", around(core("nickel-200"), clad(), line()), {"core-soft"}, set()),
    ("no core", around(clad("1084"), clad(), line()), {"no-core"}, set()),
    (
        "two cores apart",
        around(
            jacket(mm=4.0),
            *(clad(), line(), core(), line()),
            finish_mm=8.75,
            blade=Blade(spine_nm=6 * MM),
        ),
        {"two-cores"},
        set(),
    ),
    ("one side thicker", lay(clad(mm=5), line(), core(), line(), clad()), set(), {"asymmetric"}),
    (
        "one side other steel",
        lay(clad("304"), line(), core(), line(), clad()),
        set(),
        {"asymmetric", "narrow-window"},
    ),
    (
        "line on one side only",
        lay(clad(), line(), core(), clad()),
        {"steel-on-steel"},
        {"asymmetric"},
    ),
    (
        "core far off the middle",
        lay(clad(), line(), clad(mm=3), line(), core()),
        {"core-off-middle"},
        {"asymmetric"},
    ),
    (
        "core thin in the stack",
        around(core(mm=3.0), clad(mm=3.0), line(mm=0.3), finish_mm=6.0),
        set(),
        {"core-thin-stack"},
    ),
    ("core thin when finished", five(finish_thickness_nm=5 * MM), set(), {"core-thin-finished"}),
    (
        "core lost",
        around(core(mm=1.0), clad(mm=9.0), line()),
        {"core-too-thin"},
        {"core-thin-stack"},
    ),
    ("seam open", five(seam_closed=False), set(), {"seam-open"}),
    ("unknown alloy", around(core(), clad("unobtanium"), line()), {"unknown-alloy"}, set()),
    (
        "no thickness",
        lay(clad(mm=0), line(), core(), line(), clad(mm=0), finish_mm=4.0),
        {"no-thickness"},
        set(),
    ),
    ("blanks of no length", five(blank_length_nm=0), {"no-size"}, set()),
    ("no finish", five(finish_thickness_nm=0), {"no-finish"}, set()),
    (
        "finish above the stack",
        five(finish_thickness_nm=14 * MM),
        {"finish-too-thick"},
        {"ground-through"},
    ),
    (
        "spine above the finish",
        five(blade=Blade(spine_nm=7 * MM)),
        set(),
        {"spine-too-thick"},
    ),
    (
        "cladding ground away",
        around(core(mm=9.0), clad(mm=1.0), line(), finish_mm=6.0),
        set(),
        {"ground-through"},
    ),
]


@pytest.mark.parametrize(
    ("design", "stops", "cares"), [row[1:] for row in WRONG], ids=[row[0] for row in WRONG]
)
def test_a_wrong_stack_gets_its_stops_and_cares_and_no_others(
    design: Design, stops: set[str], cares: set[str]
) -> None:
    found = judged(design)

    assert codes(found, "stop") == stops
    assert codes(found, "care") == cares
    assert findings.is_plannable(found) is not bool(stops)


@pytest.mark.parametrize("design", [row[1] for row in WRONG], ids=[row[0] for row in WRONG])
def test_every_finding_speaks_whole_sentences_in_both_systems(design: Design) -> None:
    for one in judged(design):
        for system in ("inch", "metric"):
            words = one.words(system)
            assert words.what[0].isupper() or words.what[0].isdigit()
            assert all(part == "" or part.endswith(".") for part in (words.what, words.why))
            assert words.to_do
            assert one.sentence(system).startswith(words.what)


def test_stops_come_first_then_cares_then_notes() -> None:
    design = lay(line(mm=2), clad(), line(), core(), core(), line(), seam_closed=False)

    levels = [one.level for one in judged(design)]

    assert levels == sorted(levels, key=["stop", "care", "note"].index)
    assert set(levels) == {"stop", "care", "note"}


@pytest.mark.parametrize(("one", "other"), [("1095", "15n20"), ("1095", "c11000")])
def test_forty_layers_are_judged_and_never_raise(one: str, other: str) -> None:
    found = judged(lay(*[clad(one, 1.0), clad(other, 0.5)] * 20))

    assert codes(found, "stop") == ({"copper-outside", "no-core"} if other == "c11000" else set())
