"""What touches what: joints that never weld, copper outside, zinc, the seam, bars."""

from billets.findings import findings
from billets.layup.design import Layer
from stock.alloys.book import book
from tests.billets.stacks import (
    around,
    clad,
    codes,
    core,
    five,
    heat,
    jacket,
    judged,
    lay,
    line,
    only,
    own,
)


def test_a_doubled_core_is_told_to_take_one_out() -> None:
    one = only(judged(lay(clad(), line(), core(), core(), line(), clad())), "steel-on-steel")

    assert one.layers == (2, 3)
    assert one.sentence("inch") == (
        "Layer 3 (1084) lies straight on layer 4 (1084). This stack is worked at no more than "
        "1796 °F (980 °C), and steel welds to steel only at about 2200 °F (1204 °C): that pair "
        "never joins. Take layer 4 out: one core is enough."
    )


def test_each_joint_that_never_welds_is_named() -> None:
    design = lay(clad(mm=2), clad(mm=2), line(), core(), line(), clad(mm=2), clad(mm=2))

    found = [one.layers for one in judged(design) if one.code == "steel-on-steel"]

    assert found == [(0, 1), (5, 6)]


def test_nickel_between_copper_and_copper_joins() -> None:
    nickel = Layer("nickel-200", 300_000, "jacket")

    found = judged(around(core(), clad(), line(mm=0.3), nickel, line(mm=0.3)))

    assert codes(found, "stop") == set()


def test_copper_on_both_faces_is_two_stops() -> None:
    found = [
        one for one in judged(around(core(), line(), finish_mm=4.0)) if one.code == "copper-outside"
    ]

    assert [one.layers for one in found] == [(0,), (2,)]
    assert "lies on the bottom face" in found[0].sentence("metric")
    assert "Put a layer of steel or iron outside it" in found[0].sentence("metric")


def test_two_touching_coppers_of_two_kinds_are_told_as_two_colours() -> None:
    one = next(
        each
        for each in judged(around(core(), clad(), line(mm=0.3), line("c10200", 0.25)))
        if each.code == "copper-on-copper"
    )

    assert one.level == "note"
    assert one.layers == (1, 2)
    assert "together they are 0.55 mm thick in the stack, and show as two colours" in (
        one.sentence("metric")
    )


def test_two_touching_strips_of_one_copper_show_as_one_line() -> None:
    found = judged(around(core(), clad(), line(mm=0.3), line(mm=0.25)))
    one = next(each for each in found if each.code == "copper-on-copper")

    assert one.words("metric").why == "They join: in the stack it is one line 0.55 mm thick."
    assert one.words("metric").to_do == "If two lines are wanted, lay steel between them."


def test_brass_is_a_stop_with_the_heat_at_which_zinc_boils() -> None:
    one = only(judged(around(core(), clad(), line("c26000"))), "zinc")

    assert one.level == "stop"
    assert one.layers == (1, 3)
    assert one.sentence("metric") == (
        "Layers 2 and 4 (C26000 cartridge brass) hold zinc. Zinc (30 % of the metal) leaves as "
        "poisonous fume at forging heat; it boils at 907 °C (1665 °F), and fumes below that. Use "
        "copper instead, or write down how the fume is kept away from everyone."
    )


def test_what_is_written_about_zinc_turns_the_stop_into_a_care_that_prints_it() -> None:
    design = around(
        core(), clad(), line("c26000"), zinc_control="Outdoor hood,\n supplied air for both smiths"
    )

    one = only(judged(design), "zinc")

    assert one.level == "care"
    assert one.words("inch").to_do == "Recorded control: Outdoor hood, supplied air for both smiths"


def test_blanks_instead_of_words_control_no_zinc() -> None:
    found = judged(around(core(), clad(), line("c26000"), zinc_control="  \n "))

    assert "zinc" in codes(found, "stop")


def test_an_open_seam_says_to_weld_all_four_edges() -> None:
    one = only(judged(five(seam_closed=False)), "seam-open")

    assert one.words("inch").to_do == "Weld all four edges closed before the first heat."


def test_an_all_steel_stack_without_a_core_is_a_bar_and_may_be_planned() -> None:
    found = judged(lay(*[clad("1095", 2.0), clad("15n20", 1.0)] * 12))

    assert [one.code for one in found] == ["bar-stock"]
    assert findings.is_plannable(found)


def test_a_bar_made_in_the_shop_can_be_the_core_of_a_copper_stack() -> None:
    bar = own(
        "ladder",
        hardens=True,
        forge_min_c=heat(816.0),
        austenitise_low_c=heat(800.0),
        austenitise_high_c=heat(820.0),
        is_shop_made=True,
    )

    found = judged(around(core("ladder"), clad(), line()), alloys={**book(), "ladder": bar})

    assert found == ()


def test_a_bar_whose_layers_are_called_core_in_turn_is_still_a_bar() -> None:
    steels = [core("1084", 3.0), jacket("15n20", 1.5)] * 3

    found = judged(lay(*steels, core("1084", 3.0)))

    assert [one.code for one in found] == ["bar-stock"]


def test_a_bar_may_be_thinner_than_the_blades_that_are_set() -> None:
    found = judged(lay(*[clad("1095", 2.0), clad("15n20", 1.0)] * 12, finish_mm=3.0))

    assert [one.code for one in found] == ["bar-stock"]
