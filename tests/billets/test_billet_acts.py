"""One billet: its steps, heats, size and the bar it becomes, from its own page."""

from collections.abc import Callable
from typing import Any

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from billets import workshop
from billets.models import Bar, Heat, Measurement, Step
from stock.models import Entry, OwnAlloy, Piece
from tests.conftest import HTMX, IN


def url(name: str, *args: Any) -> str:
    """Address of a page of this floor."""
    return reverse(f"billets:{name}", args=args)


def post(
    client: Any, name: str, billet: Any, data: dict[str, str] | None = None, **more: Any
) -> Any:
    """Send one of a billet's forms."""
    return client.post(url(name, billet.mark), data or {}, **more)


def test_a_mark_is_read_however_it_was_typed(
    as_helper: Any, make_billet: Callable[..., Any]
) -> None:
    billet = make_billet()
    typed = f" {billet.mark[0].lower()}-{billet.mark[1:]}"

    response = as_helper.get(url("billet-detail", typed))

    assert response.url == url("billet-detail", billet.mark)


@pytest.mark.parametrize("mark", ["K99", "nonsense", "¹²³", "x" * 60])
def test_a_mark_that_nobody_has_is_not_found(as_helper: Any, mark: str) -> None:
    assert as_helper.get(url("billet-detail", mark)).status_code == 404


def test_a_billet_without_metal_asks_for_it_first(
    as_helper: Any, make_billet: Callable[..., Any]
) -> None:
    billet = make_billet()

    text = as_helper.get(url("billet-detail", billet.mark)).text

    assert "Choose its metal and cut" in text
    assert "It is cut" not in text


def test_the_next_step_is_one_wide_button_and_is_recorded_with_who_and_when(
    as_helper: Any, helper: Any, cut_billet: Callable[..., Any]
) -> None:
    billet = cut_billet()
    page = BeautifulSoup(as_helper.get(url("billet-detail", billet.mark)).text, "html.parser")

    post(as_helper, "billet-step", billet, {"kind": "cleaned", "note": "scotched"})

    assert [one.text for one in page.select("button.wide")] == ["It is cleaned"]
    step = Step.objects.latest("id")
    assert (step.kind, step.note, step.by) == ("cleaned", "scotched", helper)
    assert "Hugo" in as_helper.get(url("billet-detail", billet.mark)).text


def test_the_same_step_sent_twice_is_recorded_once(
    as_helper: Any, cut_billet: Callable[..., Any]
) -> None:
    billet = cut_billet()
    post(as_helper, "billet-step", billet, {"kind": "cleaned"})

    response = post(as_helper, "billet-step", billet, {"kind": "cleaned"})

    assert response.status_code == 422
    assert "is cleaned; after that comes welded shut or failed" in response.text
    assert Step.objects.filter(billet=billet, kind="cleaned").count() == 1


def test_a_step_cannot_be_jumped(as_helper: Any, cut_billet: Callable[..., Any]) -> None:
    billet = cut_billet()

    response = post(as_helper, "billet-step", billet, {"kind": "finished"})

    assert response.status_code == 422
    assert workshop.stage(billet) == "cut"


def test_with_htmx_a_step_answers_with_the_work_alone(
    as_helper: Any, cut_billet: Callable[..., Any]
) -> None:
    billet = cut_billet()

    response = post(as_helper, "billet-step", billet, {"kind": "cleaned"}, headers=HTMX)

    page = BeautifulSoup(response.text, "html.parser")
    assert page.select("html") == []
    assert page.select_one("#work") is not None
    assert "is cleaned." in page.select_one("[role=status]").text  # type: ignore[union-attr]
    assert "It is welded shut" in response.text


