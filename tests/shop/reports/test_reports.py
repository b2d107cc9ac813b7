"""Reports: metal used by mass, yield with an interval, where the money went, other valuations."""

from __future__ import annotations

import csv
import io
from datetime import UTC, date, datetime
from fractions import Fraction
from typing import Any

import pytest
from django.urls import reverse
from scipy import stats

from billets.history import writing as history
from billets.models import StepKind
from shop.knives import writing as knives
from shop.reports import reading as reports_reading
from shop.reports.metal_used import Use, cells, mass_ug, rows_by
from shop.reports.span import asked_span
from stock import clock
from stock.ledger import by_hand, receiving
from stock.ledger.valuation import Bought, Used
from stock.models import Piece
from tests.conftest import IN
from tests.kinds import (
    Client,
    DjangoAssertNumQueries,
    MakeLayup,
    MakeMaterial,
    MakePiece,
    Person,
    Response,
    Saw,
)

LB_UG = 453_592_370


def lines_of(response: Response) -> list[list[str]]:
    """A file's rows, its mark taken off."""
    return list(csv.reader(io.StringIO(response.content.decode("utf-8-sig"))))


def use(**changes: Any) -> Use:
    """One entry as a use."""
    about: dict[str, Any] = {
        "month": "2026-03",
        "alloy": "1084",
        "user": "knives",
        "mass_ug": 100,
        "cents": 10,
        "is_scrap": False,
    }
    return Use(**(about | changes))


def test_a_bar_of_steel_weighs_what_its_size_says() -> None:
    # 12 x 1 x 1/4 in is 3 in³; at 7850 kg/m³ that is 0.850 lb (0.2836 lb/in³).
    found = mass_ug(
        12 * IN, form="flat", section_nm2=IN * IN // 4, thickness_nm=0, kg_m3=Fraction(7850)
    )

    assert found / LB_UG == pytest.approx(0.8508, abs=0.0002)


def test_bar_and_sheet_of_one_size_weigh_the_same_and_wire_is_weighed_already() -> None:
    bar = mass_ug(10 * IN, form="roll", section_nm2=2 * IN * IN, thickness_nm=0, kg_m3=Fraction(9))
    sheet = mass_ug(
        10 * IN * IN, form="sheet", section_nm2=0, thickness_nm=2 * IN, kg_m3=Fraction(9)
    )

    assert bar == sheet
    assert mass_ug(77, form="wire", section_nm2=0, thickness_nm=0, kg_m3=Fraction(9)) == 77
    assert mass_ug(5, form="counted", section_nm2=0, thickness_nm=0, kg_m3=Fraction(9)) == 0


def test_what_was_taken_back_is_not_in_the_report() -> None:
    found = cells([use(), use(mass_ug=-100, cents=-10), use(alloy="1095", is_scrap=True)])

    assert [(cell.alloy, cell.mass_ug, cell.scrap_ug) for cell in found] == [("1095", 100, 100)]


def test_each_way_of_adding_up_comes_to_the_same() -> None:
    found = cells([use(), use(month="2026-04", mass_ug=50), use(alloy="1095", is_scrap=True)])

    months, alloys = (
        rows_by(found, lambda cell: cell.month),
        rows_by(found, lambda cell: cell.alloy),
    )

    assert [(row.name, row.mass_ug) for row in months] == [("2026-03", 200), ("2026-04", 50)]
    assert sum(row.mass_ug for row in alloys) == 250
    assert months[0].scrap_share == Fraction(1, 2)


@pytest.fixture
def worked_shop(make_layup: MakeLayup, make_bar: MakePiece, owner: Person, saw: Saw) -> Any:
    """A bar of 36 in for 24.00: 12 in cut for a billet in March, 6 in scrapped in April."""
    bar = make_bar()
    billet = history.make_billet(layup=make_layup(), by=owner)
    with clock.as_of(datetime(2026, 3, 5, 9, tzinfo=UTC)):
        by_hand.cut_by_hand(piece=bar, length_nm=12 * IN, kerf_nm=0, job=billet.job, by=owner)
    with clock.as_of(datetime(2026, 4, 5, 9, tzinfo=UTC)):
        by_hand.scrap(piece=bar, amount=6 * IN, why="bent", by=owner)
        act = by_hand.scrap(piece=bar, amount=3 * IN, why="slip", by=owner)
        by_hand.undo(act=act, by=owner)
    for kind in history.ORDER[1:]:
        history.record_step(billet=billet, kind=kind, by=owner)
    return bar


