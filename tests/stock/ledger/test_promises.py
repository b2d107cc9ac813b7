"""Metal set aside for a plan, ticked cut by cut, freed, and ticks taken back."""

from typing import Any

import pytest

from stock.ledger import by_hand, set_asides
from stock.ledger.refusals import BadAmount, CannotUndo, LedgerError, NotEnough, NotStanding
from stock.ledger.set_asides import Promise
from stock.models import Entry, Piece, SetAside
from tests.kinds import MakeMaterial, MakePiece, Person

MM = 1_000_000
pytestmark = pytest.mark.django_db


@pytest.fixture
def bar(make_bar: MakePiece) -> Piece:
    """1000 mm for 10.00."""
    made: Piece = make_bar(length_nm=1000 * MM, price_cents=1000)
    return made


@pytest.fixture
def roll(make_piece: MakePiece, make_material: MakeMaterial) -> Piece:
    """2000 mm of copper, 150 mm wide, for 60.00."""
    copper = make_material(form="roll", alloy="c11000", thickness_nm=500_000, width_nm=150 * MM)
    made: Piece = make_piece(material=copper, length_nm=2000 * MM, price_cents=6000)
    return made


def blank(piece: Piece, *, length_nm: int, kerf_nm: int = MM, **about: Any) -> Promise:
    """A blank to be sawn off a bar."""
    given: dict[str, Any] = {"job": "billet:1", "position": 1, "label": "K27-1"} | about
    return Promise(
        piece_id=piece.pk,
        kind="blank",
        amount=length_nm + kerf_nm,
        kerf_nm=kerf_nm,
        length_nm=length_nm,
        **given,
    )


def strip_of(roll: Piece) -> list[Promise]:
    """200 mm of a roll with two blanks of 200 x 60 mm on it; 200 x 30 mm is left as scrap."""
    on: dict[str, Any] = {"piece_id": roll.pk, "amount": 0, "length_nm": 200 * MM, "parent": 0}
    return [
        Promise(
            piece_id=roll.pk,
            kind="strip",
            amount=200 * MM,
            job="class:1",
            position=0,
            length_nm=200 * MM,
            width_nm=150 * MM,
            label=f"strip off {roll.mark}",
        ),
        Promise(kind="blank", job="billet:1", position=1, width_nm=60 * MM, label="K27-2", **on),
        Promise(
            kind="blank",
            job="billet:2",
            position=2,
            width_nm=60 * MM,
            x_nm=60 * MM,
            label="K28-2",
            **on,
        ),
        Promise(
            kind="rest",
            job="class:1",
            position=3,
            width_nm=30 * MM,
            x_nm=120 * MM,
            label="scrap",
            **on,
        ),
    ]


def now(piece: Piece) -> tuple[int, int, int]:
    """On hand, set aside, value."""
    piece.refresh_from_db()
    return piece.on_hand, piece.set_aside, piece.value_cents


def test_a_promise_takes_from_what_is_free_and_nothing_else(bar: Piece, owner: Person) -> None:
    set_asides.set_aside(plan="class:1", promises=[blank(bar, length_nm=300 * MM)], by=owner)

    assert now(bar) == (1000 * MM, 301 * MM, 1000)
    assert bar.free == 699 * MM


def test_a_plan_that_does_not_fit_sets_nothing_aside(
    bar: Piece, make_bar: MakePiece, owner: Person
) -> None:
    short = make_bar(length_nm=100 * MM)
    plan = [blank(bar, length_nm=300 * MM), blank(short, length_nm=100 * MM)]

    with pytest.raises(NotEnough, match=short.mark):
        set_asides.set_aside(plan="class:1", promises=plan, by=owner)

    assert SetAside.objects.count() == 0
    assert now(bar)[1] == 0


def test_promised_metal_cannot_be_cut_by_hand(bar: Piece, owner: Person) -> None:
    set_asides.set_aside(plan="class:1", promises=[blank(bar, length_nm=900 * MM)], by=owner)

    with pytest.raises(NotEnough, match=r"has 3.898 in \(99 mm\) free \(.*more is set aside"):
        by_hand.cut_by_hand(piece=bar, length_nm=200 * MM, kerf_nm=0, job="", by=owner)
    with pytest.raises(NotEnough, match="Change the plan first"):
        by_hand.count_piece(piece=bar, counted=900 * MM, why="", by=owner)