def test_welding_shut_shows_the_estimate_and_takes_it_off_the_spool(
    as_helper: Any, cut_billet: Callable[..., Any], stocked: dict[str, Any]
) -> None:
    billet = cut_billet()
    post(as_helper, "billet-step", billet, {"kind": "cleaned"})
    text = as_helper.get(url("billet-detail", billet.mark)).text

    post(as_helper, "billet-step", billet, {"kind": "welded", "spool": str(stocked["spool"].pk)})

    # 4 joints x 2 x (152.4 + 31.75) mm = 1473.2 mm of bead with a 4 mm leg: 8 mm² x 1473.2 mm
    # x 7.85 mg/mm³ / 0.95 = 97.387 g, which is 3.4 oz.
    assert "About 3.4 oz goes into its seams" in text
    spool = Piece.objects.get(pk=stocked["spool"].pk)
    assert spool.on_hand == pytest.approx(5_000_000_000 - 97_387_000, abs=10_000)


def test_welding_shut_without_a_spool_books_no_wire(
    as_helper: Any, cut_billet: Callable[..., Any], stocked: dict[str, Any]
) -> None:
    billet = cut_billet()
    post(as_helper, "billet-step", billet, {"kind": "cleaned"})

    post(as_helper, "billet-step", billet, {"kind": "welded", "spool": ""})

    assert workshop.stage(billet) == "welded"
    assert not Entry.objects.filter(kind="used").exists()


def test_a_spool_with_too_little_wire_refuses_and_nothing_is_recorded(
    as_helper: Any, cut_billet: Callable[..., Any], stocked: dict[str, Any], owner: Any
) -> None:
    from stock import ledger

    spool = stocked["spool"]
    ledger.use(piece=spool, amount=4_999_000_000, job="bench", by=owner)
    billet = cut_billet()
    post(as_helper, "billet-step", billet, {"kind": "cleaned"})

    response = post(as_helper, "billet-step", billet, {"kind": "welded", "spool": str(spool.pk)})

    assert response.status_code == 422
    assert spool.mark in response.text
    assert workshop.stage(billet) == "cleaned"


def test_undo_gives_the_wire_back_and_a_second_record_says_so(
    as_helper: Any, cut_billet: Callable[..., Any], stocked: dict[str, Any]
) -> None:
    billet = cut_billet()
    for data in ({"kind": "cleaned"}, {"kind": "welded", "spool": str(stocked["spool"].pk)}):
        post(as_helper, "billet-step", billet, data)

    post(as_helper, "billet-undo", billet)

    assert workshop.stage(billet) == "cleaned"
    assert Piece.objects.get(pk=stocked["spool"].pk).on_hand == 5_000_000_000
    assert Step.objects.filter(billet=billet, undoes__isnull=False).count() == 1


def test_undoing_a_cut_by_hand_puts_the_metal_back(
    as_helper: Any, cut_billet: Callable[..., Any], stocked: dict[str, Any]
) -> None:
    billet = cut_billet()

    post(as_helper, "billet-undo", billet)

    assert workshop.stage(billet) == "planned"
    assert Piece.objects.get(pk=stocked["core"].pk).on_hand == 24 * IN


def test_what_is_only_planned_has_no_step_to_undo(
    as_helper: Any, make_billet: Callable[..., Any]
) -> None:
    response = post(as_helper, "billet-undo", make_billet())

    assert response.status_code == 422
    assert "there is no step to undo" in response.text


def test_a_failure_has_a_cause_from_the_list_and_a_note(
    as_helper: Any, make_billet: Callable[..., Any]
) -> None:
    billet = make_billet(stage="bonded")

    bad = post(as_helper, "billet-fail", billet, {"cause": "gremlins", "note": "odd"})
    post(as_helper, "billet-fail", billet, {"cause": "copper-ran", "note": "left too long"})

    assert bad.status_code == 422
    assert 'value="odd"' in bad.text
    step = Step.objects.latest("id")
    assert (step.kind, step.cause, step.note) == ("failed", "copper-ran", "left too long")
    page = as_helper.get(url("billet-detail", billet.mark)).text
    assert "copper ran (too hot)" in page.lower()
    assert "button wide" not in page


