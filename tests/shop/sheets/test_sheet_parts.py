"""The parts of a worksheet, each from a layup whose figures were worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from billets.forging.forecast import forecast
from billets.layup.design import Design
from shop.sheets.student import StudentSheet, student_sheet
from shop.sheets.subject import Source, Subject
from stock.house import House
from tests.billets.stacks import cased, clad, core, five, jacket, lay, line, nine

METRIC = House(system="metric", paper="A4")


def sheet(design: Design, *, house: House = METRIC, **about: Any) -> StudentSheet:
    """A sheet of this layup for an invented student."""
    given = {"mark": "K27", "who": "Ines Cabrel", "layup_name": "Five layers"} | about
    return student_sheet(Subject(case=cased(design, house), **given))


def steps_of(one: StudentSheet) -> str:
    """All steps in one text."""
    return " ".join(f"{step.do} {step.how}" for step in one.steps)


def test_every_layer_is_named_numbered_and_measured_from_the_top_down() -> None:
    drawn = sheet(five()).stack

    assert drawn is not None
    assert [(row.number, row.role, row.name, row.size.first) for row in drawn.rows] == [
        (5, "Cladding", "1018", "4 mm"),
        (4, "Line", "C11000", "0.5 mm"),
        (3, "CORE", "1084", "4 mm"),
        (2, "Line", "C11000", "0.5 mm"),
        (1, "Cladding", "1018", "4 mm"),
    ]
    assert drawn.height.first == "13 mm"
    assert drawn.blanks == "5 blanks 150 × 30 mm"


def test_rows_of_the_stack_lie_on_each_other_without_a_gap() -> None:
    drawn = sheet(nine()).stack

    assert drawn is not None
    below = [round(row.y_mm + row.height_mm, 2) for row in drawn.rows]
    assert [row.y_mm for row in drawn.rows] == [0.0, *below[:-1]]
    assert drawn.height_mm == below[-1]


def test_layers_of_like_thickness_are_drawn_alike_and_thin_ones_say_how_much_too_thick() -> None:
    drawn = sheet(five()).stack

    assert drawn is not None
    high = {row.number: row.height_mm for row in drawn.rows}
    assert high[1] == high[3] == high[5]
    assert high[2] == high[4]
    factor = high[2] / 0.5 / (high[1] / 4)
    assert f"C11000 {factor:.1f} times too thick" in drawn.magnified


def test_a_stack_of_many_layers_is_drawn_flatter_with_smaller_words() -> None:
    many = lay(*[core("1084") if place % 2 else jacket("15n20", 2.0) for place in range(41)])

    drawn = sheet(many).stack

    assert drawn is not None
    assert drawn.height_mm <= 57
    assert drawn.word_mm == 2.1


def test_the_pieces_that_layers_are_cut_from_are_named_once_each() -> None:
    sources = {0: Source("CC2", "H44"), 1: Source("JR2"), 4: Source("CC2", "H44")}

    drawn = sheet(five(), sources=sources).stack

    assert drawn is not None
    assert drawn.cut_from == "1, 5: CC2 (H44); 2: JR2"


def test_ceiling_and_floor_have_both_scales_a_colour_and_what_sets_them() -> None:
    heat = sheet(five()).heat

    # C11000 starts to melt at 1065 °C; 65 and 20 °C come off: 980 °C = 1796 °F.
    assert heat.ceiling is not None
    assert (heat.ceiling.first, heat.ceiling.second) == ("980 °C", "1796 °F")
    assert heat.ceiling_colour == "light cherry / clear cherry"
    assert heat.why == "C11000 starts to melt at 1065 °C (1949 °F); 85 °C (153 °F) of margin."
    assert "never an instrument" in heat.warning
    assert heat.seconds_first.startswith("about ")
    assert heat.soak.startswith("about ")


def test_a_stack_without_a_window_says_so_and_gives_no_seconds() -> None:
    cold = replace(METRIC, hot_spot_c=200)  # 1065 - 65 - 200 = 800 °C, under the floor of 816

    heat = sheet(five(), house=cold).heat

    assert heat.seconds_first == ""
    assert "no working window" in heat.refused


def test_an_all_steel_stack_is_told_its_welding_heat() -> None:
    heat = sheet(lay(clad("1084"), core("15n20"), clad("1084"))).heat

    # 2200 to 2300 °F, common practice
    assert heat.weld == "1204 °C to 1260 °C (2200 °F to 2300 °F), common practice"


def test_the_schedule_ends_at_the_thickness_asked_for_with_its_layers() -> None:
    press = sheet(five()).press

    # From 13 to 6.5 mm everything is half as thick: core 2 mm, line 0.25 mm.
    assert press.tables[-1][-1].stop.first == "6.5 mm"
    assert press.tables[0][0].work == "Set the bond"
    assert press.tables[-1][-1].work == "Flatten"
    assert press.setting == "heats 1 to 2"
    assert press.core is not None
    assert press.lines is not None
    assert (press.core.first, press.lines.first) == ("2 mm", "0.25 mm")
    assert press.finish is not None
    assert press.finish.first.endswith("× 6.5 mm")


def test_stops_only_ever_go_down_and_the_billet_only_grows() -> None:
    rows = [row for table in sheet(nine()).press.tables for row in table]

    stops = [float(row.stop.first.split()[0]) for row in rows]
    lengths = [float(row.length.first.split()[0]) for row in rows]
    assert stops == sorted(stops, reverse=True)
    assert lengths == sorted(lengths)


def test_a_long_schedule_stands_in_two_tables_that_go_on_from_each_other() -> None:
    press = sheet(five(), house=replace(METRIC, reduction_percent=4)).press

    first, second = press.tables
    heats = [row.heat for row in (*first, *second)]
    assert heats == list(range(1, len(heats) + 1))
    assert 0 <= len(first) - len(second) <= 1


def test_a_size_that_cannot_be_reached_leaves_lines_to_write_a_schedule_on() -> None:
    press = sheet(five(finish_mm=20.0)).press

    assert "cannot finish at 20 mm" in press.refused
    assert press.tables == ()
    assert len(press.blank_rows) == 9


def test_a_weak_press_is_told_its_largest_bite() -> None:
    press = sheet(five(), house=replace(METRIC, press_n=100_000)).press

    assert "this press takes a bite of" in press.bite
    assert sheet(five()).press.bite == ""  # by hand


def test_the_line_comes_out_where_the_flat_grind_meets_it() -> None:
    blade = sheet(five()).blade

    # Half-thickness 0.125 mm at the edge and 2 mm at 32 mm: 1 mm at 14.93, 1.25 mm at 19.2 mm.
    assert blade is not None
    assert "Comes out 14.9 mm above the edge and ends at 19.2 mm" in blade.sentences[0]
    assert "The edge lies in the core" in blade.sentences[-1]
    assert blade.size_words == "A flat grind, 4 mm at the spine, 32 mm high."
    assert [view.side for view in blade.views] == ["right"]


def test_a_lopsided_stack_shows_both_faces() -> None:
    lopsided = lay(clad(mm=3.0), line(), core(), line(), clad(mm=5.0))

    blade = sheet(lopsided).blade

    assert blade is not None
    assert [view.side for view in blade.views] == ["right", "left"]
    assert blade.sentences[0].startswith("Right face: ")
    assert blade.sentences[1].startswith("Left face: ")


def test_a_bar_has_no_blade_and_no_treatment_card() -> None:
    bar = sheet(lay(core("1084"), jacket("15n20"), core("1084")), folds=3)

    assert bar.blade is None
    assert bar.treatment is None
    assert bar.press.core is None
    assert "Fold 3 times. Cut in two, grind bright, stack, weld: 3 layers become 24." in steps_of(
        bar
    )


def test_a_blade_that_cannot_be_ground_says_why() -> None:
    thick = five()
    blade = sheet(replace(thick, blade=replace(thick.blade, spine_nm=0))).blade

    assert blade is not None
    assert blade.section is None
    assert blade.refused != ""


def test_the_card_names_the_core_its_steps_and_the_ceiling() -> None:
    card = sheet(five()).treatment

    assert card is not None
    assert card.core == "1084"
    assert [row.name for row in card.rows] == ["normalise", "harden", "quench", "temper"]
    assert card.ceiling is not None
    assert card.ceiling.first == "980 °C"
    assert "Confirm against your steel's own data" in card.confirm
    assert card.sources != ""


def test_steps_of_a_bonded_stack_keep_copper_inside_and_scour_it() -> None:
    words = steps_of(sheet(five()))

    assert "Copper never outside, steel never on steel." in words
    assert "Scour the strip" in words
    assert "Never above 980 °C" in words
    assert "Weld every seam" in words


def test_steps_name_the_danger_where_it_arises() -> None:
    words = steps_of(sheet(five()))

    assert "let it dry well away from the arc" in words
    assert "Never a chlorinated cleaner." in words
    assert "The stack must be dry inside: a wet one can burst." in words


def test_seconds_on_the_sheet_are_those_of_the_corner_and_never_rounded_up() -> None:
    design = five()
    lines = forecast(cased(design, METRIC)).lines

    heat = sheet(design).heat

    assert heat.seconds_first == f"about {int(lines[0].seconds)} s"
    assert heat.seconds_last == f"about {int(lines[-1].seconds)} s"
    # 12.8 x 30 mm: a little more than 11.6 x 32 mm, whose corner has 36 s
    assert 36 <= lines[0].seconds <= 40


def test_a_stack_left_open_is_not_told_to_be_welded_shut() -> None:
    words = steps_of(sheet(five(seam_closed=False)))

    assert "Weld every seam" not in words
    assert "seams stay open" in words


def test_cautions_end_with_who_decides() -> None:
    one = sheet(five())

    assert any(words.startswith("Overheated copper fumes") for words in one.cautions)
    assert "your local rules" in one.deference


def test_an_owners_reason_is_printed_only_where_it_answers_for_something() -> None:
    wrong = lay(line(), core(), line())

    assert sheet(five(), override_reason="Because.").override is None
    answered = sheet(wrong, override_reason="Because.").override
    assert answered is not None
    assert answered.reason == "Because."
    assert "Layer 1 (C11000 tough-pitch copper) lies on the bottom face." in answered.stops


def test_a_layup_without_layers_still_makes_a_sheet() -> None:
    empty = sheet(lay())

    assert empty.stack is None
    assert empty.press.refused != ""
    assert empty.steps != ()


def test_an_address_too_long_for_a_code_leaves_the_code_out() -> None:
    assert sheet(five(), address="http://x/" + "y" * 400).qr is None
    assert sheet(five(), address="http://x/billets/K27/").qr is not None
