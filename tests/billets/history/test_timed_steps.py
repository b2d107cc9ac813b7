"""Stages recorded for one billet or several, with the minutes they took: all or nothing."""

from __future__ import annotations

import pytest

from billets.history import timed_steps
from billets.history import writing as history
from billets.hours import writing as hours
from billets.models import Step, WorkTime
from stock.models import Entry
from tests.billets.clocks import after, seconds_at
from tests.kinds import ClassMetal, MakeBillet, Person


@pytest.mark.slow
def test_a_stage_for_several_billets_keeps_its_minutes_in_shares(
    cut_billet: MakeBillet, owner: Person
) -> None:
    billets = [cut_billet(), cut_billet()]

    timed_steps.record_steps(billets=billets, kind="cleaned", by=owner, minutes=31)

    assert [history.stage(one) for one in billets] == ["cleaned", "cleaned"]
    assert [seconds_at(one, "clean") for one in billets] == [930, 930]


def test_undoing_a_stage_strikes_its_minutes(cut_billet: MakeBillet, owner: Person) -> None:
    billet = cut_billet()
    timed_steps.record_steps(billets=[billet], kind="cleaned", by=owner, minutes=14)

    history.undo_step(billet=billet, by=owner)

    assert seconds_at(billet, "clean") == 0
    assert WorkTime.objects.get().struck_by == owner


def test_undoing_one_of_several_leaves_the_others_their_minutes(
    make_billet: MakeBillet, owner: Person
) -> None:
    billets = [make_billet(stage="cut") for _ in range(3)]
    timed_steps.record_steps(billets=billets, kind="cleaned", by=owner, minutes=10)

    history.undo_step(billet=billets[1], by=owner)

    assert [seconds_at(one, "clean") for one in billets] == [200, 0, 200]
    history.undo_step(billet=billets[2], by=owner)
    assert [seconds_at(one, "clean") for one in billets] == [200, 0, 0]


def test_undoing_a_stage_leaves_a_line_that_was_struck_by_hand(
    make_billet: MakeBillet, owner: Person, helper: Person
) -> None:
    billets = [make_billet(stage="cut") for _ in range(2)]
    timed_steps.record_steps(billets=billets, kind="cleaned", by=owner, minutes=10)
    hours.strike(time=WorkTime.objects.get(), by=helper)

    history.undo_step(billet=billets[0], by=owner)

    assert WorkTime.objects.get().struck_by == helper


def test_a_refused_billet_is_named_and_nothing_is_written(
    make_billet: MakeBillet, owner: Person
) -> None:
    ready, behind = make_billet(stage="cut"), make_billet(stage="cleaned")

    with pytest.raises(timed_steps.StepsRefused) as refused:
        timed_steps.record_steps(billets=[ready, behind], kind="cleaned", by=owner, minutes=10)

    assert [mark for mark, _ in refused.value.refusals] == [behind.mark]
    assert f"{behind.mark} is cleaned; after that comes welded shut" in str(refused.value)
    assert history.stage(ready) == "cut"
    assert not WorkTime.objects.exists()


def test_wire_for_several_seams_comes_off_one_spool_or_not_at_all(
    make_billet: MakeBillet, stocked: ClassMetal, owner: Person
) -> None:
    billets = [make_billet(stage="cleaned") for _ in range(2)]
    spool = stocked["spool"]
    ids = [one.pk for one in billets]

    with pytest.raises(timed_steps.StepsRefused, match=billets[1].mark):
        timed_steps.record_steps(
            billets=billets,
            kind="welded",
            by=owner,
            spool=spool,
            wire_ug=dict.fromkeys(ids, 3_000_000_000),
        )
    assert not Entry.objects.filter(job=billets[0].job).exists()
    timed_steps.record_steps(
        billets=billets,
        kind="welded",
        by=owner,
        spool=spool,
        wire_ug=dict.fromkeys(ids, 1_000_000_000),
    )

    spool.refresh_from_db()
    assert spool.on_hand == 3_000_000_000
    assert [Entry.objects.get(job=one.job).amount for one in billets] == [-1_000_000_000] * 2


def test_one_s_own_clock_stops_with_the_stage_it_ran_for(
    make_billet: MakeBillet, owner: Person
) -> None:
    billet = make_billet(stage="cut")
    with after():
        hours.start_clock(billets=[billet], step="clean", person=owner)
    with after(minutes=12):
        timed_steps.record_steps(billets=[billet], kind="cleaned", by=owner)

    assert seconds_at(billet, "clean") == 720
    assert hours.running(person=owner) is None


def test_a_clock_for_more_billets_than_are_done_runs_on(
    make_billet: MakeBillet, owner: Person
) -> None:
    billets = [make_billet(stage="cut") for _ in range(2)]
    hours.start_clock(billets=billets, step="clean", person=owner)

    timed_steps.record_steps(billets=billets[:1], kind="cleaned", by=owner)

    assert hours.running(person=owner) is not None


def test_bonding_does_not_end_the_forging(make_billet: MakeBillet, owner: Person) -> None:
    billet = make_billet(stage="welded")
    hours.start_clock(billets=[billet], step="forge", person=owner)

    timed_steps.record_steps(billets=[billet], kind="bonded", by=owner)

    assert hours.running(person=owner) is not None


def test_the_same_work_is_not_written_down_twice(make_billet: MakeBillet, owner: Person) -> None:
    billet = make_billet(stage="cut")
    hours.start_clock(billets=[billet], step="clean", person=owner)

    with pytest.raises(hours.HoursRefused, match="Leave the minutes empty"):
        timed_steps.record_steps(billets=[billet], kind="cleaned", by=owner, minutes=10)

    assert history.stage(billet) == "cut"
    assert hours.running(person=owner) is not None


def test_minutes_stand_with_their_stage(make_billet: MakeBillet, owner: Person) -> None:
    billet = make_billet(stage="cut")

    timed_steps.record_steps(billets=[billet], kind="cleaned", by=owner, minutes=10)

    assert Step.objects.get(kind="cleaned").time == WorkTime.objects.get()
