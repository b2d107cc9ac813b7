"""The layup editor: what it shows, what it refuses, what comes back as typed."""

import pytest

from billets.models import Layup
from tests.billets.layup_form import BAD, FIVE, form, soup, url, values
from tests.conftest import HTMX, IN
from tests.kinds import Client, MakeLayup, MakePiece
from tests.pages import one


@pytest.mark.slow
def test_a_new_layup_begins_with_a_sound_stack_and_is_not_kept_by_looking(
    as_helper: Client,
) -> None:
    page = soup(as_helper.get(url("layup-add")))

    assert len(page.select(".layer-row")) == 5
    assert one(page, "#panel .tag").text == "sound"
    assert Layup.objects.count() == 0


def test_a_layup_is_kept_with_its_layers_from_the_bottom_up(as_helper: Client) -> None:
    rows = (("a15n20", "cladding", "1.5 mm"), *FIVE[1:])

    response = as_helper.post(url("layup-add"), form(*rows))

    layup = Layup.objects.get()
    assert response["Location"] == url("layup-edit", layup.pk)
    assert [(one.alloy, one.thickness_nm) for one in layup.layers.all()] == [
        ("1084", 3_175_000),
        ("c10200", 508_000),
        ("1095", 4_762_500),
        ("c10200", 508_000),
        ("15n20", 1_500_000),
    ]
    assert (layup.name, layup.blank_width_nm) == ("Bright line", 31_750_000)
    assert (layup.finish_width_nm, layup.cleaning_loss_nm) == (None, 0)


def test_sizes_are_read_as_the_trade_writes_them(as_helper: Client) -> None:
    rows = (("a1084", "core", "1 1/2 in"), ("ac11000", "line", "16 oz"))

    as_helper.post(url("layup-add"), form(*rows))

    sizes = list(Layup.objects.get().layers.values_list("thickness_nm", flat=True))
    assert sizes == [548_640, 38_100_000]  # 16 oz copper is 0.0216 in


def test_changing_a_layup_replaces_its_layers_and_nothing_else(
    as_helper: Client, make_layup: MakeLayup
) -> None:
    layup, other = make_layup(name="Bright line"), make_layup(name="Other")

    as_helper.post(url("layup-edit", layup.pk), form(*FIVE[:3], grind="hollow"))

    layup.refresh_from_db()
    assert (layup.layers.count(), layup.grind) == (3, "hollow")
    assert other.layers.count() == 5


@pytest.mark.slow
@pytest.mark.parametrize(("typed", "said"), BAD)
def test_a_bad_thickness_is_refused_beside_its_field_and_nothing_is_lost(
    as_helper: Client, typed: str, said: str
) -> None:
    rows = (FIVE[0], FIVE[1], ("a1095", "core", typed), *FIVE[3:])

    response = as_helper.post(url("layup-add"), form(*rows, note="keep this"))

    page = soup(response)
    assert response.status_code == 422
    assert said in one(page, "#layer-2-thickness-error").text
    assert one(page, "[name=layer-2-thickness]").get("value", "") == typed
    assert values(page, "thickness")[0] == "1/8"
    assert one(page, "[name=note]").text.strip() == "keep this"
    assert Layup.objects.count() == 0


def test_an_empty_layup_is_refused_with_what_to_do(as_helper: Client) -> None:
    data = form() | {"layer-TOTAL_FORMS": "0"}

    response = as_helper.post(url("layup-add"), data)

    assert response.status_code == 422
    assert "A layup needs at least one layer." in response.text
    assert Layup.objects.count() == 0


def test_steel_on_steel_beside_copper_is_kept_but_the_panel_says_stop(as_helper: Client) -> None:
    rows = (("a1084", "cladding", "1/8"), *FIVE)

    as_helper.post(url("layup-add"), form(*rows))

    page = soup(as_helper.get(url("layup-edit", Layup.objects.get().pk)))
    stop = page.select_one("#panel .findings .stop")
    assert stop is not None
    assert one(stop, "a")["href"] == "#layer-5"
    assert page.select_one("#layer-5") is not None


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"name": ""}, "Give the layup a name"),
        ({"blank_length_nm": ""}, "Type a size for &#x27;Blank length&#x27;"),
        ({"bar_folds": "13"}, "A bar is folded 0 to 12 times."),
        ({"bar_folds": "twice"}, "A bar is folded 0 to 12 times."),
        ({"grind": "wavy"}, "Choose one of the list"),
        ({"finish_width_nm": "-1"}, "&#x27;-1&#x27;"),
    ],
)
def test_a_field_says_what_to_do_with_it(
    as_helper: Client, changes: dict[str, str], said: str
) -> None:
    response = as_helper.post(url("layup-add"), form(**changes))

    assert response.status_code == 422
    assert said in response.text
    assert Layup.objects.count() == 0


@pytest.mark.parametrize("number", [0, 999_999, 10**30])
def test_a_layup_that_is_not_there_is_not_found(as_helper: Client, number: int) -> None:
    assert as_helper.get(f"/layups/{number}/").status_code == 404