def test_a_heat_is_logged_in_the_shops_units(
    as_helper: Any, make_billet: Callable[..., Any]
) -> None:
    billet = make_billet(stage="welded")

    post(
        as_helper, "billet-heat", billet,
        {"work": "set", "temperature_mdegc": "1780", "seconds": "1:30", "thickness_nm": "7/16",
         "note": "even"},
    )  # fmt: skip

    heat = Heat.objects.get()
    assert (heat.number, heat.work, heat.seconds, heat.thickness_nm) == (1, "set", 90, 11_112_500)
    assert heat.temperature_mdegc == 971_111  # (1780 - 32) / 1.8


@pytest.mark.parametrize(
    ("field", "typed"),
    [("temperature_mdegc", "hot"), ("seconds", "-4"), ("thickness_nm", "9**9**9 mm")],
)
def test_a_heat_that_cannot_be_read_is_refused_and_kept_on_the_page(
    as_helper: Any, make_billet: Callable[..., Any], field: str, typed: str
) -> None:
    billet = make_billet(stage="welded")

    response = post(
        as_helper, "billet-heat", billet, {"work": "draw", "note": "keep me", field: typed}
    )

    assert response.status_code == 422
    assert f'value="{typed}"' in response.text
    assert 'value="keep me"' in response.text
    assert Heat.objects.count() == 0


@pytest.mark.parametrize("typed", ["0 F", "-3 C", "4000 F", "1501 C"])
def test_a_heat_that_no_forge_gives_is_refused(
    as_helper: Any, make_billet: Callable[..., Any], typed: str
) -> None:
    billet = make_billet(stage="welded")

    response = post(as_helper, "billet-heat", billet, {"work": "draw", "temperature_mdegc": typed})

    assert response.status_code == 422
    assert "is no forging heat. Type what the billet had, from 572 °F" in response.text
    assert Heat.objects.count() == 0


def test_a_struck_heat_stays_readable_and_the_next_takes_its_number(
    as_helper: Any, make_billet: Callable[..., Any]
) -> None:
    billet = make_billet(stage="welded")
    post(as_helper, "billet-heat", billet, {"work": "set"})
    heat = Heat.objects.get()

    as_helper.post(url("billet-heat-strike", billet.mark, heat.pk))
    again = as_helper.post(url("billet-heat-strike", billet.mark, heat.pk))
    post(as_helper, "billet-heat", billet, {"work": "set"})

    assert again.status_code == 422
    assert [one.number for one in Heat.objects.order_by("id")] == [1, 1]
    assert "struck by Hugo" in as_helper.get(url("billet-detail", billet.mark)).text


def test_a_heat_of_another_billet_cannot_be_struck_from_here(
    as_helper: Any, make_billet: Callable[..., Any]
) -> None:
    billet, other = make_billet(stage="welded"), make_billet(stage="welded")
    post(as_helper, "billet-heat", other, {"work": "set"})

    response = as_helper.post(url("billet-heat-strike", billet.mark, Heat.objects.get().pk))

    assert response.status_code == 404


SIZE = {"length_nm": "10", "width_nm": "1-7/16", "thickness_nm": "3/16", "heats": "7"}


def test_a_measured_size_stands_beside_what_was_predicted(
    as_helper: Any, make_billet: Callable[..., Any]
) -> None:
    billet = make_billet(stage="drawn")

    post(as_helper, "billet-size", billet, SIZE)

    size = Measurement.objects.get()
    assert (size.length_nm, size.heats, size.is_confirmed_strange) == (254_000_000, 7, False)
    page = BeautifulSoup(as_helper.get(url("billet-detail", billet.mark)).text, "html.parser")
    rows = [one.text for one in page.select(".compared tbody tr")]
    assert len(rows) == 3
    assert rows[0].startswith("Length10.000 in")


