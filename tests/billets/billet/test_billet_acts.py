"""What is recorded of a billet: stages, failures, undone steps, heats."""

import pytest
from bs4 import BeautifulSoup

from billets.history import writing as history
from billets.models import Heat, Step
from stock.models import Entry, Piece
from tests.billets.billet_posts import post, url
from tests.conftest import HTMX, IN
from tests.kinds import ClassMetal, Client, MakeBillet, Person
from tests.pages import one


def test_a_mark_is_read_however_it_was_typed(as_helper: Client, make_billet: MakeBillet) -> None:
    billet = make_billet()
    typed = f" {billet.mark[0].lower()}-{billet.mark[1:]}"

    response = as_helper.get(url("billet-detail", typed))

    assert response["Location"] == url("billet-detail", billet.mark)


@pytest.mark.parametrize("mark", ["K99", "nonsense", "¹²³", "x" * 60])
def test_a_mark_that_nobody_has_is_not_found(as_helper: Client, mark: str) -> None:
    assert as_helper.get(url("billet-detail", mark)).status_code == 404


def test_a_billet_without_metal_asks_for_it_first(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    billet = make_billet()

    text = as_helper.get(url("billet-detail", billet.mark)).text

    assert "Choose its metal and cut" in text
    assert "It is cut" not in text


@pytest.mark.slow
def test_the_next_step_is_one_wide_button_and_is_recorded_with_who_and_when(
    as_helper: Client, helper: Person, cut_billet: MakeBillet
) -> None:
    billet = cut_billet()
    page = BeautifulSoup(as_helper.get(url("billet-detail", billet.mark)).text, "html.parser")

    post(as_helper, "billet-step", billet, {"kind": "cleaned", "note": "scotched"})

    assert [one.text for one in page.select("button.wide")] == ["It is cleaned"]
    step = Step.objects.latest("id")
    assert (step.kind, step.note, step.by) == ("cleaned", "scotched", helper)
    assert "Hugo" in as_helper.get(url("billet-detail", billet.mark)).text


def test_the_same_step_sent_twice_is_recorded_once(
    as_helper: Client, cut_billet: MakeBillet
) -> None:
    billet = cut_billet()
    post(as_helper, "billet-step", billet, {"kind": "cleaned"})

    response = post(as_helper, "billet-step", billet, {"kind": "cleaned"})

    assert response.status_code == 422
    assert "is cleaned; after that comes welded shut or failed" in response.text
    assert Step.objects.filter(billet=billet, kind="cleaned").count() == 1


def test_a_step_cannot_be_jumped(as_helper: Client, cut_billet: MakeBillet) -> None:
    billet = cut_billet()

    response = post(as_helper, "billet-step", billet, {"kind": "finished"})

    assert response.status_code == 422
    assert history.stage(billet) == "cut"


def test_with_htmx_a_step_answers_with_the_work_alone(
    as_helper: Client, cut_billet: MakeBillet
) -> None:
    billet = cut_billet()

    response = post(as_helper, "billet-step", billet, {"kind": "cleaned"}, headers=HTMX)

    page = BeautifulSoup(response.text, "html.parser")
    assert page.select("html") == []
    assert page.select_one("#work") is not None
    assert "is cleaned." in one(page, "[role=status]").text
    assert "It is welded shut" in response.text


def test_welding_shut_shows_the_estimate_and_takes_it_off_the_spool(
    as_helper: Client, cut_billet: MakeBillet, stocked: ClassMetal
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
    as_helper: Client, cut_billet: MakeBillet, stocked: ClassMetal
) -> None:
    billet = cut_billet()
    post(as_helper, "billet-step", billet, {"kind": "cleaned"})

    post(as_helper, "billet-step", billet, {"kind": "welded", "spool": ""})

    assert history.stage(billet) == "welded"
    assert not Entry.objects.filter(kind="used").exists()


def test_a_spool_with_too_little_wire_refuses_and_nothing_is_recorded(
    as_helper: Client, cut_billet: MakeBillet, stocked: ClassMetal, owner: Person
) -> None:
    from stock.ledger import by_hand

    spool = stocked["spool"]
    by_hand.use(piece=spool, amount=4_999_000_000, job="bench", by=owner)
    billet = cut_billet()
    post(as_helper, "billet-step", billet, {"kind": "cleaned"})

    response = post(as_helper, "billet-step", billet, {"kind": "welded", "spool": str(spool.pk)})

    assert response.status_code == 422
    assert spool.mark in response.text
    assert history.stage(billet) == "cleaned"


def test_undo_gives_the_wire_back_and_a_second_record_says_so(
    as_helper: Client, cut_billet: MakeBillet, stocked: ClassMetal
) -> None:
    billet = cut_billet()
    for data in ({"kind": "cleaned"}, {"kind": "welded", "spool": str(stocked["spool"].pk)}):
        post(as_helper, "billet-step", billet, data)

    post(as_helper, "billet-undo", billet)

    assert history.stage(billet) == "cleaned"
    assert Piece.objects.get(pk=stocked["spool"].pk).on_hand == 5_000_000_000
    assert Step.objects.filter(billet=billet, undoes__isnull=False).count() == 1


def test_undoing_a_cut_by_hand_puts_the_metal_back(
    as_helper: Client, cut_billet: MakeBillet, stocked: ClassMetal
) -> None:
    billet = cut_billet()

    post(as_helper, "billet-undo", billet)

    assert history.stage(billet) == "planned"
    assert Piece.objects.get(pk=stocked["core"].pk).on_hand == 24 * IN


def test_what_is_only_planned_has_no_step_to_undo(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    response = post(as_helper, "billet-undo", make_billet())

    assert response.status_code == 422
    assert "there is no step to undo" in response.text


def test_a_failure_has_a_cause_from_the_list_and_a_note(
    as_helper: Client, make_billet: MakeBillet
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


def test_a_heat_is_logged_in_the_shops_units(as_helper: Client, make_billet: MakeBillet) -> None:
    billet = make_billet(stage="welded")

    post(
        as_helper,
        "billet-heat",
        billet,
        {
            "work": "set",
            "temperature_mdegc": "1780",
            "seconds": "1:30",
            "thickness_nm": "7/16",
            "note": "even",
        },
    )

    heat = Heat.objects.get()
    assert (heat.number, heat.work, heat.seconds, heat.thickness_nm) == (1, "set", 90, 11_112_500)
    assert heat.temperature_mdegc == 971_111  # (1780 - 32) / 1.8


@pytest.mark.parametrize(
    ("field", "typed"),
    [("temperature_mdegc", "hot"), ("seconds", "-4"), ("thickness_nm", "9**9**9 mm")],
)
def test_a_heat_that_cannot_be_read_is_refused_and_kept_on_the_page(
    as_helper: Client, make_billet: MakeBillet, field: str, typed: str
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
    as_helper: Client, make_billet: MakeBillet, typed: str
) -> None:
    billet = make_billet(stage="welded")

    response = post(as_helper, "billet-heat", billet, {"work": "draw", "temperature_mdegc": typed})

    assert response.status_code == 422
    assert "is no forging heat. Type what the billet had, from 572 °F" in response.text
    assert Heat.objects.count() == 0
