"""The cut list: ticked on a phone, taken back, and what no longer matches is explained."""

from __future__ import annotations

import pytest
from django.urls import reverse

from billets.history import writing as history
from billets.models import Billet
from shop.cut_list import reading as cut_list_reading
from shop.cut_list import writing as cut_list
from shop.models import ForgeClass, PlanRun
from shop.planning import writing as planning
from stock.house import House
from stock.ledger import by_hand
from stock.models import Entry, Piece, SetAside
from tests.kinds import ClassMetal, Client, DjangoAssertNumQueries, MakeClass, MakeLayup, Person

IN = 25_400_000
HTMX = {"HX-Request": "true"}


def tick_url(row: ForgeClass, aside: SetAside) -> str:
    """Where a cut is ticked."""
    return reverse("shop:cut-tick", args=[row.pk, aside.pk])


def undo_url(row: ForgeClass, aside: SetAside) -> str:
    """Where a tick is taken back."""
    return reverse("shop:cut-undo", args=[row.pk, aside.pk])


def test_pieces_come_in_the_order_of_least_walking(
    planned_class: MakeClass, class_metal: ClassMetal
) -> None:
    row = planned_class(students=2)

    pieces = cut_list_reading.cut_list(row, house=House())["pieces"]

    assert [one.piece.place for one in pieces] == ["copper shelf", "rack 1", "rack 2"]


def test_stops_run_from_one_end_and_stay_when_cuts_are_ticked(
    planned_class: MakeClass, class_metal: ClassMetal, owner: Person
) -> None:
    row = planned_class(students=2)
    bar = class_metal["cladding"]

    def stops() -> list[int | None]:
        pieces = cut_list_reading.cut_list(row, house=House(system="metric"))["pieces"]
        return [line.stop_nm for one in pieces if one.piece == bar for line in one.rows]

    before = stops()
    cut_list.tick_cut(set_aside=SetAside.objects.filter(piece=bar).order_by("id")[1], by=owner)

    # 152.4 mm each with 1 mm of kerf between them.
    assert before == [152_400_000, 305_800_000, 459_200_000, 612_600_000]
    assert stops() == before


def test_a_tick_is_the_ledgers_entry(
    as_helper: Client, planned_class: MakeClass, class_metal: ClassMetal
) -> None:
    row = planned_class(students=1)
    aside = SetAside.objects.get(piece=class_metal["core"])

    response = as_helper.post(tick_url(row, aside), follow=True)

    assert f"{aside.label} is cut." in response.text
    entry = Entry.objects.get(kind="blank")
    assert (entry.amount, str(entry.by)) == (-6 * IN, "Hugo")
    assert Piece.objects.get(pk=class_metal["core"].pk).set_aside == 0


def test_a_strip_comes_first_and_its_mark_is_told(
    as_owner: Client, planned_class: MakeClass, class_metal: ClassMetal
) -> None:
    row = planned_class(students=2)
    strip = SetAside.objects.get(kind="strip")
    child = strip.children.order_by("id")[0]

    early = as_owner.post(tick_url(row, child))
    done = as_owner.post(tick_url(row, strip), follow=True)

    assert early.status_code == 422
    assert "Tick the strip first" in early.text
    new = Piece.objects.get(cut_from=class_metal["roll"])
    assert f"Paint {new.mark} on the strip." in done.text
    child.refresh_from_db()
    assert child.piece == new


def test_an_offcut_gets_a_mark_to_paint(
    as_owner: Client, planned_class: MakeClass, make_layup: MakeLayup
) -> None:
    # Two blanks of 4 x 1-1/4 in leave 2 in of the roll's 6 in, or more.
    row = planned_class(students=1, layup=make_layup(blank_length_nm=4 * IN))
    as_owner.post(tick_url(row, SetAside.objects.get(kind="strip")))
    rest = SetAside.objects.get(kind="rest", is_kept=True)

    response = as_owner.post(tick_url(row, rest), follow=True)

    new = Piece.objects.latest("id")
    assert f"Paint {new.mark} on the offcut." in response.text
    assert new.on_hand == rest.length_nm * rest.width_nm