def test_metal_used_is_told_by_month_and_by_who_used_it(worked_shop: Any) -> None:
    found = reports_reading.used_cells(span=asked_span({"year": "2026"}))

    assert [(cell.month, cell.user) for cell in found] == [
        ("2026-03", "other billets"),
        ("2026-04", "the shop itself"),
    ]
    # 12 x 1-1/4 x 1/8 in of 1084: 1.875 in³, a little over half a pound.
    assert found[0].mass_ug / LB_UG == pytest.approx(0.532, abs=0.003)
    assert (found[0].cents, found[1].cents) == (800, 400)
    assert found[1].scrap_ug == found[1].mass_ug
    assert reports_reading.used_cells(span=asked_span({"year": "2019"})) == ()


def test_where_the_money_went_adds_up_to_what_was_paid(
    worked_shop: Any, owner: Person, make_piece: MakePiece, make_material: MakeMaterial
) -> None:
    material = make_material(form="counted", alloy="", name="pin", thickness_nm=0, width_nm=0)
    box = make_piece(material=material, count=10, price_cents=1000)
    knife = knives.make_knife(pattern="petty", by=owner)
    knives.use_parts(knife=knife, piece=box, count=3, by=owner)

    paid, went, rack = reports_reading.where_it_went()

    assert {one.name: one.cents for one in went} == {
        "Other billets": 800,
        "Knives": 300,
        "Other scrap and kerf": 400,
    }
    assert paid == 3400
    assert paid - sum(one.cents for one in went) == rack == 1900


def test_yield_has_an_interval_and_says_how_small_the_record_is(
    as_helper: Client, worked_shop: Any, owner: Person
) -> None:
    from billets.models import Layup

    second = history.make_billet(layup=Layup.objects.get(), by=owner)
    history.record_step(billet=second, kind=StepKind.FAILED, cause="cracked", by=owner)

    row = reports_reading.yield_rows()[0]
    page = as_helper.get(reverse("shop:reports")).text

    assert (row.record.sound, row.record.made, row.failed) == (1, 2, 1)
    assert float(row.low) == pytest.approx(stats.beta.ppf(0.05, 1.5, 1.5), abs=2e-6)
    assert float(row.high) == pytest.approx(stats.beta.ppf(0.95, 1.5, 1.5), abs=2e-6)
    assert "small record" in page


def test_a_material_is_valued_three_ways(
    as_owner: Client, worked_shop: Any, make_bar: MakePiece
) -> None:
    make_bar(price_cents=3600)
    url = reverse("shop:reports") + f"?material={worked_shop.material_id}"

    moves = reports_reading.moves_of(worked_shop.material)
    page = as_owner.get(url).text

    assert moves == [
        Bought(36 * IN, 2400),
        Used(12 * IN, 800),
        Used(6 * IN, 400),
        Bought(36 * IN, 3600),
    ]
    assert "By the piece that was cut" in page
    assert "Moving average" in page
    assert "$12.00" in page


def test_files_open_right_in_a_spreadsheet(as_owner: Client, worked_shop: Any) -> None:
    response = as_owner.get(reverse("shop:report-csv", args=["metal-used"]))

    assert response["Content-Type"] == "text/csv; charset=utf-8"
    assert response.content.startswith(b"\xef\xbb\xbf")
    assert b"\r\n" in response.content
    rows = lines_of(response)
    assert rows[0] == [
        "Month",
        "Alloy",
        "Used for",
        "Mass (lb)",
        "of it scrap and kerf (lb)",
        "of it in failed billets (lb)",
        "Value (USD)",
    ]
    assert rows[1][0] == "2026-03"
    assert rows[1][6] == "8.00"


@pytest.mark.parametrize("name", ["metal-used", "yield", "money", "valuation"])
def test_each_report_is_a_file(as_owner: Client, worked_shop: Any, name: str) -> None:
    url = reverse("shop:report-csv", args=[name]) + f"?material={worked_shop.material_id}&comma=1"

    response = as_owner.get(url)

    assert response.status_code == 200
    assert f'filename="{name}.csv"' in response["Content-Disposition"]
    assert ";" in response.content.decode()


