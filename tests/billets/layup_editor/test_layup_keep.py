"""The layup editor: rows moved and mirrored, and what is kept."""

import json
import re
import time

import pytest

from billets.layup.design import Blade, OtherFace
from billets.models import Layup
from tests.billets.layup_form import (
    FIVE,
    PANEL,
    STEEL_ON_STEEL,
    form,
    overridden,
    soup,
    url,
)
from tests.billets.stacks import five
from tests.conftest import HTMX, IN
from tests.kinds import Client, DjangoAssertNumQueries, MakeLayup, MakePiece, Person, ShopSettings
from tests.pages import one


def test_the_panel_follows_the_form(as_helper: Client) -> None:
    response = as_helper.post(PANEL, form(), headers=HTMX)

    page = soup(response)
    assert page.select("html, .layer-row") == []
    assert page.select("#panel .findings .stop") == []
    assert len(page.select("#panel .stack li")) == 5
    assert one(page, "#glance")["hx-swap-oob"] == "true"
    assert json.loads(str(one(page, "#good")["value"]))["blank_length_nm"] == 6 * IN
    assert Layup.objects.count() == 0


@pytest.mark.slow
def test_a_bad_field_leaves_the_panel_on_the_last_stack_that_could_be_read(
    as_helper: Client,
) -> None:
    good = soup(as_helper.post(PANEL, form(), headers=HTMX)).select_one("#good")
    assert good is not None
    rows = (FIVE[0], FIVE[1], ("a1095", "core", "thick"), *FIVE[3:])

    response = as_helper.post(PANEL, form(*rows) | {"good": str(good["value"])}, headers=HTMX)

    page = soup(response)
    assert "'thick' is not a length we know." in one(page, "#layer-2-thickness-error").text
    assert "What follows is for the stack before the marked fields." in response.text
    assert len(page.select("#panel .stack li")) == 5
    assert one(page, "#good")["value"] == good["value"]


@pytest.mark.slow
@pytest.mark.parametrize(
    "good",
    ["", "[]", "{}", "not json", "[" * 5000, json.dumps({"layers": [{"alloy": 3}]}),
     json.dumps({"layers": [{"alloy": "1084", "thickness_nm": 10**40, "role": "core"}],
                 "blank_length_nm": 1, "blank_width_nm": 1, "finish_thickness_nm": 1,
                 "cut_allowance_nm": 0, "cleaning_loss_nm": 0}),
     json.dumps(five().to_json() | {"finish_thickness_nm": 10**400}),
     json.dumps(five(blade=Blade(left=OtherFace("flat", edge_off_nm=10**400))).to_json())],
)  # fmt: skip
def test_a_last_stack_that_was_tampered_with_is_simply_not_shown(
    as_helper: Client, good: str
) -> None:
    rows = (("a1095", "core", "thick"),)

    response = as_helper.post(PANEL, form(*rows) | {"good": good}, headers=HTMX)

    assert response.status_code == 200
    assert "Put the marked fields right" in response.text


def test_the_owner_writes_why_a_stop_is_made_all_the_same_and_is_named(
    as_owner: Client, owner: Person
) -> None:
    as_owner.post(url("layup-add"), form(override_reason="a demonstration of a failed weld"))

    layup = Layup.objects.get()
    assert (layup.override_reason, layup.override_by) == (
        "a demonstration of a failed weld",
        owner,
    )
    assert "Written by Orla." in as_owner.get(url("layup-edit", layup.pk)).text


@pytest.mark.slow
def test_a_helper_neither_writes_nor_clears_the_reason(
    as_helper: Client, make_layup: MakeLayup, owner: Person
) -> None:
    layup = make_layup(name="Bright line", override_reason="tried it", override_by=owner)

    as_helper.post(url("layup-edit", layup.pk), form(override_reason="mine"))

    layup.refresh_from_db()
    assert (layup.override_reason, layup.override_by) == ("tried it", owner)
    page = soup(as_helper.get(url("layup-edit", layup.pk)))
    assert page.select_one("[name=override_reason]") is None
    assert "Made all the same:" in page.text


def test_a_reason_that_stays_as_it_was_keeps_its_writer(
    client: Client, owner: Person, make_layup: MakeLayup
) -> None:
    from shop.models import Person

    second = Person.objects.create_user("wim", password="anvil-and-tongs-9", role="owner")
    layup = make_layup(name="Bright line", override_reason="tried it", override_by=owner)
    client.force_login(second)

    client.post(url("layup-edit", layup.pk), form(override_reason="tried it"))

    layup.refresh_from_db()
    assert layup.override_by == owner


@pytest.mark.slow
def test_the_blade_is_drawn_as_its_sliders_were_sent_without_a_script(
    as_helper: Client, make_layup: MakeLayup
) -> None:
    layup = make_layup()

    page = soup(as_helper.get(url("layup-edit", layup.pk) + "?grind=hollow&spine=1/8+in"))

    chosen = page.select_one("#blade option[selected]")
    assert chosen is not None
    assert chosen["value"] == "hollow"
    layup.refresh_from_db()
    assert layup.grind == "flat"


