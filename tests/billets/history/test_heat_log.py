"""A logged heat is held against its stack: too hot is answered, thicker than before is asked."""

import pytest
from bs4 import BeautifulSoup

from billets.history.heat_log import question_about_thickness, too_cold, too_hot
from billets.layup.design import Design
from billets.models import Heat
from stock.house import House
from tests.billets.billet_posts import post, url
from tests.billets.stacks import MM, around, cased, clad, core, lay, line
from tests.conftest import HTMX
from tests.kinds import Client, MakeBillet, Person, Response
from tests.pages import one


def said_of(design: Design, celsius: float, *, is_setting: bool = False) -> str:
    """What is said of one heat, in °C."""
    return too_hot(celsius, is_setting=is_setting, case=cased(design, House(system="metric")))


def test_a_heat_above_the_ceiling_says_what_to_look_for() -> None:
    copper = around(core(), clad(), line("c11000"))  # 1065 less 65 and 20

    assert said_of(copper, 1020) == (
        "1020 °C is above this stack's ceiling of 980 °C; look for copper at the seams."
    )


@pytest.mark.parametrize("celsius", [700, 979, 980, 980.4])
def test_a_heat_up_to_the_ceiling_is_answered_with_nothing(celsius: float) -> None:
    assert said_of(around(core(), clad(), line("c11000")), celsius) == ""


def test_steel_alone_is_set_hotter_than_it_is_drawn() -> None:
    steel = lay(clad("1084"), core("1084"))  # not above 2150 °F, welded up to 2300 °F

    assert said_of(steel, 1230, is_setting=True) == ""
    assert said_of(steel, 1230) == (
        "1230 °C is above this stack's ceiling of 1177 °C; look for burnt edges and coarse grain."
    )
    assert "above the welding heat of steel of 1260 °C" in said_of(steel, 1300, is_setting=True)


def test_a_stack_without_a_known_ceiling_is_answered_with_nothing() -> None:
    assert said_of(lay(clad("unheard-of")), 1400) == ""


DULL = around(core("52100"), clad("1084"), line("c10200"))  # 52100: not below 1700 °F


@pytest.mark.parametrize(
    ("is_setting", "sign"),
    [(False, "cracks at the edges and seams that opened"), (True, "seams that did not take")],
)
def test_a_heat_below_the_floor_says_what_to_look_for(is_setting: bool, sign: str) -> None:
    case = cased(DULL, House(system="inch"))

    said = too_cold((1500 - 32) / 1.8, is_setting=is_setting, case=case)

    assert said == f"1500 °F is below this stack's floor of 1700 °F; look for {sign}."


@pytest.mark.parametrize("fahrenheit", [1699.6, 1700, 1780])
def test_a_heat_at_the_floor_or_above_is_answered_with_nothing(fahrenheit: float) -> None:
    case = cased(DULL, House(system="inch"))

    assert too_cold((fahrenheit - 32) / 1.8, is_setting=False, case=case) == ""


def test_a_stack_without_a_known_floor_is_answered_with_nothing() -> None:
    case = cased(lay(clad("unheard-of")), House(system="inch"))

    assert too_cold(600, is_setting=False, case=case) == ""


STACK = lay(clad(mm=3.0), core(mm=4.0), clad(mm=3.0))  # 10 mm


@pytest.mark.parametrize(
    ("after_mm", "before_mm", "than"),
    [
        (10.6, None, "10.6 mm is thicker than the stack, which is 10 mm high."),
        (8.5, 8, "8.5 mm is thicker than the 8 mm after the heat before."),
        (10.6, 10.2, "10.6 mm is thicker than the stack, which is 10 mm high."),
    ],
)
def test_a_billet_that_grew_is_asked_about(
    after_mm: float, before_mm: float | None, than: str
) -> None:
    before_nm = None if before_mm is None else round(before_mm * MM)

    asked = question_about_thickness(
        round(after_mm * MM), before_nm=before_nm, design=STACK, system="metric"
    )

    assert asked.startswith(than)
    assert asked.endswith("measure again, or confirm that it is so.")


@pytest.mark.parametrize(("after_mm", "before_mm"), [(10.5, None), (8.4, 8), (6, 8), (9, 9)])
def test_a_billet_that_grew_by_no_more_than_a_twentieth_is_believed(
    after_mm: float, before_mm: float | None
) -> None:
    before_nm = None if before_mm is None else round(before_mm * MM)

    asked = question_about_thickness(
        round(after_mm * MM), before_nm=before_nm, design=STACK, system="metric"
    )

    assert asked == ""


def heats_plate(response: Response) -> str:
    """What stands in the section of the heats."""
    found = BeautifulSoup(response.text, "html.parser").select_one("#heats")
    assert found is not None
    return found.text


HOT = "Heat 1: 1900 °F is above this stack's ceiling of 1828 °F; look for copper at the seams."


