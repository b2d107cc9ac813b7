"""Cutting the blanks of a billet by hand: metal and money move, and come back."""

import pytest

from billets.blanks import writing as cutting
from billets.blanks.choices import choices_for
from billets.blanks.writing import CannotCut
from billets.history import writing as history
from billets.history.bar_writing import cost_so_far_cents
from stock.house import House
from stock.ledger.proof import proved
from stock.ledger.refusals import NotEnough
from stock.models import Entry, Piece, SetAside
from tests.kinds import ClassMetal, MakeBillet, MakeLayup, MakeMaterial, MakePiece, Person, sure

IN = 25_400_000
KERF = 1_000_000


def again(piece: Piece) -> Piece:
    """A piece as it stands now."""
    return Piece.objects.select_related("material").get(pk=piece.pk)


def test_every_blank_knows_the_piece_that_it_came_from(
    cut_billet: MakeBillet, stocked: ClassMetal
) -> None:
    billet = cut_billet()

    blanks = list(billet.blanks.select_related("set_aside__piece__cut_from"))
    assert all(blank.is_cut for blank in blanks)
    assert [sure(blank.set_aside).piece.heat_lot for blank in blanks] == [
        "H4471",
        "K88",
        "B2210",
        "K88",
        "H4471",
    ]
    assert sure(blanks[1].set_aside).piece.cut_from_id == stocked["roll"].pk
    assert history.stage(billet) == "cut"