def test_a_tick_books_the_blank_and_its_kerf(bar: Piece, owner: Person) -> None:
    row = set_asides.set_aside(plan="class:1", promises=[blank(bar, length_nm=299 * MM)], by=owner)[
        0
    ]

    act = set_asides.tick(set_aside=row, by=owner)

    entries = Entry.objects.filter(act=act).order_by("id")
    assert [(e.kind, e.amount, e.value_cents) for e in entries] == [
        ("blank", -299_000_000, -299),
        ("kerf", -1_000_000, -1),
    ]
    assert {(e.job, e.set_aside_id) for e in entries} == {("billet:1", row.pk)}
    assert now(bar) == (700 * MM, 0, 700)


def test_the_same_tick_twice_is_refused_the_second_time(bar: Piece, owner: Person) -> None:
    row = set_asides.set_aside(plan="class:1", promises=[blank(bar, length_nm=299 * MM)], by=owner)[
        0
    ]
    set_asides.tick(set_aside=row, by=owner)

    with pytest.raises(NotStanding, match="is cut already"):
        set_asides.tick(set_aside=row, by=owner)

    assert bar.entries.count() == 3


def test_a_freed_cut_cannot_be_ticked(bar: Piece, owner: Person) -> None:
    row = set_asides.set_aside(plan="class:1", promises=[blank(bar, length_nm=299 * MM)], by=owner)[
        0
    ]

    assert set_asides.free(plan="class:1") == 1

    assert now(bar)[1] == 0
    with pytest.raises(NotStanding, match="is freed already"):
        set_asides.tick(set_aside=row, by=owner)


def test_an_undone_tick_stands_again_or_is_freed(bar: Piece, owner: Person) -> None:
    rows = set_asides.set_aside(
        plan="class:1",
        promises=[blank(bar, length_nm=299 * MM), blank(bar, length_nm=99 * MM)],
        by=owner,
    )
    acts = [set_asides.tick(set_aside=row, by=owner) for row in rows]

    by_hand.undo(act=acts[1], by=owner)
    by_hand.undo(act=acts[0], by=owner, restand=False)

    assert now(bar) == (1000 * MM, 100 * MM, 1000)
    assert [SetAside.objects.get(pk=row.pk).state for row in rows] == ["freed", "standing"]


def test_freeing_leaves_what_is_cut_alone(bar: Piece, owner: Person) -> None:
    rows = set_asides.set_aside(
        plan="class:1",
        promises=[blank(bar, length_nm=299 * MM), blank(bar, length_nm=99 * MM)],
        by=owner,
    )
    set_asides.tick(set_aside=rows[0], by=owner)

    assert set_asides.free(plan="class:1") == 1

    assert SetAside.objects.get(pk=rows[0].pk).state == "cut"


def test_a_blank_waits_for_its_strip(roll: Piece, owner: Person) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=strip_of(roll), by=owner)

    with pytest.raises(LedgerError, match="Tick the strip first"):
        set_asides.tick(set_aside=rows[1], by=owner)

    assert now(roll) == (2000 * MM, 200 * MM, 6000)


def test_a_strip_becomes_a_sheet_and_its_blanks_move_onto_it(roll: Piece, owner: Person) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=strip_of(roll), by=owner)

    set_asides.tick(set_aside=rows[0], by=owner)

    sheet = roll.offcuts.get()
    assert now(roll) == (1800 * MM, 0, 5400)
    assert now(sheet) == (200 * MM * 150 * MM, 200 * MM * 150 * MM, 600)
    assert (sheet.material.form, sheet.length_nm, sheet.width_nm) == ("sheet", 200 * MM, 150 * MM)


def test_all_of_a_strip_ticked_leaves_nothing_and_moves_every_cent(
    roll: Piece, owner: Person
) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=strip_of(roll), by=owner)

    for row in rows:
        set_asides.tick(set_aside=row, by=owner)

    sheet = roll.offcuts.get()
    assert now(sheet) == (0, 0, 0)
    worth = {e.set_aside_id: -e.value_cents for e in sheet.entries.filter(amount__lt=0)}
    # 60/150 of 6.00 each, and 30/150 as scrap.
    assert [worth[row.pk] for row in rows[1:]] == [240, 240, 120]


def test_an_uncut_strip_goes_back_on_its_roll_with_its_blanks(roll: Piece, owner: Person) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=strip_of(roll), by=owner)
    act = set_asides.tick(set_aside=rows[0], by=owner)

    by_hand.undo(act=act, by=owner)

    assert now(roll) == (2000 * MM, 200 * MM, 6000)
    assert now(roll.offcuts.get()) == (0, 0, 0)
    children = SetAside.objects.filter(parent=rows[0])
    assert {(row.piece_id, row.amount, row.state) for row in children} == {(roll.pk, 0, "standing")}