@pytest.mark.slow
def test_a_heat_that_was_too_hot_is_kept_and_answered_on_the_page(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    billet = make_billet(stage="welded")

    answer = post(
        as_helper,
        "billet-heat",
        billet,
        {"work": "draw", "temperature_mdegc": "1900"},
        headers=HTMX,
    )

    assert Heat.objects.get().temperature_mdegc == 1_037_778
    assert HOT in heats_plate(answer)
    assert HOT in heats_plate(as_helper.get(url("billet-detail", billet.mark)))


def test_a_heat_that_was_too_cold_is_kept_and_answered_on_the_page(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    billet = make_billet(stage="welded")

    post(as_helper, "billet-heat", billet, {"work": "draw", "temperature_mdegc": "1400"})

    page = heats_plate(as_helper.get(url("billet-detail", billet.mark)))
    assert "Heat 1: 1400 °F is below this stack's floor of 1500 °F; look for cracks" in page


def test_the_second_to_write_a_heat_is_told_who_did_and_may_add_another(
    client: Client, owner: Person, helper: Person, make_billet: MakeBillet
) -> None:
    billet = make_billet(stage="welded")
    client.force_login(helper)
    assert "Write down heat 1" in heats_plate(client.get(url("billet-detail", billet.mark)))
    post(client, "billet-heat", billet, {"number": "1", "work": "set"})
    client.force_login(owner)

    told = post(client, "billet-heat", billet, {"number": "1", "work": "draw", "note": "mine"})

    assert told.status_code == 422
    assert "Heat 1 is written down already: set the bond, by Hugo at " in heats_plate(told)
    assert "Write it as heat 2" in heats_plate(told)
    assert 'value="mine"' in told.text
    assert Heat.objects.count() == 1
    form = one(BeautifulSoup(told.text, "html.parser"), "#heats form [name=number]")
    post(client, "billet-heat", billet, {"number": str(form["value"]), "work": "draw"})
    assert [(heat.number, str(heat.by)) for heat in Heat.objects.all()] == [
        (1, "Hugo"),
        (2, "Orla"),
    ]


def test_a_number_that_came_free_by_striking_is_taken_as_the_next(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    billet = make_billet(stage="welded")
    post(as_helper, "billet-heat", billet, {"number": "1", "work": "set"})
    as_helper.post(url("billet-heat-strike", billet.mark, Heat.objects.get().pk))

    post(as_helper, "billet-heat", billet, {"number": "2", "work": "draw"})

    assert Heat.objects.get(struck_at=None).number == 1


def test_a_struck_heat_is_not_cared_about(as_helper: Client, make_billet: MakeBillet) -> None:
    billet = make_billet(stage="welded")
    post(as_helper, "billet-heat", billet, {"work": "draw", "temperature_mdegc": "1900"})

    as_helper.post(url("billet-heat-strike", billet.mark, Heat.objects.get().pk))

    page = heats_plate(as_helper.get(url("billet-detail", billet.mark)))
    assert "above this stack's ceiling" not in page


@pytest.mark.slow
def test_a_thickness_that_grew_is_questioned_and_kept_if_confirmed(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    billet = make_billet(stage="welded")
    post(as_helper, "billet-heat", billet, {"work": "draw", "thickness_nm": "0.4"})
    grown = {"work": "draw", "thickness_nm": "0.44", "note": "keep me"}

    asked = post(as_helper, "billet-heat", billet, grown)

    assert asked.status_code == 422
    assert "0.440 in is thicker than the 0.400 in after the heat before." in heats_plate(asked)
    assert 'name="is_confirmed"' in asked.text
    assert 'value="keep me"' in asked.text
    assert Heat.objects.count() == 1
    kept = post(as_helper, "billet-heat", billet, grown | {"is_confirmed": "on"})
    assert kept.status_code == 302
    heat = Heat.objects.get(number=2)
    assert (heat.thickness_nm, heat.is_confirmed_strange) == (11_176_000, True)
    page = as_helper.get(url("billet-detail", billet.mark))
    assert "looks strange, and was confirmed" in heats_plate(page)


def test_a_struck_thickness_is_not_what_the_next_is_held_against(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    billet = make_billet(stage="welded")
    post(as_helper, "billet-heat", billet, {"work": "draw", "thickness_nm": "0.04"})
    as_helper.post(url("billet-heat-strike", billet.mark, Heat.objects.get().pk))

    kept = post(as_helper, "billet-heat", billet, {"work": "draw", "thickness_nm": "0.4"})

    assert kept.status_code == 302
    assert not Heat.objects.get(struck_at=None).is_confirmed_strange


def test_a_ticked_box_does_not_mark_an_honest_heat_strange(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    billet = make_billet(stage="welded")
    honest = {"work": "set", "thickness_nm": "0.46", "is_confirmed": "on"}

    post(as_helper, "billet-heat", billet, honest)

    assert not Heat.objects.get().is_confirmed_strange
