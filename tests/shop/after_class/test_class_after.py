"""After class: sizes and outcomes in one form, then planned against real metal."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse

from billets.history import writing as history
from billets.models import Billet, Measurement, Step
from shop.after_class import reading as after_class_reading
from shop.after_class import writing as after_class
from shop.cut_list import reading as cut_list_reading
from shop.cut_list import writing as cut_list
from shop.models import ForgeClass
from stock import clock
from stock.house import House
from stock.ledger import by_hand
from stock.models import Entry, Piece
from tests.kinds import (
    ClassMetal,
    Client,
    DjangoAssertNumQueries,
    MakeClass,
    MakePiece,
    Person,
    Response,
)

IN = 25_400_000


@pytest.fixture
def cut_class(planned_class: MakeClass, owner: Person) -> ForgeClass:
    """A class of two with everything cut."""
    row: ForgeClass = planned_class(students=2)
    while following := cut_list_reading.cut_list(row, house=House())["next"]:
        cut_list.tick_cut(set_aside=following.row, by=owner)
    return row


def typed(billet: Billet, **values: str) -> dict[str, str]:
    """One billet's row of the form."""
    return {f"b{billet.pk}-{name}": text for name, text in values.items()}


def send(client: Client, row: ForgeClass, *rows: dict[str, str], **more: str) -> Response:
    """Send the whole form."""
    data: dict[str, str] = {"spool": ""}
    for part in rows:
        data |= part
    return client.post(reverse("shop:after-class", args=[row.pk]), data | more, follow=True)


# The stack is 0.125 + 0.02 + 0.1875 + 0.02 + 0.125 = 0.4775 in high, 6 x 1-1/4 in: 3.581 in³.
# 9-1/2 x 1-1/2 x 1/4 in is 3.5625 in³, 99.5 % of it.
GOOD = {"length_nm": "9 1/2", "width_nm": "1.5", "thickness_nm": "1/4", "heats": "7"}


@pytest.mark.slow
def test_a_finished_billet_passes_every_stage(as_helper: Client, cut_class: ForgeClass) -> None:
    first = Billet.objects.order_by("id")[0]

    response = send(as_helper, cut_class, typed(first, reached="finished", **GOOD))

    assert "1 row written down." in response.text
    steps = Step.objects.filter(billet=first).order_by("id")
    assert [step.kind for step in steps] == [
        "planned",
        "cut",
        "cleaned",
        "welded",
        "bonded",
        "drawn",
        "finished",
    ]
    size = Measurement.objects.get()
    assert (size.length_nm, size.width_nm, size.thickness_nm, size.heats) == (
        241_300_000,
        38_100_000,
        6_350_000,
        7,
    )
    assert str(size.by) == "Hugo"


@pytest.mark.slow
def test_a_failure_keeps_its_cause_and_note(as_owner: Client, cut_class: ForgeClass) -> None:
    first = Billet.objects.order_by("id")[0]

    send(
        as_owner,
        cut_class,
        typed(first, reached="failed", cause="copper-ran", heats="3", note="too hot"),
    )

    step = Step.objects.get(kind="failed")
    assert (step.cause, step.note) == ("copper-ran", "after 3 heats. too hot")


@pytest.mark.slow
def test_a_failure_without_a_cause_is_asked_for_one(
    as_owner: Client, cut_class: ForgeClass
) -> None:
    first, second = Billet.objects.order_by("id")

    response = send(
        as_owner, cut_class, typed(first, reached="failed"), typed(second, reached="finished")
    )

    assert response.status_code == 422
    assert "Choose what went wrong from the list." in response.text
    assert not Step.objects.filter(kind__in=["failed", "finished"]).exists()


@pytest.mark.slow
def test_a_strange_size_is_questioned_and_nothing_is_lost(
    as_owner: Client, cut_class: ForgeClass
) -> None:
    first, second = Billet.objects.order_by("id")
    strange = GOOD | {"length_nm": "19 1/2"}

    response = send(
        as_owner, cut_class, typed(first, **strange), typed(second, note="a clean weld", **GOOD)
    )

    assert response.status_code == 422
    assert "Measure again, or confirm that it is so." in response.text
    assert 'value="19 1/2"' in response.text
    assert 'value="a clean weld"' in response.text
    assert not Measurement.objects.exists()


