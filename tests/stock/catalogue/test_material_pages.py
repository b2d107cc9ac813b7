"""Materials, saws, suppliers and alloys: listed, added, changed, retired."""

import pytest
from django.urls import reverse

from stock.models import Material, OwnAlloy, Saw, Supplier, alloy_book
from tests.kinds import Client, DjangoAssertNumQueries, MakeMaterial, MakePiece, Person, Piece
from tests.stock.reading import read

IN = 25_400_000
MM = 1_000_000
pytestmark = pytest.mark.django_db


def material_typed(**change: str) -> dict[str, str]:
    """The form of a material as a browser sends it."""
    return {
        "form": "flat",
        "alloy": "52100",
        "section": "3.2 x 32 mm",
        "gauge": "",
        "name": "",
        "keep_from_nm": "",
        "reorder": "",
        "note": "",
    } | change


def test_a_material_is_added_in_any_section_the_grammar_reads(as_owner: Client) -> None:
    as_owner.post("/materials/add/", material_typed(reorder="6 ft", keep_from_nm="3 in"))

    row = Material.objects.get()
    assert (row.thickness_nm, row.width_nm) == (3_200_000, 32 * MM)
    assert (row.reorder_below, row.keep_from_nm) == (72 * IN, 3 * IN)


def test_a_gauge_number_is_read_by_the_table_that_the_material_names(as_owner: Client) -> None:
    as_owner.post(
        "/materials/add/",
        material_typed(form="sheet", alloy="c11000", section="16 oz", gauge="copper-oz"),
    )
    refused = as_owner.post(
        "/materials/add/", material_typed(form="sheet", alloy="c11000", section="16 oz")
    )

    assert Material.objects.get().thickness_nm == 548_640  # 0.0216 in
    assert refused.status_code == 422


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"section": ""}, "Give its section"),
        ({"section": "1/8"}, "thickness × width"),
        ({"section": "0 x 3"}, "not above 0"),
        ({"alloy": ""}, "Choose the alloy"),
        ({"form": "counted", "name": ""}, "Say what it is"),
        ({"reorder": "lots"}, "lots"),
        ({"form": "sheet", "section": "1 mm", "reorder": "3 in"}, "is not an area we know"),
        ({"form": "melted"}, "Choose one of the list"),
    ],
)
def test_a_material_that_cannot_be_is_refused_with_what_was_typed(
    as_owner: Client, change: dict[str, str], told: str
) -> None:
    sent = material_typed(**change)

    response = as_owner.post("/materials/add/", sent)

    page = read(response.content)
    assert response.status_code == 422
    assert told in page.text
    assert page.select_one("#id_section").get("value", "") == sent["section"]
    assert Material.objects.count() == 0


def test_the_same_material_twice_is_refused(as_owner: Client) -> None:
    as_owner.post("/materials/add/", material_typed())

    response = as_owner.post("/materials/add/", material_typed(section="32 x 3.2 mm"))

    assert response.status_code == 422
    assert "on the list already" in response.text


