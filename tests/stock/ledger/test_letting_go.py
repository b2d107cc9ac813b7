"""One job's part of a plan: let go when it is not wanted any more, taken back while it is free."""

import pytest

from stock.ledger import by_hand, set_asides
from stock.ledger.proof import proved
from stock.ledger.refusals import NotStanding
from stock.ledger.set_asides import Promise
from stock.models import Piece, SetAside
from tests.kinds import Person
from tests.stock.ledger.test_promises import MM, blank, strip_of
from tests.stock.ledger.test_promises import bar as bar
from tests.stock.ledger.test_promises import roll as roll

pytestmark = pytest.mark.django_db


def states(rows: list[SetAside]) -> list[str]:
    """How set-asides stand now."""
    found = dict(SetAside.objects.values_list("pk", "state"))
    return [found[row.pk] for row in rows]


def totals(piece: Piece) -> tuple[int, int]:
    """What is on hand of a piece and what is set aside of it, in mm."""
    piece.refresh_from_db()
    return piece.on_hand // MM, piece.set_aside // MM


def on_bar(bar: Piece) -> list[Promise]:
    """Two billets' blanks of 400 mm and 300 mm, and the end of 298 mm as scrap."""
    return [
        blank(bar, length_nm=400 * MM, job="billet:1"),
        blank(bar, length_nm=300 * MM, job="billet:2", position=2),
        Promise(
            piece_id=bar.pk, kind="rest", amount=298 * MM, job="class:1", position=3, label="scrap"
        ),
    ]


def test_a_job_lets_its_uncut_blanks_go_and_the_other_keeps_its_own(
    bar: Piece, owner: Person
) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=on_bar(bar), by=owner)

    count = set_asides.free_job(job="billet:2")

    # The end is longer than planned now, so it is no scrap: 401 mm stand of 1000.
    assert count == 1
    assert states(rows) == ["standing", "freed", "freed"]
    assert totals(bar) == (1000, 401)


def test_what_is_cut_stays_cut(bar: Piece, owner: Person) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=on_bar(bar), by=owner)
    set_asides.tick(set_aside=rows[0], by=owner)

    count = set_asides.free_job(job="billet:1")

    assert count == 0
    assert states(rows) == ["cut", "standing", "standing"]


def test_freed_blanks_stand_again_with_the_end_of_the_bar(bar: Piece, owner: Person) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=on_bar(bar), by=owner)
    set_asides.free_job(job="billet:2")

    stood = set_asides.stand_again(ids=[rows[1].pk])

    assert stood == {rows[1].pk}
    assert states(rows) == ["standing", "standing", "standing"]
    assert totals(bar) == (1000, 1000)


def test_a_blank_whose_metal_went_elsewhere_stays_freed(bar: Piece, owner: Person) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=on_bar(bar), by=owner)
    set_asides.free_job(job="billet:2")
    by_hand.cut_by_hand(piece=bar, length_nm=300 * MM, kerf_nm=0, job="", by=owner)

    stood = set_asides.stand_again(ids=[rows[1].pk])

    # 700 mm are left, 401 of them promised: 299 mm are free, and 301 are wanted.
    assert stood == set()
    assert states(rows) == ["standing", "freed", "freed"]
    assert totals(bar) == (700, 401)


def test_a_strip_that_others_lie_on_still_comes_off_the_roll(roll: Piece, owner: Person) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=strip_of(roll), by=owner)

    set_asides.free_job(job="billet:2")

    assert states(rows) == ["standing", "standing", "freed", "standing"]
    assert totals(roll) == (2000, 200)


def test_a_strip_that_nobody_wants_stays_on_the_roll(roll: Piece, owner: Person) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=strip_of(roll), by=owner)
    set_asides.free_job(job="billet:1")

    set_asides.free_job(job="billet:2")

    assert states(rows) == ["freed"] * 4
    assert totals(roll) == (2000, 0)


def test_a_strip_of_one_job_comes_back_with_its_blanks(roll: Piece, owner: Person) -> None:
    own = [strip_of(roll)[number] for number in (0, 1, 3)]
    rows = set_asides.set_aside(plan="class:1", promises=own, by=owner)
    set_asides.free_job(job="billet:1")

    stood = set_asides.stand_again(ids=[rows[1].pk])

    assert stood == {rows[1].pk}
    assert states(rows) == ["standing"] * 3
    assert totals(roll) == (2000, 200)


def test_a_strip_that_two_jobs_gave_up_is_planned_anew(roll: Piece, owner: Person) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=strip_of(roll), by=owner)
    set_asides.free_job(job="billet:1")
    set_asides.free_job(job="billet:2")

    assert set_asides.stand_again(ids=[rows[1].pk]) == set()
    assert totals(roll) == (2000, 0)


def test_a_blank_finds_its_place_on_the_strip_that_was_cut_meanwhile(
    roll: Piece, owner: Person
) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=strip_of(roll), by=owner)
    set_asides.free_job(job="billet:2")
    set_asides.tick(set_aside=rows[0], by=owner)

    stood = set_asides.stand_again(ids=[rows[2].pk])

    row = SetAside.objects.get(pk=rows[2].pk)
    assert stood == {row.pk}
    assert (row.piece.cut_from, row.amount) == (roll, 200 * MM * 60 * MM)
    assert row.piece.set_aside == 200 * MM * 150 * MM
    assert proved().faults == ()


def test_a_strip_that_was_measured_since_gives_no_place_back(roll: Piece, owner: Person) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=strip_of(roll), by=owner)
    set_asides.free_job(job="billet:2")
    set_asides.free_job(job="billet:1")
    rows = set_asides.set_aside(plan="class:1", promises=strip_of(roll)[:3], by=owner)
    set_asides.tick(set_aside=rows[0], by=owner)
    for job in ("billet:1", "billet:2"):
        set_asides.free_job(job=job)
    sheet = SetAside.objects.get(pk=rows[1].pk).piece
    set_asides.remark_sheet(sheet=sheet, sizes=[(150 * MM, 150 * MM)], by=owner)

    assert set_asides.stand_again(ids=[rows[1].pk, rows[2].pk]) == set()
    assert proved().faults == ()


def test_a_freed_blank_cannot_be_ticked(bar: Piece, owner: Person) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=on_bar(bar), by=owner)
    set_asides.free_job(job="billet:2")

    with pytest.raises(NotStanding, match="is freed already"):
        set_asides.tick(set_aside=SetAside.objects.get(pk=rows[1].pk), by=owner)