@pytest.mark.slow
def test_a_strange_size_is_kept_when_it_is_confirmed(
    as_owner: Client, cut_class: ForgeClass
) -> None:
    first = Billet.objects.order_by("id")[0]

    send(as_owner, cut_class, typed(first, is_confirmed="on", **(GOOD | {"length_nm": "19 1/2"})))

    assert Measurement.objects.get().is_confirmed_strange


@pytest.mark.slow
@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"width_nm": ""}, "Write length, width and thickness, or none of them."),
        ({"length_nm": "nan"}, "is not a length"),
        ({"length_nm": "-3"}, "is below 0"),
        ({"thickness_nm": "9**9**9 mm"}, "is not a length"),
        ({"heats": "some"}, "Write a whole number of heats"),
        ({"heats": "61"}, "60 heats are the most"),
        ({"reached": "melted"}, "Choose one of the list"),
        (
            {"length_nm": "", "width_nm": "", "thickness_nm": "", "note": "shiny"},
            "A note is kept with a size or an outcome.",
        ),
        ({"cause": "cracked"}, "the outcome is not &#x27;failed&#x27;"),
    ],
)
def test_a_bad_row_is_told_and_nothing_is_written(
    as_owner: Client, cut_class: ForgeClass, changes: dict[str, str], sentence: str
) -> None:
    first = Billet.objects.order_by("id")[0]
    steps = Step.objects.count()

    response = send(as_owner, cut_class, typed(first, **({"reached": ""} | GOOD | changes)))

    assert response.status_code == 422
    assert sentence in response.text
    assert (Measurement.objects.count(), Step.objects.count()) == (0, steps)


def test_a_billet_that_is_not_cut_cannot_be_finished(
    as_owner: Client, planned_class: MakeClass
) -> None:
    row = planned_class(students=1)
    billet = Billet.objects.get()

    response = send(as_owner, row, typed(billet, reached="finished"))

    assert response.status_code == 422
    assert "5 blanks of" in response.text
    assert "are not ticked on the cut list yet" in response.text
    assert history.stage(billet) == "planned"


@pytest.mark.slow
def test_one_refused_row_writes_none_of_them(owner: Person, cut_class: ForgeClass) -> None:
    first, second = Billet.objects.order_by("id")
    outcomes = [
        after_class.Outcome(first, reached="finished"),
        after_class.Outcome(second, reached="failed", cause="no such cause"),
    ]

    with pytest.raises(after_class.OutcomeRefused) as refusal:
        after_class.record_outcomes(
            forge_class=cut_class, outcomes=outcomes, house=House(), by=owner
        )

    assert refusal.value.billet == second
    assert history.stage(first) == "cut"


@pytest.mark.slow
def test_the_form_sent_again_writes_nothing_twice(as_owner: Client, cut_class: ForgeClass) -> None:
    first = Billet.objects.order_by("id")[0]
    send(as_owner, cut_class, typed(first, reached="finished", **GOOD))

    again = send(as_owner, cut_class, typed(first, **GOOD))

    assert "Nothing was new, so nothing was written." in again.text
    assert Measurement.objects.count() == 1


def test_wire_for_the_seams_comes_off_the_chosen_spool(
    as_owner: Client, cut_class: ForgeClass, make_piece: MakePiece
) -> None:
    spool = make_piece(
        form="wire",
        alloy="er70s-6",
        thickness_nm=0,
        width_nm=0,
        diameter_nm=800_000,
        mass_ug=5_000_000_000,
        price_cents=4000,
    )
    first = Billet.objects.order_by("id")[0]

    send(as_owner, cut_class, typed(first, reached="finished"), spool=str(spool.pk))

    used = Entry.objects.get(kind="used")
    assert used.piece == spool
    assert used.job == first.job
    # Four joints round 6 x 1-1/4 in: 4 x 14.5 in = 1473.2 mm of a 4 mm fillet, 8 mm²: 11786 mm³
    # x 7.85 mg/mm³ / 0.95 = 97.4 g.
    assert used.amount == pytest.approx(-97_400_000, rel=0.01)


def test_a_spool_with_too_little_wire_writes_nothing(
    as_owner: Client, cut_class: ForgeClass, make_piece: MakePiece
) -> None:
    spool = make_piece(
        form="wire",
        alloy="er70s-6",
        thickness_nm=0,
        width_nm=0,
        diameter_nm=800_000,
        mass_ug=1_000_000,
        price_cents=40,
    )
    first = Billet.objects.order_by("id")[0]

    response = send(as_owner, cut_class, typed(first, reached="finished"), spool=str(spool.pk))

    assert response.status_code == 422
    assert "Nothing was written yet." in response.text
    assert history.stage(first) == "cut"


