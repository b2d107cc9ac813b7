"""Reads what the first page shows: what is next, classes to come, billets in work, orders."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TypedDict

from billets.models import Billet, Layup, StepKind
from shop.calendar.opening import OpeningError
from shop.classes import reading as classes_reading
from shop.classes.reading import ClassLine, Cuts
from shop.dates import reading as dates_reading
from shop.dates.reading import ClassFacts, class_facts
from shop.home.todo import ClassState, Todo, class_todo, soonest_first
from shop.models import ForgeClass, PlanRun
from shop.planning.cut_plan import CutPlan
from shop.rates import writing as rates
from shop.words.numbers import counted
from stock import clock
from stock.house import House
from stock.models import Piece
from stock.purchases.reading import OrderToCome, orders_to_come

LATELY = timedelta(days=120)
CLASSES_SHOWN = 6
MARKS_SHOWN = 8
NEXT_STEPS = {  # the stage that billets have reached, and what is done to them next
    StepKind.CUT: "to clean and stack",
    StepKind.CLEANED: "to weld shut",
    StepKind.WELDED: "to bond",
    StepKind.BONDED: "to draw out",
    StepKind.DRAWN: "to finish",
}


@dataclass(frozen=True)
class BenchLine:
    """Billets that wait for the same step."""

    stage: str
    title: str
    billets: list[Billet]
    more: int


class HomeFigures(TypedDict):
    """What is next in the shop."""

    today: date
    todos: list[Todo]
    classes: list[ClassLine]
    bench: list[BenchLine]
    orders: list[OrderToCome]


def home_figures(*, house: House) -> HomeFigures:
    """Everything the first page needs."""
    today = clock.today()
    rows = open_classes()
    facts = class_facts(rows, history=rates.history(), house=house, today=today)
    cuts = classes_reading.cuts_in(facts.seats)
    lines = [classes_reading.class_line(row, cuts[row.pk], today=today) for row in rows]
    drafts = ready_plans(rows)
    todos = [class_todo(state_of(line, drafts, facts=facts), today=today) for line in lines]
    orders = orders_to_come(house=house)
    return HomeFigures(
        today=today,
        todos=first_steps() or soonest_first([*todos, *map(late_order(today), orders)]),
        classes=[line for line in lines if line.row.ends_on >= today],
        bench=bench(),
        orders=orders,
    )


def open_classes() -> list[ForgeClass]:
    """Classes that are on, soonest first; among them those that are over and not written down."""
    rows = ForgeClass.objects.standing().with_taken().select_related("layup")
    return list(rows.order_by("starts_on", "id")[:CLASSES_SHOWN])


def ready_plans(rows: Sequence[ForgeClass]) -> dict[int, PlanRun]:
    """The newest plan of each class that waits to be confirmed."""
    runs = PlanRun.objects.filter(forge_class__in=rows, state=PlanRun.State.READY)
    return {run.forge_class_id: run for run in runs.order_by("id")}


def state_of(line: ClassLine, drafts: Mapping[int, PlanRun], *, facts: ClassFacts) -> ClassState:
    """Where a class stands, with the dates worked back from its first day."""
    row, cuts = line.row, line.cuts
    order_by, begin_by = dates_of(row, cuts, facts=facts)
    draft = drafts.get(row.pk) if cuts.unplanned else None
    return ClassState(
        pk=row.pk,
        title=row.title,
        starts_on=row.starts_on,
        ends_on=row.ends_on,
        seats=len(facts.seats[row.pk]),
        cut=cuts.cut,
        standing=cuts.standing,
        unplanned=cuts.unplanned,
        has_ready_plan=draft is not None,
        is_drafted_short=draft is not None and not CutPlan.from_json(draft.result).is_whole,
        order_by=order_by,
        begin_by=begin_by,
    )


def dates_of(row: ForgeClass, cuts: Cuts, *, facts: ClassFacts) -> tuple[date | None, date | None]:
    """The last day to order what is short, and the day that preparing must begin."""
    if row.starts_on < facts.today or not cuts.all:
        return None, None
    try:
        dates = dates_reading.class_dates(
            row, history=facts.history, house=facts.house, today=facts.today, facts=facts
        )
    except OpeningError:
        return None, None
    found = dates.found.schedule
    days = [order.last_order_day for order in found.orders if order.last_order_day]
    return min(days, default=None), found.starts_on if found.work_days else None


def late_order(today: date) -> Callable[[OrderToCome], Todo | None]:
    """Makes a thing to do of an order that should be here by now."""

    def todo(order: OrderToCome) -> Todo | None:
        row = order.purchase
        if row.due_on is None or row.due_on > today:
            return None
        return Todo(
            f"Receive the metal from {row.supplier}",
            order.what,
            "Open the order",
            "stock:purchase-detail",
            str(row.pk),
            row.due_on,
            is_late=row.due_on < today,
        )

    return todo


def first_steps() -> list[Todo]:
    """What a new shop does first, one thing after the other."""
    if not Piece.objects.exists():
        return [
            Todo(
                "Receive the metal that is on your rack",
                "Each piece gets a mark to paint on it, and is drawn here to scale.",
                "Receive metal",
                "stock:receive",
            )
        ]
    if not Layup.objects.exists():
        return [
            Todo(
                "Make your first layup",
                "Layer by layer, with what is wrong with it told as you go.",
                "Make a layup",
                "billets:layup-add",
            )
        ]
    if not ForgeClass.objects.exists() and not Billet.objects.exists():
        return [
            Todo(
                "Add your first class",
                "Its seats become billets, and these a cut plan.",
                "Add a class",
                "shop:class-add",
            )
        ]
    return []


def bench() -> list[BenchLine]:
    """Billets between the saw and the file, by what is done to them next."""
    rows = Billet.objects.filter(made_at__gte=clock.now() - LATELY, is_withdrawn=False)
    billets = list(rows.order_by("id"))
    stages = classes_reading.stages_of(billets)
    found: dict[StepKind, list[Billet]] = defaultdict(list)
    for billet in billets:
        found[stages[billet.pk]].append(billet)
    return [
        BenchLine(
            stage=stage.value,
            title=f"{counted(len(found[stage]), 'billet')} {words}",
            billets=found[stage][:MARKS_SHOWN],
            more=len(found[stage][MARKS_SHOWN:]),
        )
        for stage, words in NEXT_STEPS.items()
        if found[stage]
    ]