def test_a_stack_without_one_core_says_why_no_blade_is_drawn(
    as_helper: Client, make_layup: MakeLayup
) -> None:
    layup = make_layup(layers=[("1084", IN // 8, "cladding")] * 2)

    text = as_helper.get(url("layup-edit", layup.pk)).text

    assert "exactly one core" in text


def test_a_stranger_sees_no_panel(client: Client, shop_row: ShopSettings) -> None:
    response = client.post(PANEL, form())

    assert response.status_code == 302


def test_the_panel_is_refused_to_a_link(as_owner: Client) -> None:
    assert as_owner.get(PANEL).status_code == 405


@pytest.mark.slow
def test_the_editor_asks_the_database_little_however_much_is_on_the_rack(
    as_owner: Client,
    make_layup: MakeLayup,
    make_bar: MakePiece,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    layup = make_layup()
    for number in range(1, 8):
        make_bar(thickness_nm=number * 1_000_000)

    with django_assert_max_num_queries(10):
        assert as_owner.get(url("layup-edit", layup.pk)).status_code == 200


@pytest.mark.slow
def test_the_live_panel_is_answered_in_well_under_150_ms(
    as_owner: Client, make_bar: MakePiece
) -> None:
    for number in range(1, 20):
        make_bar(thickness_nm=number * 500_000)
    data = form()
    as_owner.post(PANEL, data, headers=HTMX)

    times = []
    for _ in range(5):
        began = time.process_time()  # what it costs, whoever else is at work on this machine
        as_owner.post(PANEL, data, headers=HTMX)
        times.append(time.process_time() - began)

    assert min(times) < 0.15


@pytest.mark.slow
def test_every_field_has_a_label_that_a_screen_reader_finds(as_owner: Client) -> None:
    page = soup(as_owner.get(url("layup-add")))

    fields = page.select("#editor input:not([type=hidden]), #editor select, #editor textarea")
    unnamed = [
        str(field["name"])
        for field in fields
        if not field.get("aria-label") and not page.select(f'label[for="{field["id"]}"]')
    ]
    assert unnamed == []
    ids = [str(one["id"]) for one in page.select("[id]")]
    assert [one for one in ids if ids.count(one) > 1] == []
    told = " ".join(str(one["aria-describedby"]) for one in page.select("[aria-describedby]"))
    assert [one for one in set(re.split(r"\s+", told)) if one not in ids] == []


def test_sizes_of_the_grind_and_the_blade_are_kept_and_may_be_left_empty(as_helper: Client) -> None:
    sizes = {"bevel_height_nm": "20 mm", "wheel_radius_nm": "5 in", "blade_length_nm": "9 in"}

    as_helper.post(url("layup-add"), form(grind="hollow", **sizes))

    layup = Layup.objects.get()
    blade = layup.design().blade
    assert (blade.bevel_height_nm, blade.wheel_radius_nm) == (20_000_000, 127_000_000)
    assert (blade.bulge_nm, blade.length_nm) == (None, 228_600_000)
    as_helper.post(url("layup-edit", layup.pk), form(grind="flat"))
    layup.refresh_from_db()
    assert (layup.wheel_radius_nm, layup.blade_length_nm) == (None, None)


@pytest.mark.parametrize("name", ["bevel_height_nm", "wheel_radius_nm", "bulge_nm"])
def test_a_bad_size_of_a_grind_is_said_beside_its_field(as_helper: Client, name: str) -> None:
    response = as_helper.post(url("layup-add"), form(grind="convex", **{name: "three smoots"}))

    assert response.status_code == 422
    assert "is not a length we know" in one(soup(response), f"#{name}-error").text
    assert Layup.objects.count() == 0


@pytest.mark.slow
def test_the_drawn_size_and_the_blade_s_length_promise_no_false_digits(
    as_helper: Client, make_layup: MakeLayup
) -> None:
    page = soup(as_helper.get(url("layup-edit", make_layup().pk)))

    view = page.select_one("figure[data-side=right]")
    assert view is not None
    label = one(view, "[data-draw=word-length]").text.strip()
    assert re.fullmatch(r"about \d+(-[1357]/8|-1/4|-3/4|-1/2)? in", label)
    heading = page.find("h2", string="Drawn out")
    assert heading is not None
    size = heading.find_next("strong")
    assert size is not None
    drawn = size.text.strip()
    assert re.fullmatch(r"about \d+(-[1357]/8|-1/4|-3/4|-1/2)? × .* in", drawn)


@pytest.mark.slow
def test_an_owner_s_reason_does_not_cover_a_stop_that_came_in_later(
    as_helper: Client, make_layup: MakeLayup, owner: Person
) -> None:
    layup = overridden(make_layup, owner)

    brass = (*STEEL_ON_STEEL[:2], ("ac26000", "line", "20 thou"), *STEEL_ON_STEEL[3:])
    response = as_helper.post(url("layup-edit", layup.pk), form(*brass), follow=True)

    layup.refresh_from_db()
    assert (layup.override_reason, layup.override_by) == ("", None)
    assert "reason was not written for this stop and is taken off" in response.text


def test_an_owner_s_reason_stays_while_no_stop_is_added(
    as_helper: Client, make_layup: MakeLayup, owner: Person
) -> None:
    layup = overridden(make_layup, owner)

    as_helper.post(url("layup-edit", layup.pk), form(*STEEL_ON_STEEL, note="other words"))

    layup.refresh_from_db()
    assert layup.override_reason == "The pair is welded up beforehand."
    assert layup.override_by == owner
