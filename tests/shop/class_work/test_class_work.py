"""Work at all billets of a class at once: the clock, minutes, the next stage; all or nothing."""

from __future__ import annotations

from datetime import timedelta

import pytest
from bs4 import BeautifulSoup

from billets.history import writing as history
from billets.hours import reading as hours_reading
from billets.hours import writing as hours
from billets.models import WorkTime
from shop.models import ForgeClass
from stock import clock
from stock.models import Entry
from tests.kinds import Client, MakeMaterial, MakePiece, Person, Piece
from tests.shop.knife_posts import T0
from tests.shop.work_posts import address, billets_of, seconds, stages


@pytest.fixture
def spool(make_piece: MakePiece, make_material: MakeMaterial) -> Piece:
    """5 kg of wire."""
    wire = make_material(
        form="wire", alloy="er70s-6", thickness_nm=0, width_nm=0, diameter_nm=889_000
    )
    return make_piece(material=wire, mass_ug=5_000_000_000, price_cents=4500)


@pytest.mark.slow
def test_the_clock_runs_for_those_that_have_not_passed_the_step(
    as_helper: Client, worked_class: ForgeClass, owner: Person
) -> None:
    ahead, failed = billets_of(worked_class)[:2]
    history.record_step(billet=ahead, kind="cleaned", by=owner)
    history.record_step(billet=failed, kind="failed", cause="cracked", by=owner)
    with clock.as_of(T0):
        response = as_helper.post(address("-start", worked_class), {"step": "clean"}, follow=True)
    with clock.as_of(T0 + timedelta(minutes=30)):
        as_helper.post(address("-stop", worked_class))

    assert "The clock runs: clean, 2 billets." in response.text
    assert "Stop the clock" in response.text
    assert seconds(worked_class, "clean") == [0, 0, 900, 900]


def test_ticked_billets_are_meant_and_no_others(
    as_helper: Client, worked_class: ForgeClass
) -> None:
    second = billets_of(worked_class)[1]
    with clock.as_of(T0):
        as_helper.post(
            address("-start", worked_class), {"step": "clean", "billet": [str(second.pk)]}
        )
    with clock.as_of(T0 + timedelta(minutes=7)):
        as_helper.post(address("-stop", worked_class))

    assert seconds(worked_class, "clean") == [0, 420, 0, 0]


def test_a_billet_of_another_class_cannot_be_ticked_here(
    as_helper: Client, worked_class: ForgeClass, owner: Person
) -> None:
    other = history.make_billet(layup=worked_class.layup, by=owner)

    as_helper.post(
        address("-minutes", worked_class),
        {"typed-step": "clean", "typed-minutes": "8", "billet": [str(other.pk), "nonsense"]},
    )

    assert hours_reading.worked_at([other]) == {}
    assert seconds(worked_class, "clean") == [120, 120, 120, 120]


def test_minutes_for_all_leave_out_those_that_failed(
    as_helper: Client, worked_class: ForgeClass, owner: Person
) -> None:
    failed = billets_of(worked_class)[3]
    history.record_step(billet=failed, kind="failed", cause="cracked", by=owner)

    response = as_helper.post(
        address("-minutes", worked_class),
        {"typed-step": "weld", "typed-minutes": "50"},
        follow=True,
    )

    assert "50 min written down for 3 billets together." in response.text
    assert seconds(worked_class, "weld") == [1000, 1000, 1000, 0]


def test_a_failed_billet_gets_minutes_when_it_is_ticked(
    as_helper: Client, worked_class: ForgeClass, owner: Person
) -> None:
    failed = billets_of(worked_class)[3]
    history.record_step(billet=failed, kind="failed", cause="cracked", by=owner)

    as_helper.post(
        address("-minutes", worked_class),
        {"typed-step": "weld", "typed-minutes": "5", "billet": [str(failed.pk)]},
    )

    assert seconds(worked_class, "weld") == [0, 0, 0, 300]


def test_the_whole_class_is_cleaned_in_one_go_with_its_minutes(
    as_helper: Client, worked_class: ForgeClass
) -> None:
    response = as_helper.post(
        address("-stage", worked_class),
        {"next-kind": "cleaned", "next-minutes": "62", "next-note": "scotched"},
        follow=True,
    )

    assert "4 billets are cleaned." in response.text
    assert stages(worked_class) == ["cleaned"] * 4
    assert seconds(worked_class, "clean") == [930] * 4
    last = billets_of(worked_class)[0].steps.last()
    assert last is not None
    assert "scotched" in last.note


