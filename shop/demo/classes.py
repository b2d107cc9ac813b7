"""The demo shop's classes: two held, one half cut, one that wants for metal."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from datetime import date, datetime

from billets.forging.forecast import drawn_size, forecast
from billets.history import writing as history
from billets.layup import seam
from billets.layup.case import case_of
from billets.models import Billet, Layup, StepKind, Work
from shop.cut_list import writing as cut_list
from shop.demo import layups, metal, people
from shop.demo.people import Days
from shop.models import ForgeClass, PlanRun, Seat
from shop.planning import writing as planning
from shop.planning.laying_out import Solvers
from stock import clock
from stock.cutting.bars import best
from stock.cutting.plans.plan import BarCase, BarPlan, SheetCase, SheetPlan
from stock.cutting.sheets import best as sheets
from stock.house import House
from stock.models import SetAside, alloy_book
from stock.who import Person

LIMIT_S = 5.0
TAPE_THICKNESS_NM = 127_000  # 0.005 in
TAPE_WIDTH_NM = 793_750  # 1/32 in
TAPE_LENGTH_NM = 1_587_500  # 1/16 in
Failures = dict[int, tuple[str, str]]  # which billets of a class, why, and what was noted
FIRST_FAILURES: Failures = {8: ("no-bond", "a greasy thumb on the copper")}
FAILURES: Failures = {
    2: ("copper-ran", "left in the fire while the press was busy"),
    5: ("seam-opened", "corner not welded through; scale inside"),
}
FIRST_DAY, HELD_DAY = -128, -36

FIRST = [
    "Otto Reyle", "Maren Holt", "Yusuf Calder", "Clea Bannock", "Teodor Wisp", "Nadia Fenn",
    "Rufus Ambry", "Salme Orrin", "Bram Tolliver", "Ishbel Crane", "Paolo Verrin", "Dagny Stroud",
]  # fmt: skip
HELD = ["Priya Ansel", "Gwen Torrow", "Malik Odura", "Jonas Feld", "Ines Cabrel", "Pat Summerlin"]
COMING = [
    "Beatriz Lunde", "Owen Hartley-Moss", "Sunniva Brekk", "Tobias Quill", "Amara Nwosu-Finch",
    "Felix Dornan", "Kirsten Aldous", "Ravi Menonkar", "Lotte Vandersee", "Cal Brightwater",
]  # fmt: skip
WANTING = ["Signe Marlow", "Dov Castellan", "Hester Pell"]
KNIVES = ["bird and trout, 4 in", "paring, 3-1/2 in", "petty, 5 in", "small hunter, 4 in"]


def make_class(
    *,
    title: str,
    on: date,
    to: date,
    seats: int,
    layup: str,
    names: Sequence[str],
    spares: int,
    note: str = "",
) -> ForgeClass:
    """A class with its students and spares."""
    row = ForgeClass.objects.create(
        title=title,
        starts_on=on,
        ends_on=to,
        place="the long shed",
        seat_count=seats,
        layup=Layup.objects.get(name=layup),
        spares=spares,
        note=note,
    )
    for number in range(1, seats + spares + 1):
        name = names[number - 1] if number <= len(names) else ""
        Seat.objects.create(
            forge_class=row,
            number=number,
            student=name,
            is_spare=number > seats,
            email=f"{name.split()[0].lower()}@example.org" if name else "",
            knife=KNIVES[number % len(KNIVES)] if name else "",
        )
    return row


def solvers() -> Solvers:
    """The real solvers, in this process."""

    def sawn(case: BarCase) -> BarPlan:
        return best.solve(case, limit_s=LIMIT_S)

    def sheared(case: SheetCase) -> SheetPlan:
        return sheets.solve(case, limit_s=LIMIT_S)

    return Solvers(bars=sawn, sheets=sheared)


def plan_and_confirm(forge_class: ForgeClass, *, house: House, by: Person) -> list[Billet]:
    """Compute and confirm, as the pages do."""
    run = PlanRun.objects.create(forge_class=forge_class, by=by)
    plan = planning.computed(forge_class=forge_class, house=house, solvers=solvers())
    planning.finish_run(run=run, plan=plan)
    return planning.confirm(run=run, by=by)


def cut_order(forge_class: ForgeClass) -> list[SetAside]:
    """The cut list in its order; a strip comes before what lies on it."""
    rows = SetAside.objects.filter(plan=forge_class.plan_key).select_related("piece")
    return sorted(rows, key=lambda row: (row.piece.place, row.piece_id, row.position, row.pk))


def first_class(*, house: House, by: Person, days: Days) -> ForgeClass:
    """Twelve seats and two spares, four months ago; one billet did not bond."""
    with clock.as_of(days.at(FIRST_DAY - 14)):
        row = make_class(
            title="Copper line weekend, first group",
            on=days.on(FIRST_DAY),
            to=days.on(FIRST_DAY + 1),
            seats=12,
            layup=layups.FIVE,
            names=FIRST,
            spares=2,
        )
        billets = plan_and_confirm(row, house=house, by=by)
    cut_all(row, at=days.at(FIRST_DAY - 8), by=by)
    for number, billet in enumerate(billets):
        failed = FIRST_FAILURES.get(number)
        work(billet, number=number, failed=failed, first=FIRST_DAY, house=house, by=by, days=days)
    return over(row)


def held_class(*, house: House, by: Person, helper: Person, days: Days) -> ForgeClass:
    """Six seats and two spares, five weeks ago; two billets failed."""
    with clock.as_of(days.at(HELD_DAY - 14)):
        row = make_class(
            title="Copper line weekend, second group",
            on=days.on(HELD_DAY),
            to=days.on(HELD_DAY + 1),
            seats=6,
            layup=layups.FIVE,
            names=HELD,
            spares=2,
        )
        billets = plan_and_confirm(row, house=house, by=by)
    cut_all(row, at=days.at(HELD_DAY - 8), by=by)
    people.at_billets(billets, owner=by, helper=helper, days=days)
    for number, billet in enumerate(billets):
        failed = FAILURES.get(number)
        work(billet, number=number, failed=failed, first=HELD_DAY, house=house, by=by, days=days)
    return over(row)


def cut_all(row: ForgeClass, *, at: datetime, by: Person) -> None:
    """Every cut of a class, ticked on one day."""
    with clock.as_of(at):
        for aside in cut_order(row):
            cut_list.tick_cut(set_aside=aside, by=by)


def over(row: ForgeClass) -> ForgeClass:
    """A class that was held."""
    row.state = ForgeClass.State.HELD
    row.save(update_fields=["state"])
    return row


def wobble(mark: str, what: str, *, spread: float) -> float:
    """A small deviation that is the same from run to run: 1 ± spread."""
    digest = hashlib.sha256(f"{mark} {what}".encode()).digest()
    return 1 + spread * (int.from_bytes(digest[:4], "big") / 2**31 - 1)


def work(
    billet: Billet,
    *,
    number: int,
    failed: tuple[str, str] | None,
    first: int,
    house: House,
    by: Person,
    days: Days,
) -> None:
    """One billet of a held class, from the saw to its end; the class began on day `first`."""
    for day, kind in ((first - 6, StepKind.CLEANED), (first - 5, StepKind.WELDED)):
        with clock.as_of(days.at(day, hour=10, minute=number)):
            step(billet, kind, house=house, by=by)
    heats = 2 if failed else 7
    with clock.as_of(days.at(first, hour=11, minute=number)):
        log_heats(billet, count=heats, house=house, by=by)
        if failed:
            history.record_step(
                billet=billet, kind=StepKind.FAILED, cause=failed[0], note=failed[1], by=by
            )
            return
        for kind in (StepKind.BONDED, StepKind.DRAWN):
            history.record_step(billet=billet, kind=kind, by=by)
    with clock.as_of(days.at(first + 1, hour=16, minute=number)):
        measure(billet, heats=heats, house=house, by=by)
        history.record_step(billet=billet, kind=StepKind.FINISHED, by=by)


def step(billet: Billet, kind: str, *, house: House, by: Person) -> None:
    """One stage; welding takes its wire off the spool."""
    if kind != StepKind.WELDED:
        history.record_step(billet=billet, kind=kind, by=by)
        return
    wire_ug = seam.wire_ug(billet.design(), house=house, alloys=alloy_book())
    history.record_step(billet=billet, kind=kind, by=by, spool=metal.spool(), wire_ug=wire_ug)


def log_heats(billet: Billet, *, count: int, house: House, by: Person) -> None:
    """Heats as somebody would write them down, each back in the fire before its corner is cold."""
    lines = forecast(case_of(billet.design(), alloys=alloy_book(), house=house)).lines
    for number in range(count):
        hot = round(968_000 * wobble(billet.mark, f"heat {number}", spread=0.012))
        usable_s = lines[min(number, len(lines) - 1)].seconds
        seconds = round(0.7 * usable_s * wobble(billet.mark, f"seconds {number}", spread=0.15))
        history.log_heat(
            billet=billet,
            by=by,
            work=Work.SET if number < 2 else Work.DRAW,
            temperature_mdegc=hot,
            seconds=seconds,
        )


def measure(billet: Billet, *, heats: int, house: House, by: Person) -> None:
    """A size near the forecast, off by what hands and scales are off by."""
    case = case_of(billet.design(), alloys=alloy_book(), house=house)
    size = drawn_size(case).finish
    thickness = size.thickness_mm * wobble(billet.mark, "t", spread=0.02)
    width = size.width_mm * wobble(billet.mark, "w", spread=0.015)
    volume = size.volume_mm3 * wobble(billet.mark, "v", spread=0.015)
    length = volume / (thickness * width)
    history.record_size(
        billet=billet,
        by=by,
        heats=heats,
        thickness_nm=read_off(thickness, step_nm=TAPE_THICKNESS_NM),
        width_nm=read_off(width, step_nm=TAPE_WIDTH_NM),
        length_nm=read_off(length, step_nm=TAPE_LENGTH_NM),
    )


def read_off(size_mm: float, *, step_nm: int) -> int:
    """A size as it is read off a caliper or a tape."""
    return round(size_mm * 1_000_000 / step_nm) * step_nm


def coming_class(*, house: House, by: Person, days: Days) -> ForgeClass:
    """Ten seats and two spares in under three weeks; planned, half of it cut."""
    with clock.as_of(days.at(-6)):
        row = make_class(
            title="Copper line weekend",
            on=days.on(18),
            to=days.on(19),
            seats=10,
            layup=layups.FIVE,
            names=COMING,
            spares=2,
            note="Bring leather shoes and a cotton shirt. Doors at 8:30.",
        )
        plan_and_confirm(row, house=house, by=by)
    with clock.as_of(days.at(-2)):
        rows = cut_order(row)
        for aside in rows[: len(rows) // 2]:
            cut_list.tick_cut(set_aside=aside, by=by)
    return row


def wanting_class(*, days: Days) -> ForgeClass:
    """Eight seats of a stack that the rack cannot give."""
    with clock.as_of(days.at(-1)):
        return make_class(
            title="Two lines a side, advanced",
            on=days.on(46),
            to=days.on(48),
            seats=8,
            layup=layups.NINE,
            names=WANTING,
            spares=1,
        )
