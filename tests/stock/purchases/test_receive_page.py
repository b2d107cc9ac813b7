"""A purchase typed in becomes marked pieces; what was typed wrong comes back as typed."""

from datetime import date

import pytest
from django.urls import reverse

from stock.ledger import receiving
from stock.models import Entry, Material, Piece, Purchase, Supplier
from tests.kinds import Client, DjangoAssertNumQueries, MakeMaterial, MakePiece, Person
from tests.stock.reading import read

IN = 25_400_000
MM = 1_000_000
pytestmark = pytest.mark.django_db
URL = "/receive/"


def typed(*lines: dict[str, str], **form: str) -> dict[str, str]:
    """The whole form as a browser sends it."""
    data = {
        "supplier": "new",
        "new_supplier": "Marrow & Daughter Steels",
        "on": "2026-03-02",
        "delivery_cents": "",
        "reference": "",
        "note": "",
        "due": "",
        "lines-TOTAL_FORMS": str(len(lines)),
        "lines-INITIAL_FORMS": "0",
        "lines-MIN_NUM_FORMS": "1",
        "lines-MAX_NUM_FORMS": "60",
    } | form
    for number, line in enumerate(lines):
        whole = {
            "material": "new",
            "new_form": "flat",
            "new_alloy": "1084",
            "new_section": "",
            "new_gauge": "",
            "new_name": "",
            "count": "1",
            "size": "",
            "price_cents": "",
            "heat_lot": "",
            "place": "",
        } | line
        data |= {f"lines-{number}-{name}": value for name, value in whole.items()}
    return data


BARS = {"new_section": "1/8 x 1 1/4 in", "count": "3", "size": "3 ft", "price_cents": "30"}
ROLL = {
    "new_form": "roll", "new_alloy": "c11000", "new_section": "20 thou x 6 in", "size": "10'",
    "price_cents": "90.00", "place": "shelf 1", "heat_lot": "R-9",
}  # fmt: skip
WIRE = {
    "new_form": "wire", "new_alloy": "er70s-6", "new_section": ".035", "size": "11 lb",
    "price_cents": "60",
}  # fmt: skip
SHEET = {
    "new_form": "sheet", "new_alloy": "c11000", "new_section": "20 thou", "size": "6 x 12 in",
    "price_cents": "9",
}  # fmt: skip
BELTS = {
    "new_form": "counted", "new_alloy": "", "new_name": "belts 36 grit", "count": "20",
    "price_cents": "50",
}  # fmt: skip


def test_every_form_of_metal_is_received_in_one_step(as_owner: Client) -> None:
    response = as_owner.post(URL, typed(BARS, ROLL, WIRE, SHEET, BELTS, delivery_cents="23.90"))

    purchase = Purchase.objects.get()
    assert response["Location"] == reverse("stock:purchase-detail", args=[purchase.pk])
    amounts = list(Piece.objects.order_by("id").values_list("material__form", "on_hand"))
    assert amounts == [
        ("flat", 36 * IN),
        ("flat", 36 * IN),
        ("flat", 36 * IN),
        ("roll", 120 * IN),
        ("wire", 4_989_516_070),
        ("sheet", 72 * IN * IN),
        ("counted", 20),
    ]
    # 23.90 over 239.00 is a tenth on top of everything.
    worth = list(Piece.objects.order_by("id").values_list("value_cents", flat=True))
    assert worth == [1100, 1100, 1100, 9900, 6600, 990, 5500]
    rolled = Piece.objects.get(material__form="roll")
    assert (rolled.place, rolled.heat_lot) == ("shelf 1", "R-9")


def test_the_result_lists_the_marks_to_paint_and_the_labels(as_owner: Client) -> None:
    as_owner.post(URL, typed(BARS))
    purchase = Purchase.objects.get()

    page = read(as_owner.get(reverse("stock:purchase-detail", args=[purchase.pk])).content)

    painted = {one.text for one in page.select("ul.new-marks a.mark")}
    assert painted == set(Piece.objects.values_list("mark", flat=True))
    assert len(painted) == 3
    assert page.select_one(f'a[href="/labels/file/?purchase={purchase.pk}"]') is not None