def test_the_same_tick_sent_twice_books_once_and_is_told(
    as_owner: Client, planned_class: MakeClass, class_metal: ClassMetal
) -> None:
    row = planned_class(students=1)
    aside = SetAside.objects.get(piece=class_metal["core"])
    as_owner.post(tick_url(row, aside))
    count = Entry.objects.count()

    again = as_owner.post(tick_url(row, aside))

    assert again.status_code == 422
    assert "is cut already" in again.text
    assert "Nothing was booked." in again.text
    assert Entry.objects.count() == count


def test_a_cut_that_was_planned_elsewhere_is_explained(
    as_owner: Client, planned_class: MakeClass, class_metal: ClassMetal, owner: Person
) -> None:
    row = planned_class(students=1)
    aside = SetAside.objects.get(piece=class_metal["core"])
    planning.free_plan(forge_class=row)

    response = as_owner.post(tick_url(row, aside))

    assert response.status_code == 422
    assert "the plan was changed since this list was shown" in response.text
    assert "Make the plan again" in response.text
    assert Entry.objects.filter(kind="blank").count() == 0


def tick_all(row: ForgeClass, by: Person) -> None:
    """Work the whole list off."""
    while following := cut_list_reading.cut_list(row, house=House())["next"]:
        cut_list.tick_cut(set_aside=following.row, by=by)


@pytest.mark.slow
def test_the_last_blank_of_a_billet_makes_it_cut(planned_class: MakeClass, owner: Person) -> None:
    row = planned_class(students=2)

    tick_all(row, owner)

    assert [history.stage(billet) for billet in Billet.objects.all()] == ["cut", "cut"]


@pytest.mark.slow
def test_a_tick_taken_back_takes_the_stage_back(
    as_owner: Client, planned_class: MakeClass, owner: Person, class_metal: ClassMetal
) -> None:
    row = planned_class(students=1)
    tick_all(row, owner)
    aside = SetAside.objects.get(piece=class_metal["core"])

    response = as_owner.post(undo_url(row, aside), follow=True)

    aside.refresh_from_db()
    assert aside.state == "standing"
    assert "is taken back: it is to be cut again." in response.text
    assert history.stage(Billet.objects.get()) == "planned"


@pytest.mark.slow
def test_a_billet_that_went_on_keeps_its_cuts(
    as_owner: Client, planned_class: MakeClass, owner: Person, class_metal: ClassMetal
) -> None:
    row = planned_class(students=1)
    tick_all(row, owner)
    history.record_step(billet=Billet.objects.get(), kind="cleaned", by=owner)
    aside = SetAside.objects.get(piece=class_metal["core"])

    response = as_owner.post(undo_url(row, aside))

    assert response.status_code == 422
    assert "is cleaned already. Take back its steps first" in response.text
    aside.refresh_from_db()
    assert aside.state == "cut"


def test_a_strip_goes_back_on_its_roll_only_while_it_is_whole(
    as_owner: Client, planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=1)
    strip = SetAside.objects.get(kind="strip")
    cut_list.tick_cut(set_aside=strip, by=owner)
    child = strip.children.filter(kind="blank").order_by("id")[0]
    cut_list.tick_cut(set_aside=child, by=owner)

    refused = as_owner.post(undo_url(row, strip))
    cut_list.undo_tick(set_aside=child, by=owner)
    taken_back = as_owner.post(undo_url(row, strip))

    assert refused.status_code == 422
    assert taken_back.status_code == 302
    child.refresh_from_db()
    assert child.amount == 0


def test_a_tick_undone_after_the_class_is_off_frees_the_metal(
    planned_class: MakeClass, owner: Person, class_metal: ClassMetal
) -> None:
    from shop.classes import writing as classes

    row = planned_class(students=1)
    aside = SetAside.objects.get(piece=class_metal["core"])
    cut_list.tick_cut(set_aside=aside, by=owner)
    classes.cancel_class(forge_class=row)

    cut_list.undo_tick(set_aside=aside, by=owner)

    core = Piece.objects.get(pk=class_metal["core"].pk)
    assert (core.on_hand, core.set_aside) == (36 * IN, 0)


