"""Each row that has a page knows its address, and the page opens."""

from __future__ import annotations

from typing import Any

from django.apps import apps

from billets.history.writing import make_billet
from shop.knives.writing import make_knife
from shop.models import Seat
from stock.models import Offer, OwnAlloy
from tests.kinds import Client, MakeClass, MakePiece, Person, Piece, Saw, sure

IN = 25_400_000


def rows_with_a_page(bar: Piece, saw: Saw, seat: Seat, owner: Person) -> list[Any]:
    """One row of each model that has a page."""
    line = sure(bar.line)
    supplier = line.purchase.supplier
    billet = make_billet(layup=seat.layup_used, by=owner)
    return [
        bar,
        bar.material,
        saw,
        OwnAlloy.objects.create(key="own-folded", name="Folded", family="carbon-steel"),
        supplier,
        Offer.objects.create(
            supplier=supplier, material=bar.material, price_cents=900, length_nm=12 * IN
        ),
        line.purchase,
        seat.layup_used,
        billet,
        seat.forge_class,
        seat,
        make_knife(pattern="Paring knife", by=owner, billet=billet),
        owner,
    ]


def test_every_row_with_a_page_opens_at_its_address(
    as_owner: Client, owner: Person, make_bar: MakePiece, make_class: MakeClass, saw: Saw
) -> None:
    seat = make_class().seats.get(number=1)

    rows = rows_with_a_page(make_bar(), saw, seat, owner)
    answers = {str(row._meta): as_owner.get(row.get_absolute_url()).status_code for row in rows}

    assert set(answers.values()) == {200}
    ours = [apps.get_app_config(floor).get_models() for floor in ("stock", "billets", "shop")]
    assert set(answers) == {
        str(model._meta) for of in ours for model in of if hasattr(model, "get_absolute_url")
    }


def test_a_seat_is_found_under_its_own_class(make_class: MakeClass) -> None:
    seat = make_class().seats.get(number=2)

    assert seat.get_absolute_url() == f"/classes/{seat.forge_class_id}/seats/{seat.pk}/"