def test_a_material_and_a_supplier_that_are_there_are_chosen_not_doubled(
    as_owner: Client, make_material: MakeMaterial, supplier: Supplier
) -> None:
    bar = make_material()

    as_owner.post(
        URL,
        typed(
            {"material": str(bar.pk), "size": "36 in", "price_cents": "10"},
            BARS,
            supplier=str(supplier.pk),
        ),
    )

    assert (Material.objects.count(), Supplier.objects.count()) == (1, 1)
    assert Piece.objects.filter(material=bar).count() == 4


@pytest.mark.parametrize(
    ("line", "field", "told"),
    [
        ({"size": "1e9 in"}, "size", "1e9 in"),
        ({"size": "0"}, "size", "not above 0"),
        ({"size": ""}, "size", "is needed"),
        ({"count": "0"}, "count", "not above 0"),
        ({"count": "500"}, "count", "500 pieces are more than the 200"),
        ({"price_cents": "ten"}, "price_cents", "ten"),
        ({"price_cents": ""}, "price_cents", "is needed"),
        ({"new_section": "1/8"}, "new_section", "thickness × width"),
        ({"new_section": "9**9**9 mm"}, "new_section", "9**9**9"),
        ({"new_form": ""}, "new_form", "Choose how it comes"),
        ({"new_alloy": ""}, "new_alloy", "Choose the alloy"),
        ({"material": "77777"}, "material", "Choose one of the list"),
        (SHEET | {"size": "6 in"}, "size", "width × length"),
        (WIRE | {"size": "3 ft"}, "size", "3 ft"),
        (BELTS | {"new_name": ""}, "new_name", "Say what it is"),
    ],
)
def test_a_line_typed_wrong_comes_back_as_typed_and_nothing_is_kept(
    as_owner: Client, line: dict[str, str], field: str, told: str
) -> None:
    sent = typed(BARS | line, reference="A <1>")

    response = as_owner.post(URL, sent)

    page = read(response.content)
    at = page.select_one(f"#id_lines-0-{field}")
    assert response.status_code == 422
    assert at is not None
    assert told in at.find_parent("div", class_="field").text
    assert page.select_one("#id_reference")["value"] == "A <1>"
    for name in ("size", "count", "price_cents", "new_section"):
        assert page.select_one(f"#id_lines-0-{name}").get("value", "") == sent[f"lines-0-{name}"]
    assert (Purchase.objects.count(), Piece.objects.count(), Supplier.objects.count()) == (0, 0, 0)
    assert Material.objects.count() == 0


def test_one_wrong_line_keeps_the_right_one_off_the_books_too(as_owner: Client) -> None:
    as_owner.post(URL, typed(BARS, ROLL | {"size": "zero"}))

    assert (Piece.objects.count(), Material.objects.count()) == (0, 0)


def test_a_new_supplier_needs_a_name(as_owner: Client) -> None:
    response = as_owner.post(URL, typed(BARS, new_supplier=""))

    assert response.status_code == 422
    assert "Write the new supplier" in response.text


def test_without_script_a_line_more_is_asked_for_and_nothing_is_lost_or_scolded(
    as_owner: Client,
) -> None:
    sent = typed(BARS | {"price_cents": ""}, supplier="", new_supplier="")

    response = as_owner.post(URL, sent | {"add-row": "1"})

    page = read(response.content)
    assert response.status_code == 200
    assert page.select_one("#id_lines-TOTAL_FORMS")["value"] == "2"
    assert page.select_one("#id_lines-1-count")["value"] == "1"
    assert page.select_one("#id_lines-0-size")["value"] == "3 ft"
    assert page.select(".errorlist") == []
    assert Purchase.objects.count() == 0


def test_a_line_that_was_added_and_left_empty_or_removed_counts_for_nothing(
    as_owner: Client,
) -> None:
    empty = {"material": "", "new_form": "", "new_alloy": ""}
    removed = ROLL | {"size": "nonsense", "DELETE": "on"}

    as_owner.post(URL, typed(BARS, empty, removed))

    assert Piece.objects.count() == 3


def test_an_order_is_written_down_and_received_when_it_comes(as_owner: Client) -> None:
    as_owner.post(URL, typed(BARS, is_ordered="on", due="2026-03-09"))
    order = Purchase.objects.get()
    before = Piece.objects.count()

    line = order.lines.get()
    as_owner.post(
        reverse("stock:purchase-receive", args=[order.pk]), {f"place-{line.pk}": "rack 4"}
    )

    assert before == 0
    assert (str(order.due_on), order.state) == ("2026-03-09", "ordered")
    assert set(Piece.objects.values_list("place", flat=True)) == {"rack 4"}