def test_a_size_that_the_metal_does_not_allow_is_questioned_and_kept_if_confirmed(
    as_helper: Any, make_billet: Callable[..., Any]
) -> None:
    billet = make_billet(stage="drawn")
    strange = SIZE | {"length_nm": "20"}

    asked = post(as_helper, "billet-size", billet, strange)
    kept = post(as_helper, "billet-size", billet, strange | {"is_confirmed": "on"})

    assert asked.status_code == 422
    assert "Measure again, or confirm that it is so." in asked.text
    assert 'name="is_confirmed"' in asked.text
    assert kept.status_code == 302
    assert Measurement.objects.get().is_confirmed_strange


def test_an_honest_size_is_not_marked_strange_by_a_ticked_box(
    as_helper: Any, make_billet: Callable[..., Any]
) -> None:
    billet = make_billet(stage="drawn")

    post(as_helper, "billet-size", billet, SIZE | {"is_confirmed": "on"})

    assert not Measurement.objects.get().is_confirmed_strange


@pytest.mark.parametrize("typed", ["0", "-3", "nan", "1e9 in", ""])
def test_a_size_that_cannot_be_is_refused(
    as_helper: Any, make_billet: Callable[..., Any], typed: str
) -> None:
    billet = make_billet(stage="drawn")

    response = post(as_helper, "billet-size", billet, SIZE | {"width_nm": typed})

    assert response.status_code == 422
    assert Measurement.objects.count() == 0