def test_only_those_that_wait_for_a_stage_reach_it(
    as_helper: Client, worked_class: ForgeClass, owner: Person
) -> None:
    history.record_step(billet=billets_of(worked_class)[0], kind="cleaned", by=owner)

    response = as_helper.post(address("-stage", worked_class), {"next-kind": "welded"}, follow=True)

    assert "1 billet is welded shut." in response.text
    assert stages(worked_class) == ["welded", "cut", "cut", "cut"]


def test_wire_of_each_seam_comes_off_one_spool(
    as_helper: Client, worked_class: ForgeClass, spool: Piece
) -> None:
    as_helper.post(address("-stage", worked_class), {"next-kind": "cleaned"})

    as_helper.post(
        address("-stage", worked_class), {"next-kind": "welded", "next-spool": str(spool.pk)}
    )

    spool.refresh_from_db()
    taken = [-Entry.objects.get(job=one.job).amount for one in billets_of(worked_class)]
    assert len(set(taken)) == 1
    assert spool.on_hand == 5_000_000_000 - 4 * taken[0]
    assert taken[0] > 0


def test_each_refusal_is_named_and_nothing_is_half_done(
    as_helper: Client, worked_class: ForgeClass, owner: Person
) -> None:
    billets = billets_of(worked_class)
    history.record_step(billet=billets[0], kind="cleaned", by=owner)
    history.record_step(billet=billets[1], kind="failed", cause="cracked", by=owner)

    response = as_helper.post(
        address("-stage", worked_class),
        {
            "next-kind": "cleaned",
            "next-minutes": "12",
            "next-note": "all of them",
            "billet": [str(one.pk) for one in billets],
        },
    )

    text = BeautifulSoup(response.text, "html.parser").text
    assert response.status_code == 422
    assert f"{billets[0].mark} is cleaned; after that comes welded shut or failed." in text
    assert f"{billets[1].mark} is failed; after that comes nothing more." in text
    assert 'value="all of them"' in response.text
    assert response.text.count(" checked") == 4
    assert stages(worked_class) == ["cleaned", "failed", "cut", "cut"]
    assert not WorkTime.objects.exists()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("act", "data", "sentence"),
    [
        ("-start", {"step": "polish"}, "Choose a step from the list."),
        ("-start", {}, "Choose a step from the list."),
        ("-stage", {"next-kind": "finished"}, "No billet of this class waits to be finished."),
        ("-stage", {"next-kind": "failed"}, "Choose one of the list"),
        ("-stage", {"next-kind": "cleaned", "next-minutes": "0"}, "Write at least 1 minute."),
        ("-stage", {"next-kind": "cleaned", "next-minutes": "1e9"}, "Write whole minutes"),
        ("-minutes", {"typed-step": "weld", "typed-minutes": ""}, "Write whole minutes"),
        ("-minutes", {"typed-step": "x", "typed-minutes": "5"}, "Choose one of the list"),
        ("-stop", {"minutes": "soon"}, "Which billets"),
        ("", {}, "Press one of the buttons"),
    ],
)
def test_bad_input_changes_nothing(
    as_helper: Client, worked_class: ForgeClass, act: str, data: dict[str, str], sentence: str
) -> None:
    response = as_helper.post(address(act, worked_class), data)

    assert response.status_code == 422
    assert sentence in response.text
    assert stages(worked_class) == ["cut"] * 4
    assert not WorkTime.objects.exists()


def test_a_line_is_struck_for_all_its_billets(
    as_helper: Client, worked_class: ForgeClass, owner: Person
) -> None:
    time = hours.add_minutes(billets=billets_of(worked_class), step="cut", minutes=40, person=owner)

    as_helper.post(address("-strike", worked_class, time.pk))

    assert seconds(worked_class, "cut") == [0] * 4


def test_a_line_of_other_billets_is_not_struck_here(
    as_helper: Client, worked_class: ForgeClass, owner: Person
) -> None:
    other = history.make_billet(layup=worked_class.layup, by=owner)
    time = hours.add_minutes(billets=[other], step="cut", minutes=40, person=owner)

    response = as_helper.post(address("-strike", worked_class, time.pk))

    assert response.status_code == 404
    assert WorkTime.objects.get().struck_at is None


@pytest.mark.parametrize("act", ["-start", "-stop", "-minutes", "-stage"])
def test_work_is_written_by_posts_of_people_who_signed_in(
    client: Client, helper: Person, worked_class: ForgeClass, act: str
) -> None:
    stranger = client.post(address(act, worked_class), {"step": "clean", "next-kind": "cleaned"})
    client.force_login(helper)

    assert "sign-in" in stranger["Location"]
    assert client.get(address(act, worked_class)).status_code == 405
    assert stages(worked_class) == ["cut"] * 4
    assert not WorkTime.objects.exists()
