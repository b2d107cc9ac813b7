"""Which heat or lot is in which billet, in both directions, through bars made here as well."""

from typing import Any

import pytest
from django.urls import reverse

from billets.billet.origins import origins_of, pieces_named, traced
from billets.blanks import writing as cutting
from billets.history import bar_writing
from stock.house import House
from stock.ledger import by_hand
from stock.models import Piece
from tests.conftest import HTMX, IN
from tests.kinds import ClassMetal, Client, MakeBillet, MakeLayup, MakeMaterial, MakePiece, Person


def url(name: str, *args: Any) -> str:
    """Address of a page of this floor."""
    return reverse(f"billets:{name}", args=args)


@pytest.fixture
def bar_and_blade(
    make_layup: MakeLayup,
    make_billet: MakeBillet,
    make_material: MakeMaterial,
    make_piece: MakePiece,
    stocked: ClassMetal,
    owner: Person,
) -> tuple[Any, Any]:
    """A bar forged here of two steels, and a copper-bonded billet that has it for a core."""
    jacket = make_piece(
        material=make_material(alloy="15n20", thickness_nm=IN // 16),
        length_nm=20 * IN,
        heat_lot="N0938",
    )
    steels = make_layup(
        name="Bar", layers=[("1084", IN // 8, "core"), ("15n20", IN // 16, "jacket")]
    )
    first = make_billet(layup=steels)
    cutting.cut_blanks(
        billet=first, pieces={0: stocked["clad"], 1: jacket}, kerf_nm=0, house=House(), by=owner
    )
    from billets.history import writing as history

    for kind in ("cleaned", "welded", "bonded", "drawn", "finished"):
        history.record_step(billet=first, kind=kind, by=owner)
    bar = bar_writing.make_bar(
        billet=first,
        name="Folded",
        thickness_nm=IN // 8,
        width_nm=IN + IN // 4,
        length_nm=12 * IN,
        by=owner,
    )
    layup = make_layup(
        name="Blade",
        layers=[
            ("1084", IN // 8, "cladding"),
            ("c10200", IN // 50, "line"),
            (bar.piece.material.alloy, IN // 8, "core"),
        ],
    )
    second = make_billet(layup=layup)
    fresh = {pk: Piece.objects.get(pk=pk) for pk in (stocked["clad"].pk, stocked["roll"].pk)}
    pieces = {0: fresh[stocked["clad"].pk], 1: fresh[stocked["roll"].pk], 2: bar.piece}
    cutting.cut_blanks(billet=second, pieces=pieces, kerf_nm=0, house=House(), by=owner)
    return first, second


def test_each_layer_names_its_piece_purchase_and_lot(
    cut_billet: MakeBillet, as_helper: Client
) -> None:
    billet = cut_billet()

    lots = [one.heat_lot for one in origins_of(billet)]

    assert lots == ["H4471", "K88", "B2210", "K88", "H4471"]
    text = as_helper.get(url("billet-detail", billet.mark)).text
    assert "Marrow &amp; Daughter Steels" in text
    assert "B2210" in text


def test_a_bar_made_here_is_followed_down_to_its_steels(
    bar_and_blade: tuple[Any, Any],
) -> None:
    first, second = bar_and_blade

    core = origins_of(second)[2]

    assert core.bar is not None
    assert (core.bar.billet, core.bar.layer_count) == (first, 2)
    assert [one.heat_lot for one in core.bar.origins] == ["H4471", "N0938"]


def test_a_lot_of_steel_is_found_in_the_blade_that_its_bar_went_into(
    bar_and_blade: tuple[Any, Any],
) -> None:
    first, second = bar_and_blade

    found = traced(pieces_named("n0938"))

    assert [(use.billet, use.layers) for use in found.uses] == [(first, 1), (second, 1)]
    assert found.uses[0].through == ()
    assert found.uses[1].through == (first.bar.piece.mark,)


def test_offcuts_are_followed_too(
    make_billet: MakeBillet, stocked: ClassMetal, owner: Person, cut_billet: MakeBillet
) -> None:
    part = by_hand.part(
        piece=stocked["core"], length_nm=10 * IN, kerf_nm=0, by=owner, why="to fit the van"
    )
    stocked["core"] = part
    billet = cut_billet()
    source = part.cut_from
    assert source is not None

    assert [use.billet for use in traced([source]).uses] == [billet]


def test_cuts_that_were_taken_back_are_in_no_billet(cut_billet: MakeBillet, owner: Person) -> None:
    billet = cut_billet()
    cutting.put_back(billet=billet, by=owner)

    assert traced(pieces_named("B2210")).uses == ()
    assert [one.piece for one in origins_of(billet)] == [None] * 5


def test_the_page_shows_both_directions(as_helper: Client, bar_and_blade: tuple[Any, Any]) -> None:
    first, second = bar_and_blade

    by_lot = as_helper.get(url("trace") + "?q=N0938").text
    by_billet = as_helper.get(url("trace") + f"?q={second.mark.lower()}").text

    assert first.mark in by_lot
    assert f"through bar {first.bar.piece.mark}" in by_lot
    assert "is made of" in by_billet
    assert "N0938" in by_billet


def test_a_piece_is_traced_by_its_mark(
    as_helper: Client, cut_billet: MakeBillet, stocked: ClassMetal
) -> None:
    billet = cut_billet()

    assert billet.mark in as_helper.get(url("trace") + f"?q={stocked['core'].mark}").text


@pytest.mark.parametrize("query", ["", "   ", "\x00"])
def test_nothing_typed_finds_nothing_and_blames_nobody(as_helper: Client, query: str) -> None:
    text = as_helper.get(url("trace"), {"q": query}).text

    assert "Nothing here has" not in text


@pytest.mark.parametrize("query", ["Q9", "<b>x</b>", "x" * 500, "%"])
def test_a_search_that_finds_nothing_says_what_marks_look_like(
    as_helper: Client, query: str
) -> None:
    response = as_helper.get(url("trace"), {"q": query})

    assert response.status_code == 200
    assert "marks are two letters and digits" in response.text
    assert "<b>x</b>" not in response.text


def test_with_htmx_only_what_was_found_comes_back(as_helper: Client) -> None:
    response = as_helper.get(url("trace"), {"q": "H1"}, headers=HTMX)

    assert response.text.strip().startswith('<div class="work" id="traced">')


def test_a_helper_sees_no_money_in_a_trace(as_helper: Client, cut_billet: MakeBillet) -> None:
    cut_billet()

    assert "$" not in as_helper.get(url("trace") + "?q=H4471").text
