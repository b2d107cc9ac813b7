"""Hours on a billet's page: the clock, minutes beside the next step, struck lines."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from bs4 import BeautifulSoup, Tag

from billets.history import writing as history
from billets.hours import writing as hours
from billets.models import Billet, WorkTime
from stock import clock
from tests.billets.billet_posts import post, url
from tests.conftest import HTMX
from tests.kinds import ClassMetal, Client, DjangoAssertNumQueries, MakeBillet, Person

T0 = datetime(2026, 4, 1, 9, tzinfo=UTC)


def shown(client: Client, billet: Billet) -> Tag:
    """The hours of a billet's page."""
    page = BeautifulSoup(client.get(url("billet-detail", billet.mark)).text, "html.parser")
    part = page.select_one("#hours")
    assert part is not None
    return part


@pytest.mark.slow
def test_the_clock_is_started_seen_running_and_stopped(
    as_helper: Client, helper: Person, make_billet: MakeBillet
) -> None:
    billet = make_billet()
    with clock.as_of(T0):
        post(as_helper, "clock-start", billet, {"step": "cut"})
    with clock.as_of(T0 + timedelta(minutes=11)):
        running = shown(as_helper, billet)
        post(as_helper, "clock-stop", billet)

    (since,) = running.select("[data-since]")
    assert since["data-since"] == "2026-04-01T09:00:00+00:00"
    assert "Stop the clock" in running.text
    time = WorkTime.objects.get()
    assert (time.person, time.stopped_at) == (helper, T0 + timedelta(minutes=11))
    part = shown(as_helper, billet)
    assert "11 min" in part.text
    assert "$" not in part.text


def test_the_likely_step_comes_first(as_helper: Client, make_billet: MakeBillet) -> None:
    part = shown(as_helper, make_billet(stage="cleaned"))

    steps = [one["value"] for one in part.select('input[name="step"]')]
    assert steps == ["weld", "cut", "clean", "forge", "finish"]


def test_minutes_come_with_the_next_step(as_helper: Client, cut_billet: MakeBillet) -> None:
    billet = cut_billet()

    post(as_helper, "billet-step", billet, {"kind": "cleaned", "note": "", "minutes": "14"})

    assert history.stage(billet) == "cleaned"
    assert "clean 14 min" in shown(as_helper, billet).text


@pytest.mark.slow
def test_cutting_by_hand_takes_its_minutes_and_undoing_strikes_them(
    as_helper: Client, make_billet: MakeBillet, stocked: ClassMetal
) -> None:
    billet, data = make_billet(), {"saw": "", "minutes": "26"}
    for position, name in enumerate(("clad", "roll", "core", "roll", "clad")):
        data[f"piece-{position}"] = str(stocked[name].pk)

    post(as_helper, "billet-cut", billet, data)
    cut = shown(as_helper, billet).text
    post(as_helper, "billet-undo", billet)

    assert "cut 26 min" in cut
    after = shown(as_helper, billet).text
    assert "cut 26 min" not in after
    assert "1 struck line" in after
    assert history.stage(billet) == "planned"


def test_the_next_step_needs_no_minutes(as_helper: Client, cut_billet: MakeBillet) -> None:
    billet = cut_billet()

    post(as_helper, "billet-step", billet, {"kind": "cleaned"})

    assert history.stage(billet) == "cleaned"
    assert not WorkTime.objects.exists()


@pytest.mark.parametrize("minutes", ["0", "-5", "2000", "an hour", "9**9"])
def test_wrong_minutes_keep_the_step_back(
    as_helper: Client, cut_billet: MakeBillet, minutes: str
) -> None:
    billet = cut_billet()

    response = post(as_helper, "billet-step", billet, {"kind": "cleaned", "minutes": minutes})

    assert response.status_code == 422
    assert f'value="{minutes}"' in response.text
    assert history.stage(billet) == "cut"
    assert not WorkTime.objects.exists()


def test_where_a_clock_runs_for_the_step_no_minutes_are_asked_for(
    as_owner: Client, owner: Person, make_billet: MakeBillet
) -> None:
    billet = make_billet(stage="cut")
    hours.start_clock(billets=[billet], step="clean", person=owner)

    page = as_owner.get(url("billet-detail", billet.mark)).text

    assert "Your clock at this step stops with it." in page
    assert "Minutes it took" not in page


@pytest.mark.slow
def test_minutes_are_typed_and_struck(as_helper: Client, make_billet: MakeBillet) -> None:
    billet = make_billet()
    post(as_helper, "minutes-add", billet, {"step": "weld", "minutes": "40"})
    time = WorkTime.objects.get()
    written = shown(as_helper, billet).text

    as_helper.post(url("time-strike", billet.mark, time.pk))

    assert "typed by Hugo" in " ".join(written.split())
    after = shown(as_helper, billet).text
    assert "weld shut 40 min" not in after
    assert "1 struck line" in after
    assert WorkTime.objects.get().struck_at is not None