def test_what_was_never_ticked_is_not_taken_back(
    as_owner: Client, planned_class: MakeClass
) -> None:
    row = planned_class(students=1)

    response = as_owner.post(undo_url(row, SetAside.objects.get(kind="strip")))

    assert response.status_code == 422
    assert "This cut is not ticked." in response.text


def test_a_piece_cut_outside_the_plan_is_told_and_measured_anew(
    as_owner: Client, planned_class: MakeClass, class_metal: ClassMetal, owner: Person
) -> None:
    row = planned_class(students=2)
    bar = class_metal["cladding"]
    by_hand.cut_by_hand(piece=bar, length_nm=2 * IN, kerf_nm=1_000_000, job="shop", by=owner)

    page = as_owner.get(reverse("shop:cut-list", args=[row.pk])).text
    pieces = cut_list_reading.cut_list(row, house=House())["pieces"]

    assert "was cut or counted outside this plan" in page
    assert [one.piece for one in pieces if one.is_touched] == [bar]
    assert [line.stop_nm for one in pieces if one.piece == bar for line in one.rows] == [None] * 4


def test_a_piece_that_is_not_there_lets_its_cuts_go(
    as_owner: Client, planned_class: MakeClass, class_metal: ClassMetal
) -> None:
    row = planned_class(students=2)
    bar = class_metal["cladding"]

    response = as_owner.post(reverse("shop:cut-piece-off", args=[row.pk, bar.pk]), follow=True)

    assert f"4 cuts of {bar.mark} are let go." in response.text
    assert Piece.objects.get(pk=bar.pk).set_aside == 0
    assert planning.unplanned_count(row) == 4
    assert not PlanRun.objects.filter(state="ready").exists()


def test_htmx_gets_only_the_list(
    as_owner: Client, planned_class: MakeClass, class_metal: ClassMetal
) -> None:
    row = planned_class(students=1)
    aside = SetAside.objects.get(piece=class_metal["core"])

    part = as_owner.post(tick_url(row, aside), headers=HTMX)

    assert part.status_code == 200
    assert part.text.lstrip().startswith('<div id="cuts"')
    assert f"{aside.label} is cut." in part.text
    assert "<html" not in part.text


@pytest.mark.parametrize("name", ["cut-tick", "cut-undo"])
def test_ticks_are_posted_never_got_and_never_by_a_stranger(
    client: Client, as_owner: Client, planned_class: MakeClass, name: str
) -> None:
    from django.test import Client

    row = planned_class(students=1)
    aside = SetAside.objects.filter(kind="strip").get()
    url = reverse(f"shop:{name}", args=[row.pk, aside.pk])

    got = as_owner.get(url)
    stranger = Client().post(url)

    assert got.status_code == 405
    assert stranger.status_code == 302
    assert not Entry.objects.filter(set_aside=aside).exists()


def test_a_cut_of_another_class_is_not_found(as_owner: Client, planned_class: MakeClass) -> None:
    row = planned_class(students=1)
    aside = SetAside.objects.get(kind="strip")

    response = as_owner.post(reverse("shop:cut-tick", args=[row.pk + 1, aside.pk]))

    assert response.status_code == 404


def test_the_list_asks_few_questions(
    as_owner: Client,
    planned_class: MakeClass,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    row = planned_class(students=2)

    with django_assert_max_num_queries(16):
        as_owner.get(reverse("shop:cut-list", args=[row.pk]))


def test_what_waits_for_its_strip_is_folded_until_the_strip_is_off(
    as_helper: Client, planned_class: MakeClass, owner: Person
) -> None:
    row = planned_class(students=2)
    url = reverse("shop:cut-list", args=[row.pk])
    strip = SetAside.objects.get(kind="strip")
    waiting = SetAside.objects.filter(parent=strip).count()

    before = as_helper.get(url).text
    cut_list.tick_cut(set_aside=strip, by=owner)
    after = as_helper.get(url).text

    assert f"<summary>Then {waiting} out of the strip</summary>" in before
    assert "out of the strip</summary>" not in after
