"""Offers of the suppliers: listed, added, changed, retired; owners only."""

from __future__ import annotations

import pytest
from django.urls import reverse

from stock.models import Material, Offer
from tests.kinds import Client, DjangoAssertNumQueries, MakeMaterial, Supplier

IN = 25_400_000
ADD = "/offers/add/"


def given(supplier: Supplier, material: Material, **changes: str) -> dict[str, str]:
    """What somebody types for a bar."""
    return {
        "supplier": str(supplier.pk),
        "material": str(material.pk),
        "size": "72",
        "count": "1",
        "price_cents": "16.40",
        "from_packs": "1",
    } | changes


def test_an_offer_is_added_in_the_shops_unit(
    as_owner: Client, supplier: Supplier, make_material: MakeMaterial
) -> None:
    page = as_owner.post(ADD, given(supplier, make_material()), follow=True)

    offer = Offer.objects.get()
    assert (offer.length_nm, offer.price_cents, offer.count) == (72 * IN, 1640, 1)
    assert "1084 · flat bar 1/8 × 1-1/4 in" in page.text
    assert "$16.40" in page.text


def test_a_sheet_has_two_sizes_wire_a_weight_and_counted_things_none(
    as_owner: Client, supplier: Supplier
) -> None:
    sheet = Material.objects.create(form="sheet", alloy="c11000", thickness_nm=548_640)
    wire = Material.objects.create(form="wire", alloy="er70s-6", diameter_nm=762_000)
    belts = Material.objects.create(form="counted", name="belts, 36 grit")

    as_owner.post(ADD, given(supplier, sheet, size="12 x 24"))
    as_owner.post(ADD, given(supplier, wire, size="11 lb"))
    as_owner.post(ADD, given(supplier, belts, size="", count="10"))

    found = {row.material.form: row for row in Offer.objects.all()}
    assert (found["sheet"].width_nm, found["sheet"].length_nm) == (12 * IN, 24 * IN)
    assert found["wire"].mass_ug == 4_989_516_070
    assert (found["counted"].count, found["counted"].length_nm) == (10, 0)


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("size", "twelve", "not a length"),
        ("size", "", "Give the size of each"),
        ("price_cents", "cheap", "not an amount"),
        ("count", "0", "above 0"),
        ("supplier", "", "required"),
        ("from_packs", "2000000", "above 100,000, the most we count"),
    ],
)
def test_what_cannot_be_read_is_refused_with_a_sentence_and_kept_as_typed(
    as_owner: Client,
    supplier: Supplier,
    make_material: MakeMaterial,
    field: str,
    text: str,
    sentence: str,
) -> None:
    page = as_owner.post(ADD, given(supplier, make_material()) | {field: text})

    assert page.status_code == 422
    assert sentence in page.text
    assert not text or f'value="{text}"' in page.text
    assert not Offer.objects.exists()


def test_the_same_thing_twice_is_refused_and_a_price_break_is_not(
    as_owner: Client, supplier: Supplier, make_material: MakeMaterial
) -> None:
    bar = make_material()
    as_owner.post(ADD, given(supplier, bar))

    twice = as_owner.post(ADD, given(supplier, bar, price_cents="15"))
    as_owner.post(ADD, given(supplier, bar, price_cents="15", from_packs="4"))

    assert twice.status_code == 422
    assert "on the list already" in twice.text
    assert list(Offer.objects.order_by("from_packs").values_list("from_packs", "price_cents")) == [
        (1, 1640),
        (4, 1500),
    ]


def test_an_offer_is_changed_from_what_it_shows_and_its_size_stays_exact(
    as_owner: Client, supplier: Supplier, make_material: MakeMaterial
) -> None:
    bar = make_material(alloy="15n20", thickness_nm=1_500_000, width_nm=32_000_000)
    offer = Offer.objects.create(
        supplier=supplier, material=bar, length_nm=1_000_000_000, price_cents=1920
    )
    form = as_owner.get(reverse("stock:offer-change", args=[offer.pk])).context["form"]
    typed = {name: str(form[name].value()) for name in form.fields} | {"price_cents": "21"}

    as_owner.post(reverse("stock:offer-change", args=[offer.pk]), typed)

    offer.refresh_from_db()
    assert (offer.length_nm, offer.price_cents) == (1_000_000_000, 2100)


def test_a_retired_offer_leaves_the_list_and_stays_in_the_books(
    as_owner: Client, supplier: Supplier, make_material: MakeMaterial
) -> None:
    offer = Offer.objects.create(
        supplier=supplier, material=make_material(), length_nm=72 * IN, price_cents=1640
    )
    url = reverse("stock:offer-retire", args=[offer.pk])

    assert as_owner.get(url).status_code == 405
    page = as_owner.post(url, follow=True)

    offer.refresh_from_db()
    assert not offer.is_current
    assert "No offer yet" in page.text


def test_a_helper_sees_no_offers(
    as_helper: Client, supplier: Supplier, make_material: MakeMaterial
) -> None:
    offer = Offer.objects.create(supplier=supplier, material=make_material(), price_cents=1)

    assert as_helper.get(reverse("stock:offer-list")).status_code == 403
    assert as_helper.get(ADD).status_code == 403
    assert as_helper.post(ADD, given(supplier, offer.material)).status_code == 403
    assert as_helper.post(reverse("stock:offer-retire", args=[offer.pk])).status_code == 403
    assert Offer.objects.count() == 1


def test_the_list_takes_as_many_queries_for_many_offers(
    as_owner: Client,
    supplier: Supplier,
    make_material: MakeMaterial,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    for number in range(1, 30):
        Offer.objects.create(
            supplier=supplier, material=make_material(), length_nm=number * IN, price_cents=number
        )

    with django_assert_max_num_queries(8):
        as_owner.get(reverse("stock:offer-list"))