def test_bars_give_up_length_and_kerf_and_the_roll_a_strip_across(
    cut_billet: MakeBillet, stocked: ClassMetal
) -> None:
    cut_billet()

    assert again(stocked["clad"]).on_hand == 36 * IN - 2 * (6 * IN + KERF)
    assert again(stocked["core"]).on_hand == 24 * IN - (6 * IN + KERF)
    # Two blanks of 1-1/4 by 6 in lie across the 12 in roll, side by side.
    assert again(stocked["roll"]).on_hand == 60 * IN - (IN + IN // 4)
    assert proved().faults == ()


def test_the_metal_s_value_goes_to_the_billet(cut_billet: MakeBillet, stocked: ClassMetal) -> None:
    billet = cut_billet()

    left = sum(again(one).value_cents for name, one in stocked.items() if name != "spool")
    assert cost_so_far_cents(billet) == 2400 + 3000 + 9000 - left
    assert cost_so_far_cents(billet) > 0


def test_a_bar_end_that_is_too_short_to_keep_is_scrap_of_the_same_billet(
    make_billet: MakeBillet, stocked: ClassMetal, make_piece: MakePiece, owner: Person
) -> None:
    short = make_piece(alloy="1084", length_nm=13 * IN, price_cents=900)
    billet = make_billet()
    pieces = {0: short, 1: stocked["roll"], 2: stocked["core"], 3: stocked["roll"], 4: short}

    cutting.cut_blanks(billet=billet, pieces=pieces, kerf_nm=KERF, house=House(), by=owner)

    assert again(short).on_hand == 0
    scrap = Entry.objects.get(piece=short, kind=Entry.Kind.SCRAP)
    assert (scrap.amount, scrap.job) == (-(IN - 2 * KERF), billet.job)
    assert proved().faults == ()


@pytest.mark.slow
def test_taking_the_cuts_back_puts_all_metal_and_money_back(
    cut_billet: MakeBillet, stocked: ClassMetal, owner: Person
) -> None:
    billet = cut_billet()

    cutting.put_back(billet=billet, by=owner)

    for name, length in (("clad", 36), ("core", 24), ("roll", 60)):
        assert again(stocked[name]).on_hand == length * IN
    assert [again(stocked[one]).value_cents for one in ("clad", "core", "roll")] == [
        2400,
        3000,
        9000,
    ]
    assert history.stage(billet) == "planned"
    assert cost_so_far_cents(billet) == 0
    assert not SetAside.objects.filter(state="standing").exists()
    assert proved().faults == ()
    assert list(billet.blanks.values_list("set_aside", flat=True)) == [None] * 5


@pytest.mark.slow
def test_a_billet_can_be_cut_again_after_its_cuts_were_taken_back(
    cut_billet: MakeBillet, stocked: ClassMetal, owner: Person
) -> None:
    billet = cut_billet()
    cutting.put_back(billet=billet, by=owner)
    pieces = {
        place: again(stocked[name])
        for place, name in enumerate(("clad", "roll", "core", "roll", "clad"))
    }

    cutting.cut_blanks(billet=billet, pieces=pieces, kerf_nm=KERF, house=House(), by=owner)

    assert history.stage(billet) == "cut"
    assert proved().faults == ()


def test_cuts_stay_once_the_billet_has_gone_on(cut_billet: MakeBillet, owner: Person) -> None:
    billet = cut_billet()
    history.record_step(billet=billet, kind="cleaned", by=owner)

    with pytest.raises(CannotCut, match="cleaned"):
        cutting.put_back(billet=billet, by=owner)


def test_a_bar_that_is_too_short_for_both_blanks_cuts_neither(
    make_billet: MakeBillet, stocked: ClassMetal, make_piece: MakePiece, owner: Person
) -> None:
    short = make_piece(alloy="1084", length_nm=7 * IN, price_cents=500)
    billet = make_billet()
    pieces = {0: short, 1: stocked["roll"], 2: stocked["core"], 3: stocked["roll"], 4: short}
    before = Entry.objects.count()

    with pytest.raises(NotEnough, match=short.mark):
        cutting.cut_blanks(billet=billet, pieces=pieces, kerf_nm=KERF, house=House(), by=owner)

    assert Entry.objects.count() == before
    assert again(stocked["core"]).on_hand == 24 * IN


def test_a_sheet_that_is_too_small_says_so(
    make_billet: MakeBillet, stocked: ClassMetal, make_piece: MakePiece, owner: Person
) -> None:
    small = make_piece(
        form="sheet", alloy="c10200", thickness_nm=IN // 50, width_nm=2 * IN, length_nm=6 * IN
    )
    billet = make_billet()
    pieces = {0: stocked["clad"], 1: small, 2: stocked["core"], 3: small, 4: stocked["clad"]}

    with pytest.raises(CannotCut, match="do not fit on"):
        cutting.cut_blanks(billet=billet, pieces=pieces, kerf_nm=KERF, house=House(), by=owner)


def test_a_sheet_gives_its_blank_and_the_rest_goes_back_with_a_mark(
    make_billet: MakeBillet, stocked: ClassMetal, make_piece: MakePiece, owner: Person
) -> None:
    sheet = make_piece(
        form="sheet",
        alloy="c10200",
        thickness_nm=IN // 50,
        width_nm=8 * IN,
        length_nm=10 * IN,
        price_cents=2000,
    )
    billet = make_billet()
    pieces = {0: stocked["clad"], 1: sheet, 2: stocked["core"], 3: sheet, 4: stocked["clad"]}

    cutting.cut_blanks(billet=billet, pieces=pieces, kerf_nm=KERF, house=House(), by=owner)

    assert again(sheet).on_hand == 0
    rests = Piece.objects.filter(cut_from=sheet, on_hand__gt=0)
    assert sum(one.on_hand for one in rests) <= (80 - 15) * IN * IN
    assert rests.exists()
    assert proved().faults == ()


def test_every_blank_needs_a_piece(
    make_billet: MakeBillet, stocked: ClassMetal, owner: Person
) -> None:
    billet = make_billet()

    with pytest.raises(CannotCut, match="layer 2, 3, 4, 5"):
        cutting.cut_blanks(
            billet=billet, pieces={0: stocked["clad"]}, kerf_nm=0, house=House(), by=owner
        )


def test_a_spool_gives_no_blank(
    make_billet: MakeBillet, stocked: ClassMetal, owner: Person
) -> None:
    billet = make_billet()
    pieces = dict.fromkeys(range(5), stocked["spool"])

    with pytest.raises(CannotCut, match="no blank comes from it"):
        cutting.cut_blanks(billet=billet, pieces=pieces, kerf_nm=0, house=House(), by=owner)


def test_pieces_are_proposed_by_alloy_section_and_length(
    make_billet: MakeBillet,
    stocked: ClassMetal,
    make_piece: MakePiece,
    make_material: MakeMaterial,
) -> None:
    make_piece(length_nm=5 * IN)  # too short
    make_piece(material=make_material(thickness_nm=IN // 4), length_nm=36 * IN)  # too thick
    make_piece(material=make_material(width_nm=2 * IN), length_nm=36 * IN)  # too wide
    end = make_piece(material=make_material(width_nm=32_000_000), length_nm=7 * IN)  # near enough
    billet = make_billet()

    found = choices_for(billet)

    assert {piece.pk for piece in found[0].pieces} == {end.pk, stocked["clad"].pk}
    assert found[0].usual == end
    assert found[4].usual == stocked["clad"]  # the short end has room for one only
    assert found[1].usual == stocked["roll"]


def test_a_blank_tied_to_its_stock_is_offered_nothing_else(
    make_layup: MakeLayup, make_billet: MakeBillet, stocked: ClassMetal
) -> None:
    layup = make_layup()
    layup.layers.filter(position=0).update(material=stocked["core"].material)
    billet = make_billet(layup=layup)

    assert choices_for(billet)[0].pieces == ()
