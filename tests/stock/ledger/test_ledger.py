"""Metal cut, parted, used, scrapped and counted by hand, and taken back."""

from typing import Any

import pytest

from stock.ledger import by_hand, entries, set_asides
from stock.ledger.refusals import BadAmount, CannotUndo, LedgerError, NotEnough
from stock.ledger.set_asides import Promise
from stock.models import Entry, Piece
from tests.kinds import MakePiece, Person

IN = 25_400_000
MM = 1_000_000
pytestmark = pytest.mark.django_db


def lines_of(act: Any) -> list[tuple[str, int, int]]:
    """Kind, amount and value of an act's entries in the order they were written."""
    rows = Entry.objects.filter(act=act).order_by("id")
    return [(row.kind, row.amount, row.value_cents) for row in rows]


def standing(piece: Piece) -> tuple[int, int]:
    """What a piece holds and is worth now."""
    piece.refresh_from_db()
    return piece.on_hand, piece.value_cents


def test_a_cut_takes_its_length_its_kerf_and_their_share_of_the_value(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar(length_nm=36 * IN, price_cents=2400)

    act = by_hand.cut_by_hand(piece=bar, length_nm=9 * IN, kerf_nm=MM, job="a hook", by=owner)

    # 9 of 36 in is 6.00; 1 mm of the 685.8 mm left, worth 18.00, is 2.6 cents, so 3.
    assert lines_of(act) == [("blank", -228_600_000, -600), ("kerf", -1_000_000, -3)]
    assert standing(bar) == (684_800_000, 1797)


def test_an_entry_says_who_for_what_and_why(make_bar: MakePiece, owner: Person) -> None:
    bar = make_bar()

    act = by_hand.cut_by_hand(
        piece=bar, length_nm=IN, kerf_nm=0, job="a hook", by=owner, why="for the door"
    )

    entry = Entry.objects.get(act=act)
    assert (entry.by, entry.job, entry.why) == (owner, "a hook", "for the door")


def test_the_last_cut_takes_the_end_when_the_kerf_does_not_fit(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar(length_nm=100 * MM, price_cents=1000)

    act = by_hand.cut_by_hand(piece=bar, length_nm=99_500_000, kerf_nm=MM, job="", by=owner)

    assert lines_of(act) == [("blank", -99_500_000, -995), ("kerf", -500_000, -5)]
    assert standing(bar) == (0, 0)


def test_a_saw_needs_room_for_its_kerf_before_metal_that_is_set_aside(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar(length_nm=100 * MM, price_cents=1000)
    promise = Promise(piece_id=bar.pk, kind="blank", amount=40 * MM, job="billet:1", position=1)
    set_asides.set_aside(plan="class:1", promises=[promise], by=owner)

    with pytest.raises(NotEnough, match="free"):
        by_hand.cut_by_hand(piece=bar, length_nm=60 * MM, kerf_nm=MM, job="", by=owner)
    with pytest.raises(NotEnough, match="free"):
        by_hand.scrap(piece=bar, amount=60 * MM, kerf_nm=MM, why="bent", by=owner)
    by_hand.cut_by_hand(piece=bar, length_nm=59 * MM, kerf_nm=MM, job="", by=owner)

    bar.refresh_from_db()
    assert (bar.on_hand, bar.set_aside) == (40 * MM, 40 * MM)


def test_a_cut_of_the_whole_bar_leaves_nothing_and_no_cent(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar(length_nm=333, price_cents=1001)

    by_hand.cut_by_hand(piece=bar, length_nm=333, kerf_nm=5, job="", by=owner)

    assert standing(bar) == (0, 0)


def test_an_end_shorter_than_what_is_kept_is_scrap_of_the_same_job(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar(length_nm=100 * MM, price_cents=1000)

    act = by_hand.cut_by_hand(
        piece=bar, length_nm=60 * MM, kerf_nm=0, job="a hook", by=owner, keep_from_nm=50 * MM
    )

    assert lines_of(act) == [("blank", -60_000_000, -600), ("scrap", -40_000_000, -400)]
    assert set(Entry.objects.filter(act=act).values_list("job", flat=True)) == {"a hook"}
    assert standing(bar) == (0, 0)


def test_an_end_as_long_as_what_is_kept_stays_on_the_rack(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar(length_nm=100 * MM, price_cents=1000)

    by_hand.cut_by_hand(
        piece=bar, length_nm=50 * MM, kerf_nm=0, job="", by=owner, keep_from_nm=50 * MM
    )

    assert standing(bar) == (50_000_000, 500)


def test_a_cut_longer_than_the_bar_is_refused_and_says_what_is_free(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar(length_nm=12 * IN)

    with pytest.raises(NotEnough) as refused:
        by_hand.cut_by_hand(piece=bar, length_nm=13 * IN, kerf_nm=0, job="", by=owner)

    assert str(refused.value) == (
        f"{bar.mark} has 12 in (304.8 mm) free; this takes 13 in (330.2 mm). "
        "Choose another piece, or take less."
    )
    assert (refused.value.asked, refused.value.free) == (13 * IN, 12 * IN)
    assert standing(bar) == (304_800_000, 2400)


@pytest.mark.parametrize("length_nm", [0, -3])
def test_a_cut_of_nothing_or_less_is_refused(
    make_bar: MakePiece, owner: Person, length_nm: int
) -> None:
    bar = make_bar()

    with pytest.raises(BadAmount, match="above nothing"):
        by_hand.cut_by_hand(piece=bar, length_nm=length_nm, kerf_nm=MM, job="", by=owner)
    with pytest.raises(BadAmount, match="above nothing"):
        by_hand.part(piece=bar, length_nm=length_nm, kerf_nm=MM, by=owner)
    with pytest.raises(BadAmount, match="above nothing"):
        by_hand.scrap(piece=bar, amount=length_nm, why="", by=owner)

    assert bar.entries.count() == 1


def test_parting_a_bar_gives_the_end_a_mark_and_its_share(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar(length_nm=1000 * MM, price_cents=1000, heat_lot="H7", place="rack 2")

    end = by_hand.part(piece=bar, length_nm=400 * MM, kerf_nm=2 * MM, by=owner)

    end.refresh_from_db()
    assert standing(bar) == (598_000_000, 598)
    assert (end.on_hand, end.value_cents, end.length_nm) == (400_000_000, 400, 400_000_000)
    assert (end.cut_from, end.heat_lot, end.place) == (bar, "H7", "rack 2")
    assert end.mark != bar.mark


def test_parting_that_would_leave_nothing_is_refused(make_bar: MakePiece, owner: Person) -> None:
    bar = make_bar(length_nm=1000 * MM)

    with pytest.raises(BadAmount, match="nothing would be left"):
        by_hand.part(piece=bar, length_nm=999 * MM, kerf_nm=MM, by=owner)

    assert Piece.objects.count() == 1


def test_shearing_a_sheet_ends_it_and_makes_two(make_piece: MakePiece, owner: Person) -> None:
    sheet = make_piece(
        form="sheet",
        alloy="c11000",
        thickness_nm=MM,
        width_nm=100 * MM,
        length_nm=300 * MM,
        price_cents=1000,
    )

    first = by_hand.part(piece=sheet, length_nm=100 * MM, kerf_nm=MM, by=owner)

    second = sheet.offcuts.exclude(pk=first.pk).get()
    first.refresh_from_db()
    assert standing(sheet) == (0, 0)
    assert (first.length_nm, first.width_nm, first.on_hand) == (100 * MM, 100 * MM, 10**16)
    assert (second.length_nm, second.on_hand) == (200 * MM, 2 * 10**16)
    assert (first.value_cents, second.value_cents) == (333, 667)


def test_a_bar_is_cut_not_used_and_wire_is_used_not_cut(
    make_bar: MakePiece, make_piece: MakePiece, owner: Person
) -> None:
    bar = make_bar()
    spool = make_piece(
        form="wire",
        alloy="er70s-6",
        thickness_nm=0,
        width_nm=0,
        diameter_nm=900_000,
        mass_ug=5_000_000_000,
        price_cents=4000,
    )

    with pytest.raises(BadAmount, match="cut it instead"):
        by_hand.use(piece=bar, amount=5, job="", by=owner)
    with pytest.raises(BadAmount, match="no length can be cut off it"):
        by_hand.cut_by_hand(piece=spool, length_nm=5, kerf_nm=0, job="", by=owner)


def test_wire_used_takes_its_share(make_piece: MakePiece, owner: Person) -> None:
    spool = make_piece(
        form="wire",
        alloy="er70s-6",
        thickness_nm=0,
        width_nm=0,
        diameter_nm=900_000,
        mass_ug=5_000_000_000,
        price_cents=4000,
    )

    act = by_hand.use(piece=spool, amount=250_000_000, job="billet:1", by=owner)

    assert lines_of(act) == [("used", -250_000_000, -200)]
    assert standing(spool) == (4_750_000_000, 3800)


def test_scrap_takes_a_saws_kerf_too(make_bar: MakePiece, owner: Person) -> None:
    bar = make_bar(length_nm=100 * MM, price_cents=1000)

    act = by_hand.scrap(piece=bar, amount=10 * MM, why="bent", by=owner, kerf_nm=MM)

    assert lines_of(act) == [("scrap", -10_000_000, -100), ("kerf", -1_000_000, -10)]


def test_counting_less_takes_value_along_and_counting_more_brings_none(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar(length_nm=1000 * MM, price_cents=1000)

    less = by_hand.count_piece(piece=bar, counted=900 * MM, why="measured", by=owner)
    more = by_hand.count_piece(piece=bar, counted=950 * MM, why="measured again", by=owner)

    assert lines_of(less) == [("counted", -100_000_000, -100)]
    assert lines_of(more) == [("counted", 50_000_000, 0)]
    assert standing(bar) == (950_000_000, 900)


def test_counting_what_the_books_say_writes_nothing(make_bar: MakePiece, owner: Person) -> None:
    bar = make_bar(length_nm=1000 * MM)

    assert by_hand.count_piece(piece=bar, counted=1000 * MM, why="", by=owner) is None

    assert bar.entries.count() == 1


def test_counting_below_nothing_is_refused(make_bar: MakePiece, owner: Person) -> None:
    bar = make_bar()

    with pytest.raises(BadAmount, match="Give 0 or more"):
        by_hand.count_piece(piece=bar, counted=-1, why="", by=owner)


def test_an_undone_cut_gives_back_metal_and_value_to_the_cent(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar(length_nm=36 * IN, price_cents=2399)
    act = by_hand.cut_by_hand(piece=bar, length_nm=7 * IN, kerf_nm=MM, job="a hook", by=owner)

    back = by_hand.undo(act=act, by=owner, why="wrong bar")

    assert standing(bar) == (914_400_000, 2399)
    corrections = Entry.objects.filter(act=back)
    assert {row.corrects.act for row in corrections if row.corrects} == {act}
    assert {row.why for row in corrections} == {"wrong bar"}


def test_an_act_is_undone_once_and_an_undoing_never(make_bar: MakePiece, owner: Person) -> None:
    act = by_hand.scrap(piece=make_bar(), amount=IN, why="bent", by=owner)
    back = by_hand.undo(act=act, by=owner)

    with pytest.raises(CannotUndo, match="undone already"):
        by_hand.undo(act=act, by=owner)
    with pytest.raises(CannotUndo, match="a correction itself"):
        by_hand.undo(act=back, by=owner)
    with pytest.raises(CannotUndo, match="no such act"):
        by_hand.undo(act=entries.new_act(), by=owner)


def test_a_parting_is_undone_only_while_the_end_is_whole(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar(length_nm=1000 * MM, price_cents=1000)
    end = by_hand.part(piece=bar, length_nm=400 * MM, kerf_nm=0, by=owner)
    cut = by_hand.cut_by_hand(piece=end, length_nm=50 * MM, kerf_nm=0, job="", by=owner)
    parting = end.entries.order_by("id")[0].act

    with pytest.raises(CannotUndo, match=f"{end.mark} has been cut"):
        by_hand.undo(act=parting, by=owner)
    by_hand.undo(act=cut, by=owner)
    by_hand.undo(act=parting, by=owner)

    assert standing(bar) == (1_000_000_000, 1000)
    assert standing(end) == (0, 0)


def test_a_cut_is_not_undone_onto_a_bar_that_was_counted_since(
    make_bar: MakePiece, owner: Person
) -> None:
    bar = make_bar(length_nm=1000 * MM)
    cut = by_hand.cut_by_hand(piece=bar, length_nm=100 * MM, kerf_nm=0, job="", by=owner)
    count = by_hand.count_piece(piece=bar, counted=1000 * MM, why="it was never cut", by=owner)

    with pytest.raises(CannotUndo, match="has been counted since"):
        by_hand.undo(act=cut, by=owner)
    assert count is not None
    by_hand.undo(act=count, by=owner)
    by_hand.undo(act=cut, by=owner)

    assert standing(bar)[0] == 1_000_000_000


def test_estimated_wire_goes_back_on_a_spool_that_was_weighed_since(
    make_piece: MakePiece, owner: Person
) -> None:
    spool = make_piece(
        form="wire",
        alloy="er70s-6",
        thickness_nm=0,
        width_nm=0,
        diameter_nm=900_000,
        mass_ug=1_000_000,
        price_cents=100,
    )
    used = by_hand.use(piece=spool, amount=100_000, job="billet:1", by=owner)
    by_hand.count_piece(piece=spool, counted=880_000, why="weighed", by=owner)

    by_hand.undo(act=used, by=owner)

    assert standing(spool)[0] == 980_000


def test_a_place_and_a_note_leave_the_totals_alone(make_bar: MakePiece, owner: Person) -> None:
    stale = make_bar(length_nm=1000 * MM)
    by_hand.scrap(piece=stale, amount=100 * MM, why="bent", by=owner)

    by_hand.describe(piece=stale, place="rack 4", note="a crack at one end")

    assert standing(stale)[0] == 900_000_000
    assert (stale.place, stale.note) == ("rack 4", "a crack at one end")


def test_every_refusal_is_one_family() -> None:
    assert {NotEnough, BadAmount, CannotUndo} <= set(LedgerError.__subclasses__())