@pytest.mark.parametrize(
    ("form", "data"),
    [
        ("minutes-add", {"step": "weld", "minutes": "1441"}),
        ("minutes-add", {"step": "polish", "minutes": "4"}),
        ("minutes-add", {}),
        ("clock-start", {"step": "polish"}),
        ("clock-start", {}),
        ("clock-stop", {"minutes": "soon"}),
    ],
)
def test_bad_input_changes_nothing(
    as_helper: Client, make_billet: MakeBillet, form: str, data: dict[str, str]
) -> None:
    response = post(as_helper, form, make_billet(), data)

    assert response.status_code == 422
    assert not WorkTime.objects.exists()


def test_a_refusal_of_hours_stands_with_the_hours(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    response = post(as_helper, "clock-start", make_billet(), {"step": "polish"})

    page = BeautifulSoup(response.text, "html.parser")
    assert [one.text.strip() for one in page.select("#hours .errorlist")] == [
        "Choose a step from the list."
    ]
    assert page.select("#standing .errorlist") == []


def test_with_htmx_the_work_alone_comes_back(as_helper: Client, make_billet: MakeBillet) -> None:
    billet = make_billet()

    response = post(as_helper, "clock-start", billet, {"step": "cut"}, headers=HTMX)

    assert response.text.lstrip().startswith('<div class="work"')
    assert "The clock runs." in response.text
    assert "data-since" in response.text


@pytest.mark.parametrize("form", ["clock-start", "clock-stop", "minutes-add"])
def test_hours_are_written_by_posts_of_people_who_signed_in(
    client: Client, helper: Person, make_billet: MakeBillet, form: str
) -> None:
    billet = make_billet()
    stranger = post(client, form, billet, {"step": "cut", "minutes": "5"})
    client.force_login(helper)

    assert "sign-in" in stranger.url
    assert client.get(url(form, billet.mark)).status_code == 405
    assert not WorkTime.objects.exists()


def test_a_line_of_another_billet_is_not_struck_here(
    as_helper: Client, helper: Person, make_billet: MakeBillet
) -> None:
    time = hours.add_minutes(billets=[make_billet()], step="cut", minutes=5, person=helper)

    response = as_helper.post(url("time-strike", make_billet().mark, time.pk))

    assert response.status_code == 404
    assert WorkTime.objects.get().struck_at is None


@pytest.mark.slow
def test_a_clock_that_was_left_on_is_asked_about(
    as_owner: Client, owner: Person, make_billet: MakeBillet
) -> None:
    billet = make_billet()
    with clock.as_of(T0):
        hours.start_clock(billets=[billet], step="weld", person=owner)
    with clock.as_of(T0 + timedelta(hours=25)):
        part = shown(as_owner, billet)
        refused = post(as_owner, "clock-stop", billet, {"minutes": "1441"})
        post(as_owner, "clock-stop", billet, {"minutes": "50"})

    assert "This clock has run since Wed 1 Apr, 09:00: 25 h 00." in part.text
    assert part.select_one("[data-since]") is None
    assert refused.status_code == 422
    assert "50 min" in shown(as_owner, billet).text


def test_a_clock_elsewhere_is_named(
    as_owner: Client, owner: Person, make_billet: MakeBillet
) -> None:
    other, billet = make_billet(), make_billet()
    hours.start_clock(billets=[other], step="cut", person=owner)

    part = shown(as_owner, billet)

    assert f"Your clock runs at {other.mark}: cut." in " ".join(part.text.split())
    assert part.select_one("[data-since]") is None


def test_one_s_clock_does_not_run_on_another_s_page(
    as_helper: Client, owner: Person, make_billet: MakeBillet
) -> None:
    billet = make_billet()
    hours.start_clock(billets=[billet], step="cut", person=owner)

    part = shown(as_helper, billet)

    assert "Stop the clock" not in part.text
    assert "runs" in part.text


def test_a_shared_line_says_with_how_many(
    as_owner: Client, owner: Person, make_billet: MakeBillet
) -> None:
    billets = [make_billet() for _ in range(4)]
    hours.add_minutes(billets=billets, step="cut", minutes=60, person=owner)

    text = " ".join(shown(as_owner, billets[2]).text.split())

    assert "Cut: 15 min" in text
    assert "its share of 1 h 00 for 4 billets" in text


def test_a_withdrawn_billet_offers_no_hours(as_owner: Client, make_billet: MakeBillet) -> None:
    billet = make_billet()
    history.withdraw(billets=[billet])

    part = shown(as_owner, billet)

    assert part.select("form") == []


def test_a_failed_billet_offers_minutes_and_no_clock(
    as_owner: Client, owner: Person, make_billet: MakeBillet
) -> None:
    billet = make_billet()
    history.record_step(billet=billet, kind="failed", cause="cracked", by=owner)

    forms = shown(as_owner, billet).select("form")

    assert [one["action"] for one in forms] == [url("minutes-add", billet.mark)]


def test_many_lines_of_hours_take_no_more_queries(
    as_owner: Client,
    owner: Person,
    make_billet: MakeBillet,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    billets = [make_billet() for _ in range(4)]
    for minutes in range(1, 12):
        hours.add_minutes(billets=billets, step="cut", minutes=minutes, person=owner)

    with django_assert_max_num_queries(24):
        as_owner.get(url("billet-detail", billets[0].mark))