def test_a_strip_taken_back_for_a_class_that_is_off_frees_its_blanks(
    roll: Piece, owner: Person
) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=strip_of(roll), by=owner)
    act = set_asides.tick(set_aside=rows[0], by=owner)

    by_hand.undo(act=act, by=owner, restand=False)

    assert set(SetAside.objects.values_list("state", flat=True)) == {"freed"}
    assert now(roll)[1] == 0


def test_a_strip_with_a_cut_blank_is_not_taken_back(roll: Piece, owner: Person) -> None:
    rows = set_asides.set_aside(plan="class:1", promises=strip_of(roll), by=owner)
    act = set_asides.tick(set_aside=rows[0], by=owner)
    set_asides.tick(set_aside=rows[1], by=owner)

    with pytest.raises(CannotUndo, match="cut already"):
        by_hand.undo(act=act, by=owner)

    assert now(roll)[0] == 1800 * MM


def test_a_kept_rest_goes_to_the_rack_with_a_mark(bar: Piece, owner: Person) -> None:
    rest = Promise(
        piece_id=bar.pk,
        kind="rest",
        amount=400 * MM,
        job="class:1",
        position=1,
        length_nm=400 * MM,
        is_kept=True,
        label="offcut",
    )
    row = set_asides.set_aside(plan="class:1", promises=[rest], by=owner)[0]

    set_asides.tick(set_aside=row, by=owner)

    assert now(bar) == (600 * MM, 0, 600)
    assert now(bar.offcuts.get()) == (400 * MM, 0, 400)


@pytest.fixture
def part_cut_sheet(roll: Piece, owner: Person) -> Piece:
    """The strip of the roll with one blank of 200 x 60 mm gone, the other promises freed."""
    rows = set_asides.set_aside(plan="class:1", promises=strip_of(roll), by=owner)
    for row in rows[:2]:
        set_asides.tick(set_aside=row, by=owner)
    set_asides.free(plan="class:1")
    return roll.offcuts.get()


def test_a_part_cut_sheet_measured_again_becomes_marked_rectangles_and_scrap(
    part_cut_sheet: Piece, owner: Person
) -> None:
    new = set_asides.remark_sheet(sheet=part_cut_sheet, sizes=[(80 * MM, 200 * MM)], by=owner)

    # 90 mm of width were left, worth 3.60; 80 of them are kept.
    assert [now(piece) for piece in new] == [(80 * MM * 200 * MM, 0, 320)]
    assert now(part_cut_sheet) == (0, 0, 0)
    assert part_cut_sheet.entries.get(kind="scrap").value_cents == -40


def test_more_than_is_left_of_a_sheet_cannot_be_measured(
    part_cut_sheet: Piece, owner: Person
) -> None:
    with pytest.raises(BadAmount, match="more than the books have left"):
        set_asides.remark_sheet(sheet=part_cut_sheet, sizes=[(91 * MM, 200 * MM)], by=owner)
    with pytest.raises(BadAmount):
        set_asides.remark_sheet(sheet=part_cut_sheet, sizes=[(0, 200 * MM)], by=owner)

    assert Piece.objects.filter(cut_from=part_cut_sheet).count() == 0


def test_what_is_longer_than_the_sheet_cannot_be_left_of_it(
    part_cut_sheet: Piece, owner: Person
) -> None:
    # 1 m x 10 mm is less metal than the 90 x 200 mm that are left, and cannot be among them.
    with pytest.raises(BadAmount, match="which came as"):
        set_asides.remark_sheet(sheet=part_cut_sheet, sizes=[(10 * MM, 1000 * MM)], by=owner)

    assert Piece.objects.filter(cut_from=part_cut_sheet).count() == 0


def test_a_part_cut_sheet_is_measured_before_it_is_parted(
    part_cut_sheet: Piece, owner: Person
) -> None:
    with pytest.raises(BadAmount, match="Measure what is left of it first"):
        by_hand.part(piece=part_cut_sheet, length_nm=50 * MM, kerf_nm=0, by=owner)


def test_a_blank_is_not_put_back_on_a_sheet_that_was_measured_since(
    part_cut_sheet: Piece, owner: Person
) -> None:
    act = part_cut_sheet.entries.get(kind="blank").act
    set_asides.remark_sheet(sheet=part_cut_sheet, sizes=[(80 * MM, 200 * MM)], by=owner)

    with pytest.raises(CannotUndo, match="measured again since"):
        by_hand.undo(act=act, by=owner)