@pytest.mark.slow
def test_the_class_is_held_when_every_billet_has_ended(
    as_owner: Client, cut_class: ForgeClass
) -> None:
    first, second = Billet.objects.order_by("id")

    send(as_owner, cut_class, typed(first, reached="finished"))
    cut_class.refresh_from_db()
    assert cut_class.state == "planned"
    send(as_owner, cut_class, typed(second, reached="failed", cause="cracked"))

    cut_class.refresh_from_db()
    assert cut_class.state == "held"


@pytest.mark.slow
def test_planned_and_real_metal_agree_when_all_was_cut_as_planned(
    as_owner: Client, cut_class: ForgeClass
) -> None:
    house = House(is_owner=True, sees_money=True)

    found = after_class_reading.summary(cut_class, house=house)

    steel = {line.name: line for line in found["metal"] if line.width_nm}
    # Four blanks of 6 in with 1 mm kerfs: 613.6 mm = 24.157 in of 24.00 for 36 in: 16.11.
    assert steel["1084"].planned == "24.157 in"
    assert steel["1084"].difference == ""
    assert steel["1084"].cents == pytest.approx(1611, abs=2)


@pytest.mark.slow
def test_a_blank_cut_anew_by_hand_shows_as_more(
    as_owner: Client, cut_class: ForgeClass, class_metal: ClassMetal, owner: Person
) -> None:
    first = Billet.objects.order_by("id")[0]
    by_hand.cut_by_hand(
        piece=class_metal["core"],
        length_nm=6 * IN,
        kerf_nm=1_000_000,
        job=first.job,
        by=owner,
        why="first one was bent",
    )

    page = as_owner.get(reverse("shop:after-class", args=[cut_class.pk])).text

    assert "6.039 in more" in page


@pytest.mark.slow
def test_the_cost_of_a_seat_is_the_metal_over_the_students(
    as_owner: Client, cut_class: ForgeClass
) -> None:
    # Steel 16.11 + 10.07 (306.8 of 914.4 mm of 30.00), copper 7.50 (5 of 60 in of 90.00): 33.68,
    # for two seats 16.84.
    worth = -sum(Entry.objects.exclude(job="").values_list("value_cents", flat=True))
    page = as_owner.get(reverse("shop:after-class", args=[cut_class.pk])).text

    assert worth == pytest.approx(3368, abs=3)
    assert "$16.84" in page or "$16.83" in page or "$16.85" in page


@pytest.mark.slow
def test_yield_counts_the_sound_ones_of_those_that_ended(
    as_owner: Client, cut_class: ForgeClass
) -> None:
    first, second = Billet.objects.order_by("id")
    send(
        as_owner,
        cut_class,
        typed(first, reached="finished", **GOOD),
        typed(second, reached="failed", cause="cracked"),
    )

    came = after_class_reading.summary(cut_class, house=House())["yield"]

    assert (came.begun, came.sound, came.failed, came.sound_percent) == (2, 1, 1, 50)
    assert came.kept_percent == pytest.approx(99.5, abs=0.1)
    assert Piece.objects.filter(set_aside__gt=0).count() == 0


@pytest.mark.slow
def test_the_form_asks_few_questions(
    as_owner: Client, cut_class: ForgeClass, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_max_num_queries(30):
        as_owner.get(reverse("shop:after-class", args=[cut_class.pk]))


@pytest.mark.slow
def test_a_class_that_has_not_begun_is_not_over(as_owner: Client, planned_class: MakeClass) -> None:
    soon = clock.today() + timedelta(days=3)
    row = planned_class(students=1, starts_on=soon, ends_on=soon)

    page = as_owner.get(reverse("shop:after-class", args=[row.pk])).text
    told = as_owner.post(reverse("shop:class-hold", args=[row.pk]), follow=True).text

    assert "The class is over" not in page
    assert "it is not over yet" in told
    row.refresh_from_db()
    assert row.state == "planned"


def test_a_class_that_is_over_lets_go_of_metal_that_was_never_cut(
    as_owner: Client, planned_class: MakeClass
) -> None:
    row = planned_class(students=2)

    told = as_owner.post(reverse("shop:class-hold", args=[row.pk]), follow=True).text

    assert "cuts that were never made are free again." in told
    assert sum(piece.set_aside for piece in Piece.objects.all()) == 0
    row.refresh_from_db()
    assert row.state == "held"