def test_a_formula_in_a_name_stays_text(
    as_owner: Client, make_layup: MakeLayup, owner: Person
) -> None:
    billet = history.make_billet(layup=make_layup(name="=2+3"), by=owner)
    history.record_step(billet=billet, kind=StepKind.FAILED, cause="other", by=owner)

    rows = lines_of(as_owner.get(reverse("shop:report-csv", args=["yield"])))

    assert rows[1][:4] == ["'=2+3", "1", "0", "1"]


@pytest.mark.parametrize(
    "query", ["?year=x", "?year=9**9", "?material=-1", "?material=99999999999"]
)
def test_an_odd_address_shows_the_report_all_the_same(as_owner: Client, query: str) -> None:
    assert as_owner.get(reverse("shop:reports") + query).status_code == 200


def test_an_unknown_report_is_not_found(as_owner: Client) -> None:
    for name in ("valuation", "nothing"):
        assert as_owner.get(reverse("shop:report-csv", args=[name])).status_code == 404


def test_a_helper_gets_the_reports_without_money(as_helper: Client, worked_shop: Any) -> None:
    page = as_helper.get(reverse("shop:reports"))
    used = as_helper.get(reverse("shop:report-csv", args=["metal-used"]))

    assert page.status_code == 200
    for money in ("$", "8.00", "24.00", "Value", "paid"):
        assert money not in page.text, money
    assert len(lines_of(used)[0]) == 6
    assert "8.00" not in used.content.decode()
    for name in ("money", "valuation"):
        assert as_helper.get(reverse("shop:report-csv", args=[name])).status_code == 403


def test_a_stranger_is_turned_away(client: Client, worked_shop: Any) -> None:
    assert client.get(reverse("shop:reports")).status_code == 302
    assert client.get(reverse("shop:report-csv", args=["yield"])).status_code == 302


def test_reports_only_read(as_owner: Client) -> None:
    assert as_owner.post(reverse("shop:reports")).status_code == 405


def test_reports_take_few_queries(
    as_owner: Client, worked_shop: Any, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_max_num_queries(22):
        assert as_owner.get(reverse("shop:reports")).status_code == 200


def test_the_report_of_a_year_is_the_sum_of_its_cells(worked_shop: Any) -> None:
    found = reports_reading.used_cells()

    assert sum(cell.cents for cell in found) == 1200


@pytest.fixture
def sent_back(make_bar: MakePiece, owner: Person) -> Any:
    """A bar of 24.00 that went back for 20.00."""
    bar = make_bar()
    return receiving.send_back(
        piece=bar,
        amount=bar.on_hand,
        credit_cents=2000,
        why="cracked",
        day=date(2026, 3, 9),
        by=owner,
    )


def test_what_went_back_stands_among_where_the_money_went(sent_back: Any) -> None:
    paid, went, rack = reports_reading.where_it_went()

    assert (paid, rack) == (2400, 0)
    assert [(one.name, one.cents) for one in went] == [("Sent back to suppliers", 2400)]


def test_what_went_back_is_listed_with_its_credit_and_as_a_file(
    as_owner: Client, sent_back: Any
) -> None:
    page = as_owner.get(reverse("shop:reports")).text
    file = as_owner.get(reverse("shop:report-csv", args=["returns"])).text

    assert "$24.00 in value, $20.00 credited" in page
    mark = sent_back.piece.mark
    row = f"2026-03-09,Marrow & Daughter Steels,{mark},36 in,cracked,24.00,20.00,4.00"
    assert row in file


def test_what_went_back_was_not_used_by_any_way_to_value(
    make_bar: MakePiece, make_piece: MakePiece, owner: Person
) -> None:
    # Two bars of 36 in come together for 48.00; one goes back, and 12 in of the other are cut.
    bar = make_bar(count=2, price_cents=4800)
    other = Piece.objects.filter(line=bar.line).exclude(pk=bar.pk).get()
    receiving.send_back(
        piece=other, amount=36 * IN, credit_cents=0, why="bent", day=date(2026, 3, 9), by=owner
    )
    by_hand.cut_by_hand(piece=bar, length_nm=12 * IN, kerf_nm=0, job="a hook", by=owner)

    moves = reports_reading.moves_of(bar.material)

    assert moves == [Bought(36 * IN, 2400), Used(12 * IN, 800)]


def test_a_helper_gets_no_report_of_what_went_back(as_helper: Client, sent_back: Any) -> None:
    assert "Sent back" not in as_helper.get(reverse("shop:reports")).text
    assert as_helper.get(reverse("shop:report-csv", args=["returns"])).status_code == 403