def test_two_layups_cannot_have_one_name(as_helper: Client, make_layup: MakeLayup) -> None:
    make_layup(name="bright LINE")

    response = as_helper.post(url("layup-add"), form())

    assert response.status_code == 422
    assert "There is a layup named" in response.text


@pytest.mark.slow
def test_stock_on_the_rack_gives_its_own_thickness_and_ties_the_layer_to_it(
    as_helper: Client, make_bar: MakePiece
) -> None:
    bar = make_bar(thickness_nm=IN // 8)
    rows = ((f"m{bar.material_id}", "cladding", ""), *FIVE[1:])

    page = soup(as_helper.get(url("layup-add")))
    as_helper.post(url("layup-add"), form(*rows))

    option = page.select_one(f'option[value="m{bar.material_id}"]')
    assert option is not None
    assert option["data-thickness"] == "1/8 in"
    top = Layup.objects.get().layers.last()
    assert top is not None
    assert (top.alloy, top.thickness_nm, top.material_id) == ("1084", 3_175_000, bar.material_id)


def test_another_thickness_than_that_of_the_stock_is_refused(
    as_helper: Client, make_bar: MakePiece
) -> None:
    bar = make_bar(thickness_nm=IN // 8)
    rows = ((f"m{bar.material_id}", "cladding", "1/4"), *FIVE[1:])

    response = as_helper.post(url("layup-add"), form(*rows))

    assert response.status_code == 422
    assert "is 1/8 in thick. Leave the thickness empty" in response.text


def test_an_own_alloy_can_be_chosen(as_helper: Client) -> None:
    from stock.models import OwnAlloy

    OwnAlloy.objects.create(key="own-folded", name="Folded", family="carbon-steel", hardens=True)

    as_helper.post(url("layup-add"), form(("aown-folded", "core", "1/4")))

    assert Layup.objects.get().layers.get().alloy == "own-folded"


def test_a_metal_that_is_gone_is_said_and_not_guessed(as_helper: Client) -> None:
    response = as_helper.post(url("layup-add"), form(("m999999", "core", "1/4")))

    assert response.status_code == 422
    assert "This metal is not in the list any more." in response.text


@pytest.mark.parametrize(
    ("button", "said"),
    [
        ({"up": "0"}, "That layer is the top one already."),
        ({"down": "4"}, "That layer is the bottom one already."),
        ({"mirror": "0"}, "Both sides of the core are the same already."),
        ({"up": "1"}, ""),
        ({"remove": "0"}, ""),
    ],
)
def test_a_button_that_finds_nothing_to_do_says_so(
    as_helper: Client, button: dict[str, str], said: str
) -> None:
    data = form() | button
    data.pop("save")

    page = soup(as_helper.post(url("layup-add"), data, headers=HTMX))

    told = " ".join(line.text for line in page.select(".layer-acts [role=status]"))
    assert told == said


@pytest.mark.parametrize(
    ("button", "left"),
    [
        ({"up": "2"}, ["1/8", "3/16", "20 thou", "20 thou", "1/8"]),
        ({"down": "0"}, ["20 thou", "1/8", "3/16", "20 thou", "1/8"]),
        ({"remove": "2"}, ["1/8", "20 thou", "20 thou", "1/8"]),
        ({"add-row": "0"}, ["1/8", "20 thou", "3/16", "20 thou", "1/8", "1/8"]),
        ({"mirror": "0"}, ["1/8", "20 thou", "3/16", "20 thou", "1/8"]),
    ],
)
def test_a_button_of_a_row_works_without_a_script_and_keeps_nothing(
    as_helper: Client, button: dict[str, str], left: list[str]
) -> None:
    data = form(note="still typing") | button
    data.pop("save")

    response = as_helper.post(url("layup-add"), data)

    page = soup(response)
    assert response.status_code == 200
    assert values(page, "thickness") == left
    assert one(page, "[name=note]").text.strip() == "still typing"
    assert Layup.objects.count() == 0


def test_a_button_does_not_lose_what_cannot_be_read(as_helper: Client) -> None:
    rows = (FIVE[0], FIVE[1], ("a1095", "core", "three smoots"), *FIVE[3:])

    response = as_helper.post(url("layup-add"), form(*rows) | {"up": "2"})

    assert values(soup(response), "thickness")[1] == "three smoots"


def test_with_htmx_a_button_answers_with_the_bench_alone_and_keeps_the_focus(
    as_helper: Client,
) -> None:
    response = as_helper.post(url("layup-add"), form() | {"up": "2"}, headers=HTMX)

    page = soup(response)
    assert page.select("html") == []
    assert page.select_one("#bench") is not None
    assert one(page, "button[autofocus]")["id"] == "up-1"


def test_show_computes_and_keeps_nothing(as_helper: Client) -> None:
    data = form() | {"show": "1"}
    data.pop("save")

    response = as_helper.post(url("layup-add"), data)

    assert response.status_code == 200
    assert "Stack 0.478 in high." in response.text  # 1/8 + 1/8 + 3/16 + 2 x 0.020
    assert Layup.objects.count() == 0
