"""Reports: metal used, yield, where the money went, other ways to value; each as a file too."""

from __future__ import annotations

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from billets.drawings.chart import Share, Waterfall, waterfall
from shop.reports import hours, knives_sold, tables
from shop.reports import reading as reports_reading
from shop.reports.metal_used import UsedRow, Valued, rows_by, valued
from shop.reports.span import Span, asked_span
from stock.drawings.shapes import DrawingError
from stock.house import House
from stock.models import Material
from stock.output.csv_tables import Dialect, Table, csv_text
from stock.quantities.areas import amount_text
from stock.quantities.money import MoneyError
from stock.web.requests import HtmxRequest, person
from stock.who import Person

MONEY_REPORTS = ("money", "knives-sold", "returns", "valuation")


def span_of(request: HtmxRequest) -> Span:
    """The days in the address."""
    return asked_span({name: request.GET.get(name, "") for name in ("year", "from", "to")})


def asked_material(request: HtmxRequest) -> Material | None:
    """The material in the address."""
    text = request.GET.get("material", "")
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        return None
    return Material.objects.filter(pk=int(text)).first()


class ReportsPage(hours.HoursPart):
    """All reports without money."""

    span: Span
    years: list[int]
    by_month: tuple[UsedRow, ...]
    by_alloy: tuple[UsedRow, ...]
    by_user: tuple[UsedRow, ...]
    yields: list[reports_reading.YieldRow]
    place: str


class MoneyPart(knives_sold.SoldPart):
    """What only the owner sees: where the money went; one material when it is asked for."""

    paid: int
    went: list[reports_reading.Went]
    rack: int
    drawing: Waterfall | None
    materials: list[tuple[int, str]]
    material: Material | None
    returns: list[reports_reading.Return]
    returned_cents: int
    credited_cents: int
    material_query: str
    material_title: str
    valued: Valued | None
    moved: dict[str, str]
    valuation_refused: str


class MoneyReportsPage(ReportsPage, MoneyPart):
    """All reports."""


@require_safe
def reports_page(request: HtmxRequest) -> HttpResponse:
    """All reports; a helper gets those without money."""
    span = span_of(request)
    found = reports_reading.used_cells(span=span)
    context = ReportsPage(
        span=span,
        years=reports_reading.years(),
        by_month=rows_by(found, lambda cell: cell.month),
        by_alloy=rows_by(found, lambda cell: cell.alloy),
        by_user=rows_by(found, lambda cell: cell.user),
        yields=reports_reading.yield_rows(span=span),
        place="shop" if request.house.is_owner else "classes",
        **hours.hours_context(span=span, person=whose_hours(request)),
    )
    if not request.house.sees_money:
        return render(request, "shop/reports/page.html", context)
    whole = MoneyReportsPage(**context, **money_context(request, span=span))
    return render(request, "shop/reports/page.html", whole)


def whose_hours(request: HtmxRequest) -> Person | None:
    """A helper sees their own hours; the owner everybody's."""
    return None if request.house.is_owner else person(request)


def money_context(request: HtmxRequest, *, span: Span) -> MoneyPart:
    """What only the owner sees."""
    paid, went, rack = reports_reading.where_it_went(span=span)
    before = reports_reading.worth_before(span)
    material = asked_material(request)
    titles = reports_reading.material_titles(house=request.house)
    context = MoneyPart(
        paid=paid,
        went=went,
        rack=rack,
        drawing=money_drawing(paid, went, rack, before=before),
        materials=titles,
        material=material,
        returns=(returns := reports_reading.returns(house=request.house, span=span)),
        returned_cents=sum(row.value_cents for row in returns),
        credited_cents=sum(row.credit_cents for row in returns),
        material_query="",
        material_title="",
        valued=None,
        moved={},
        valuation_refused="",
        **knives_sold.sold_context(house=request.house, span=span),
    )
    if material is not None:
        context["material_query"] = f"material={material.pk}"
        context["material_title"] = dict(titles).get(material.pk, str(material))
        try:
            found = valued(reports_reading.moves_of(material))
            context["valued"] = found
            context["moved"] = {
                name: amount_text(amount, form=material.form, system=request.house.system)
                for name, amount in (
                    ("bought", found.bought_amount),
                    ("used", found.used_amount),
                    ("left", found.left_amount),
                )
            }
        except MoneyError as error:
            context["valuation_refused"] = str(error)
    return context


def money_drawing(
    paid: int, went: list[reports_reading.Went], rack: int, *, before: int = 0
) -> Waterfall | None:
    """From what was paid to what is left; nothing to draw of nothing."""
    begun = [Share("On the rack before", before)] if before else []
    rest = Share("On the rack", rack, is_total=True)
    steps = [Share(one.name, -one.cents) for one in went]
    try:
        return waterfall([*begun, Share("Paid for metal", paid), *steps, rest])
    except DrawingError:
        return None


@require_safe
def report_csv(request: HtmxRequest, name: str) -> HttpResponse:
    """One report as a file; `?comma=1` for a spreadsheet with decimal commas."""
    if name in MONEY_REPORTS and not request.house.sees_money:
        raise PermissionDenied("This report is for the shop's owner.")
    try:
        table = report_table(request, name, house=request.house)
    except MoneyError as error:
        return HttpResponse(f"{error}\n", status=409, content_type="text/plain; charset=utf-8")
    dialect = Dialect(has_decimal_comma=bool(request.GET.get("comma")))
    response = HttpResponse(
        csv_text(table, dialect=dialect), content_type="text/csv; charset=utf-8"
    )
    response["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    return response


def report_table(request: HtmxRequest, name: str, *, house: House) -> Table:
    """The table of a report by its name in the address."""
    span = span_of(request)
    if name == "metal-used":
        found = reports_reading.used_cells(span=span)
        return tables.used_table(found, house=house)
    if name == "hours":
        cells = hours.hour_cells(span=span, person=whose_hours(request))
        return hours.hours_table(cells)
    if name == "yield":
        return tables.yield_table(reports_reading.yield_rows(span=span))
    if name == "money":
        before = reports_reading.worth_before(span)
        paid, went, rack = reports_reading.where_it_went(span=span)
        return tables.money_table(paid, went, rack, house=house, before=before)
    if name == "knives-sold":
        sold = knives_sold.sold_knives(house=house, span=span)
        return knives_sold.sold_table(sold, house=house)
    if name == "returns":
        returned = reports_reading.returns(house=house, span=span)
        return tables.returns_table(returned, house=house)
    material = asked_material(request) if name == "valuation" else None
    if material is None:
        raise Http404("There is no such report.")
    moves = reports_reading.moves_of(material)
    return tables.valuation_table(valued(moves), house=house)