STEELS = [("1084", IN // 8, "core"), ("15n20", IN // 16, "jacket"), ("1084", IN // 8, "core")]
BAR = {"name": "Folded", "thickness_nm": "3/16", "width_nm": "1-1/4", "length_nm": "10"}


def test_a_finished_bar_of_steel_goes_on_the_rack_with_its_cost(
    as_owner: Any, make_layup: Callable[..., Any], make_billet: Callable[..., Any]
) -> None:
    layup = make_layup(name="Folded bar", layers=STEELS, bar_folds=3)
    billet = make_billet(layup=layup, stage="finished")

    post(as_owner, "billet-bar", billet, BAR | {"place": "rack 2"})

    bar = Bar.objects.get()
    assert (bar.layer_count, bar.piece.on_hand, bar.piece.place) == (24, 10 * IN, "rack 2")
    assert OwnAlloy.objects.get().made_of == "1084 15n20"
    text = as_owner.get(url("billet-detail", billet.mark)).text
    assert f"{bar.piece.mark}</" in text
    assert "24 layers" in text
    assert "Make it a bar" not in text


def test_a_bar_cannot_hold_more_metal_than_its_stack_did(
    as_owner: Any, make_layup: Callable[..., Any], make_billet: Callable[..., Any]
) -> None:
    # 5/16 in of stack, 6 by 1-1/4 in: 10 in long at 3/16 in, to the last grain.
    billet = make_billet(layup=make_layup(name="Bar", layers=STEELS), stage="finished")

    response = post(as_owner, "billet-bar", billet, BAR | {"length_nm": "10-1/64"})

    assert response.status_code == 422
    assert "All the metal of the stack is 10.000 in long" in response.text
    assert Bar.objects.count() == 0


def test_one_name_of_a_bar_stands_for_one_set_of_steels(
    as_owner: Any, make_layup: Callable[..., Any], make_billet: Callable[..., Any]
) -> None:
    first = make_billet(layup=make_layup(name="Bar", layers=STEELS), stage="finished")
    again = make_billet(layup=first.layup, stage="finished")
    other = [("1095", IN // 4, "core"), ("15n20", IN // 8, "jacket")]
    second = make_billet(layup=make_layup(name="Other bar", layers=other), stage="finished")
    post(as_owner, "billet-bar", first, BAR)

    refused = post(as_owner, "billet-bar", second, BAR)
    post(as_owner, "billet-bar", again, BAR | {"name": " folded "})

    assert refused.status_code == 422
    assert "There is an alloy named Folded already, made of 1084 and 15n20" in refused.text
    assert OwnAlloy.objects.count() == 1
    assert Bar.objects.count() == 2


def test_names_that_look_alike_to_a_machine_are_kept_apart(
    as_owner: Any, make_layup: Callable[..., Any], make_billet: Callable[..., Any]
) -> None:
    layup = make_layup(name="Bar", layers=STEELS)
    for name in ("Folded!", "Folded?", "折り返し", "鍛錬"):
        post(
            as_owner, "billet-bar", make_billet(layup=layup, stage="finished"), BAR | {"name": name}
        )

    keys = set(OwnAlloy.objects.values_list("key", flat=True))
    assert keys == {"own-folded", "own-folded-2", "own-bar", "own-bar-2"}


def test_copper_never_becomes_a_bar(as_owner: Any, make_billet: Callable[..., Any]) -> None:
    billet = make_billet(stage="finished")

    response = post(as_owner, "billet-bar", billet, BAR)

    assert response.status_code == 422
    assert "has copper in it" in response.text
    assert Bar.objects.count() == 0


def test_a_bar_that_is_on_the_rack_keeps_its_history(
    as_owner: Any, make_layup: Callable[..., Any], make_billet: Callable[..., Any]
) -> None:
    billet = make_billet(layup=make_layup(name="Bar", layers=STEELS), stage="finished")
    post(as_owner, "billet-bar", billet, BAR)

    page = as_owner.get(url("billet-detail", billet.mark)).text

    assert "Undo the last step" not in page


def test_a_helper_sees_no_money_on_a_billet(as_helper: Any, cut_billet: Callable[..., Any]) -> None:
    billet = cut_billet()

    text = as_helper.get(url("billet-detail", billet.mark)).text

    assert "$" not in text
    assert "metal so far" not in text


def test_the_owner_sees_what_its_metal_is_worth_so_far(
    as_owner: Any, cut_billet: Callable[..., Any]
) -> None:
    text = as_owner.get(url("billet-detail", cut_billet().mark)).text

    assert "metal so far $" in text


@pytest.mark.parametrize(
    "name",
    ["billet-step", "billet-fail", "billet-undo", "billet-heat", "billet-size", "billet-bar"],
)
def test_a_link_changes_no_billet_and_a_stranger_none_either(
    client: Any, owner: Any, make_billet: Callable[..., Any], name: str
) -> None:
    billet = make_billet(stage="welded")
    before = (Step.objects.count(), Heat.objects.count(), Measurement.objects.count())

    turned_away = post(client, name, billet, {"kind": "bonded", "cause": "other", **SIZE})
    client.force_login(owner)
    by_link = client.get(url(name, billet.mark))

    assert "/sign-in/" in turned_away.url
    assert by_link.status_code == 405
    assert (Step.objects.count(), Heat.objects.count(), Measurement.objects.count()) == before


def test_a_billets_page_asks_the_database_little(
    as_owner: Any, cut_billet: Callable[..., Any], django_assert_max_num_queries: Any
) -> None:
    billet = cut_billet()

    with django_assert_max_num_queries(24):
        as_owner.get(url("billet-detail", billet.mark))


def test_a_billet_of_a_class_leads_to_the_cut_list_that_it_waits_on(
    as_helper: Any, make_billet: Callable[..., Any], stocked: dict[str, Any], owner: Any
) -> None:
    from stock import promises
    from stock.promises import Promise

    billet = make_billet()
    (row,) = promises.set_aside(
        plan="winter bench", by=owner,
        promises=[Promise(stocked["core"].pk, "blank", 6 * IN, billet.job, 1, length_nm=6 * IN)],
    )  # fmt: skip
    billet.blanks.filter(position=2).update(set_aside=row)

    text = as_helper.get(url("billet-detail", billet.mark)).text

    assert "1 of its blanks is not ticked on the cut list of winter bench yet." in text