@pytest.fixture
def order(make_material: MakeMaterial, supplier: Supplier, owner: Person) -> Purchase:
    """Two bars on their way for 20.00."""
    line = receiving.Line(material=make_material(), count=2, price_cents=2000, length_nm=36 * IN)
    return receiving.order(
        supplier=supplier,
        lines=[line],
        delivery_cents=0,
        on=date(2026, 3, 2),
        due=date(2026, 3, 9),
        by=owner,
    )


def test_a_helper_receives_an_order_and_sees_no_money_on_the_way(
    as_helper: Client, order: Purchase
) -> None:
    pages = [
        as_helper.get(URL).text,
        as_helper.get(reverse("stock:purchase-list")).text,
        as_helper.get(reverse("stock:purchase-detail", args=[order.pk])).text,
    ]

    response = as_helper.post(reverse("stock:purchase-receive", args=[order.pk]), follow=True)

    pages.append(response.text)
    assert Piece.objects.count() == 2
    assert "2 × 36 in" in pages[0]
    for page in pages:
        assert "$" not in page
        assert "20.00" not in page
        assert "Price" not in page


def test_a_bar_that_is_sold_in_millimetres_is_shown_so(as_owner: Client) -> None:
    as_owner.post(URL, typed(BARS | {"size": "500 mm"}))

    page = as_owner.get(reverse("stock:purchase-detail", args=[Purchase.objects.get().pk])).text

    assert "3 × 500 mm" in page


def test_a_purchase_that_is_sent_twice_asks_before_it_is_written_again(as_owner: Client) -> None:
    first = typed(BARS) | {"seen": "0"}
    as_owner.post(URL, first)

    again = as_owner.post(URL, first)

    assert again.status_code == 422
    assert "after this page was opened" in again.text
    assert Purchase.objects.count() == 1
    seen = str(Purchase.objects.get().pk)
    assert f'name="seen" value="{seen}"' in again.text
    as_owner.post(URL, first | {"seen": seen})
    assert Purchase.objects.count() == 2


def test_a_helper_cannot_enter_a_purchase(as_helper: Client) -> None:
    as_helper.post(URL, typed(BARS))

    assert Purchase.objects.count() == 0


def test_receiving_twice_is_told_and_books_once(as_owner: Client, order: Purchase) -> None:
    url = reverse("stock:purchase-receive", args=[order.pk])
    as_owner.post(url)

    response = as_owner.post(url, follow=True)

    assert "was received already" in response.text
    assert Entry.objects.count() == 2


def test_an_order_that_will_not_come_is_dropped(as_owner: Client, order: Purchase) -> None:
    response = as_owner.post(reverse("stock:purchase-drop", args=[order.pk]), follow=True)

    order.refresh_from_db()
    assert order.state == "dropped"
    assert "The order is dropped" in response.text
    assert Piece.objects.count() == 0


def test_a_helper_drops_no_order(as_helper: Client, order: Purchase) -> None:
    url = reverse("stock:purchase-drop", args=[order.pk])
    page = as_helper.get(reverse("stock:purchase-detail", args=[order.pk])).text

    assert as_helper.post(url).status_code == 403

    order.refresh_from_db()
    assert order.state == "ordered"
    assert url not in page


@pytest.mark.parametrize("name", ["purchase-receive", "purchase-drop"])
def test_reading_changes_no_order(as_owner: Client, order: Purchase, name: str) -> None:
    assert as_owner.get(reverse(f"stock:{name}", args=[order.pk])).status_code == 405

    order.refresh_from_db()
    assert order.state == "ordered"


def test_strangers_are_turned_away(client: Client, order: Purchase) -> None:
    for url in (URL, reverse("stock:purchase-receive", args=[order.pk])):
        assert "/sign-in/" in client.post(url)["Location"]

    assert Piece.objects.count() == 0


def test_the_list_of_orders_takes_few_queries(
    as_owner: Client,
    order: Purchase,
    make_bar: MakePiece,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    for _ in range(20):
        make_bar()

    with django_assert_max_num_queries(9):
        response = as_owner.get(reverse("stock:purchase-list"))

    assert "$24.00" in response.text