def test_a_material_in_the_ledger_keeps_what_it_is_but_not_its_levels(
    as_owner: Client, make_bar: MakePiece
) -> None:
    row = make_bar().material
    url = reverse("stock:material-change", args=[row.pk])
    same = material_typed(alloy="1084", section="1/8 x 1-1/4 in")

    refused = as_owner.post(url, same | {"section": "1/4 x 1-1/4 in"})
    as_owner.post(url, same | {"reorder": "40 in", "note": "from the mill"})

    row.refresh_from_db()
    assert refused.status_code == 422
    assert "in the ledger, so alloy, form, section and name stay" in refused.text
    assert (row.thickness_nm, row.reorder_below, row.note) == (IN // 8, 40 * IN, "from the mill")


def test_the_form_of_a_material_reads_back_to_the_same_sizes(
    as_owner: Client, make_material: MakeMaterial
) -> None:
    row = make_material(thickness_nm=3_333_333, width_nm=31_750_000)
    url = reverse("stock:material-change", args=[row.pk])
    page = read(as_owner.get(url).content)
    section = page.select_one("#id_section")["value"]

    as_owner.post(url, material_typed(alloy="1084", section=section))

    row.refresh_from_db()
    assert (row.thickness_nm, row.width_nm) == (3_333_333, 31_750_000)


def test_a_retired_material_leaves_the_choices_and_comes_back(
    as_owner: Client, make_material: MakeMaterial
) -> None:
    row = make_material()
    url = reverse("stock:material-retire", args=[row.pk])

    as_owner.post(url)
    gone = as_owner.get("/receive/").text
    as_owner.post(url)

    assert f'value="{row.pk}">1084' not in gone
    assert f'value="{row.pk}">1084' in as_owner.get("/receive/").text


def test_a_material_below_its_level_is_marked_low(as_owner: Client, make_bar: MakePiece) -> None:
    row = make_bar(length_nm=36 * IN).material
    Material.objects.filter(pk=row.pk).update(reorder_below=40 * IN)

    page = read(as_owner.get("/materials/").content)

    assert "low" in page.select_one("tbody tr").text


def test_the_list_of_materials_takes_few_queries(
    as_owner: Client,
    make_bar: MakePiece,
    sheet: Piece,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    for alloy in ("1084", "1095", "15n20", "80crv2"):
        make_bar(alloy=alloy)

    with django_assert_max_num_queries(7):
        as_owner.get("/materials/")


def test_one_saw_at_most_is_the_usual_one(as_owner: Client, saw: Saw) -> None:
    as_owner.post("/saws/", {"name": "chop saw", "kerf_nm": "0.1", "is_usual": "on"})

    assert list(Saw.objects.filter(is_usual=True).values_list("name", "kerf_nm")) == [
        ("chop saw", 2_540_000)
    ]


def test_a_saw_is_changed_and_its_name_is_not_given_twice(as_owner: Client, saw: Saw) -> None:
    as_owner.post("/saws/", {"name": "shears", "kerf_nm": ""})
    shears = Saw.objects.get(name="shears")

    refused = as_owner.post(f"/saws/{shears.pk}/", {"name": "Bandsaw", "kerf_nm": "2 mm"})
    as_owner.post(f"/saws/{saw.pk}/", {"name": "bandsaw", "kerf_nm": "1.1 mm"})

    saw.refresh_from_db()
    assert refused.status_code == 422
    assert "There is a saw called bandsaw already" in refused.text
    assert (shears.kerf_nm, saw.kerf_nm) == (0, 1_100_000)


def test_suppliers_are_for_the_owner(as_helper: Client) -> None:
    assert as_helper.get("/suppliers/").status_code == 403
    assert as_helper.post("/suppliers/add/", {"name": "X"}).status_code == 403
    assert Supplier.objects.count() == 0


def test_a_supplier_is_added_and_changed(as_owner: Client) -> None:
    typed = {
        "name": "Coldwater Copper",
        "days_to_deliver": "4",
        "delivery_cents": "12.50",
        "free_delivery_from_cents": "200",
        "minimum_order_cents": "",
        "note": "",
    }
    as_owner.post("/suppliers/add/", typed)
    row = Supplier.objects.get()

    as_owner.post(f"/suppliers/{row.pk}/", typed | {"days_to_deliver": "6"})
    refused = as_owner.post("/suppliers/add/", typed | {"name": "coldwater copper"})

    row.refresh_from_db()
    assert (row.days_to_deliver, row.delivery_cents, row.free_delivery_from_cents) == (
        6,
        1250,
        20_000,
    )
    assert refused.status_code == 422
    assert "$12.50" in as_owner.get("/suppliers/").text


def test_every_figure_of_an_alloy_shows_its_source_and_mark(as_owner: Client) -> None:
    page = read(as_owner.get("/alloys/").content)
    row = page.find("summary", id="1080").find_parent("details")

    text = " ".join(row.text.split())

    assert "forge at most" in text
    assert "2150 °F" in text
    assert "cashenblades.com" in text
    assert "read in the source" in text
    assert "carbon by" not in text or "from memory" in text


def test_an_alloy_of_the_shops_own_is_added_marked_and_changed(as_owner: Client) -> None:
    typed = {
        "name": "Barn pattern 200",
        "family": "carbon-steel",
        "hardens": "on",
        "density_kg_m3": "7850",
        "solidus": "2500 F",
        "liquidus": "",
        "forge_max": "2100",
        "forge_min": "1500",
        "austenitise_low": "1475",
        "austenitise_high": "1500",
        "note": "",
    }

    as_owner.post("/alloys/add/", typed)

    alloy = alloy_book()["barn-pattern-200"]
    assert alloy.is_shop_made
    assert alloy.solidus_c is not None
    assert (round(alloy.solidus_c.value), alloy.solidus_c.mark) == (1371, "shop")
    assert "the shop&#x27;s own" in as_owner.get("/alloys/").text
    own = OwnAlloy.objects.get()
    as_owner.post(f"/alloys/{own.pk}/", typed | {"name": "Barn pattern", "forge_max": ""})
    own.refresh_from_db()
    assert (own.key, own.name, own.forge_max_c) == ("barn-pattern-200", "Barn pattern", None)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"name": "1084"}, "in the book already"),
        ({"name": "!!!"}, "in the book already"),
        ({"forge_min": "2200 F"}, "lower than the one before"),
        ({"solidus": "-40 C"}, "above 0 °C"),
        ({"density_kg_m3": "1"}, "500"),
        ({"solidus": "hot"}, "hot"),
    ],
)
def test_an_alloy_that_cannot_be_is_refused(
    as_owner: Client, change: dict[str, str], told: str
) -> None:
    typed = {
        "name": "Barn",
        "family": "carbon-steel",
        "density_kg_m3": "7850",
        "solidus": "",
        "liquidus": "",
        "forge_max": "2100 F",
        "forge_min": "",
        "austenitise_low": "",
        "austenitise_high": "",
        "note": "",
    } | change

    response = as_owner.post("/alloys/add/", typed)

    assert response.status_code == 422
    assert told in read(response.content).text
    assert OwnAlloy.objects.count() == 0


@pytest.mark.parametrize("url", ["/materials/", "/materials/add/", "/saws/", "/alloys/"])
def test_strangers_see_none_of_it_and_helpers_no_money(
    client: Client, helper: Person, make_bar: MakePiece, url: str
) -> None:
    make_bar()
    stranger = client.get(url)
    client.force_login(helper)
    text = client.get(url).text

    assert "/sign-in/" in stranger["Location"]
    assert "$" not in text


def test_retiring_is_not_read(as_owner: Client, make_material: MakeMaterial) -> None:
    url = reverse("stock:material-retire", args=[make_material().pk])

    assert as_owner.get(url).status_code == 405
    assert not Material.objects.get().is_retired
