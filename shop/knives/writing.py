"""Knives: begun, worked at, parts used, sold. The only writer of knives and of their hours.

Metal and parts go through `stock.ledger.by_hand` with the job "knife:N". A person has one clock
over knives and billets (`shop.knives.clock`): starting it at one step stops it at another. A wrong
line is struck and stays in the database.

KnifeRefused   the sentence says why nothing was written
├── TooLong    more of a billet was asked for than is left
└── IsSold     what a sold knife carries of its billet stands still
"""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone

from billets.heat.treatment import Card, core_card, treatment_card
from billets.hours import writing as hours
from billets.layup.case import case_of
from billets.models import Billet
from shop.knives import share
from shop.knives.cost import share_now
from shop.knives.recipe import LEAST_HRC, MOST_HRC, held_text, hrc_text, over_ceiling
from shop.models import Knife, KnifeService, KnifeStep, KnifeTime, KnifeTreatment, TreatmentStep
from stock import clock
from stock.house import House
from stock.ledger import by_hand
from stock.models import CUT_FORMS, Entry, Piece, alloy_book
from stock.quantities.areas import amount_text
from stock.quantities.named_values import FieldValues
from stock.who import Person


def freeze_sold(billet: Billet | None) -> None:
    """Before the shares of a billet change, keep what its sold knives carry.

    Those that were sold before shares were kept get theirs here.
    """
    rows = Knife.objects.sold().filter(billet=billet).exclude(billet=None)
    for knife in rows.filter(sold_share_cents=None).order_by("pk"):
        freeze(knife)


def freeze(knife: Knife) -> None:
    """Keep what a knife carries of its billet, and the length that it rests on."""
    share = share_now(knife)
    if share is not None:
        knife.sold_share_cents, knife.sold_share_nm = share.cents, share.length_nm
        knife.save(update_fields=["sold_share_cents", "sold_share_nm"])


MOST_TIMES = 20
LONGEST_S = 100 * 3600  # as `stock.quantities.units.seconds`
COLDEST_MDEGC, HOTTEST_MDEGC = -200_000, 1_350_000  # liquid nitrogen; hotter, steel melts


class TreatmentRefused(ValueError):
    """Nothing was written down."""


@dataclass(frozen=True)
class TreatmentLine:
    """One step as pages and the card show it."""

    row: KnifeTreatment

    @property
    def name(self) -> str:
        """The step, with how often: "Temper, 2 ×"."""
        name = str(TreatmentStep(self.row.step).label).capitalize()
        return name if self.row.times == 1 else f"{name}, {self.row.times}\u00a0×"

    @property
    def held(self) -> str:
        """How long, each time."""
        return held_text(self.row.seconds)

    @property
    def hardness(self) -> str:
        """What was measured after it."""
        return hrc_text(self.row.hrc_tenths)


@transaction.atomic
def write_step(
    *,
    knife: Knife,
    step: str,
    times: int = 1,
    temperature_mdegc: int | None = None,
    seconds: int | None = None,
    medium: str = "",
    hrc_tenths: int | None = None,
    note: str = "",
    by: Person,
) -> KnifeTreatment:
    """Write down one step as it was done.

    Raises:
        TreatmentRefused: there is no such step, it says nothing, or a figure cannot be.
    """
    if step not in TreatmentStep.values:
        raise TreatmentRefused("Choose a step from the list.")
    if not 1 <= times <= MOST_TIMES:
        raise TreatmentRefused(f"{times} times were given; write from 1 to {MOST_TIMES}.")
    if temperature_mdegc is None and seconds is None and not medium and hrc_tenths is None:
        raise TreatmentRefused(
            "Write at least one of temperature, time, what it was cooled in, or hardness."
        )
    if temperature_mdegc is not None and not COLDEST_MDEGC <= temperature_mdegc <= HOTTEST_MDEGC:
        raise TreatmentRefused("A blade is treated between -200 and 1350 °C; check the scale.")
    if seconds is not None and not 0 < seconds <= LONGEST_S:
        raise TreatmentRefused("The time must be above 0 and at most 100 h.")
    if hrc_tenths is not None and not LEAST_HRC * 10 <= hrc_tenths <= MOST_HRC * 10:
        raise TreatmentRefused(f"Rockwell C runs from {LEAST_HRC} to {MOST_HRC} for steel.")
    return KnifeTreatment.objects.create(
        knife=knife,
        step=step,
        times=times,
        temperature_mdegc=temperature_mdegc,
        seconds=seconds,
        medium=medium,
        hrc_tenths=hrc_tenths,
        note=note,
        by=by,
        at=clock.now(),
    )


@transaction.atomic
def strike_step(*, row: KnifeTreatment) -> None:
    """Strike a wrong line; it stays in the database."""
    KnifeTreatment.objects.filter(pk=row.pk, struck_at=None).update(struck_at=clock.now())


def lines_of(knife: Knife) -> list[TreatmentLine]:
    """The steps that stand, in the order they were written down."""
    rows = knife.treatments.filter(struck_at=None).select_related("by")
    return [TreatmentLine(row) for row in rows]


def blade_pieces(knife: Knife) -> list[Piece]:
    """Bought bars that a knife's blade was cut from, without those that were put back."""
    undone = Entry.objects.filter(job=knife.job).exclude(corrects=None).values("corrects")
    cuts = Entry.objects.filter(
        job=knife.job, kind=Entry.Kind.BLANK, corrects=None, piece__material__form__in=CUT_FORMS
    )
    pieces = Piece.objects.filter(pk__in=cuts.exclude(pk__in=undone).values("piece"))
    return list(pieces.select_related("material"))


def card_of(knife: Knife, *, house: House) -> Card | None:
    """The card of the steel that makes the edge: the billet's core, or the bar that was cut."""
    book = alloy_book()
    if knife.billet is not None:
        return core_card(case_of(knife.billet.design(), alloys=book, house=house))
    for piece in blade_pieces(knife):
        if piece.material.alloy in book:
            return treatment_card(book[piece.material.alloy], ceiling_c=None)
    return None


def warning_of(knife: Knife, lines: list[TreatmentLine], *, house: House) -> str:
    """What to look for where the blade was hotter than its stack stands."""
    heats = [line.row.temperature_mdegc for line in lines]
    return over_ceiling(heats, card=card_of(knife, house=house), system=house.system)


REDDISH = ("copper", "bronze", "brass")
CARE = (
    "Wash by hand and dry at once. Oil the blade when it is put away. Copper and steel both turn "
    "darker with use; that is no fault."
)
STEEL_CARE = (
    "Wash by hand and dry at once. Oil the blade when it is put away. Steel turns darker with use; "
    "that is no fault."
)


def usual_care(billet: Billet | None) -> str:
    """Care notes that nobody has changed: they speak of copper where the blade has some."""
    book = alloy_book()
    layers = billet.design().layers if billet else ()
    is_copper = any(one.alloy in book and book[one.alloy].family in REDDISH for one in layers)
    return CARE if is_copper else STEEL_CARE


FIELDS = ("pattern", "billet", "length_nm", "handle", "heat_treatment", "care", "note", "margin_bp")


class KnifeRefused(ValueError):
    """The knife stays as it is."""


class TooLong(KnifeRefused):
    """More of a billet was asked for than is left of it: `given_nm`, `left_nm`."""

    def __init__(self, billet: Billet, *, given_nm: int, left_nm: int) -> None:
        self.billet, self.given_nm, self.left_nm = billet, given_nm, left_nm
        super().__init__(self.sentence("both"))

    def sentence(self, system: str) -> str:
        """What is left, in the shop's unit."""
        given, left = (
            amount_text(one, form="flat", system=system) for one in (self.given_nm, self.left_nm)
        )
        return (
            f"{given} was given, and {left} of billet {self.billet} is left by its last "
            "measurement and its other knives. Write less, or measure it again."
        )


class IsSold(KnifeRefused):
    """A sold knife keeps its share of its billet."""

    def __init__(self, knife: Knife) -> None:
        self.knife = knife
        super().__init__(
            f"{knife} is sold, and its share of its billet stands as on that day. Take the sale "
            "back first, then change the blade."
        )


@transaction.atomic
def make_knife(*, pattern: str, by: Person, **about: Any) -> Knife:
    """Begin a knife, of a billet or of bar to be cut for it.

    Raises:
        TooLong: more of a billet than is left.
    """
    if about.setdefault("care", CARE) == CARE:
        about["care"] = usual_care(about.get("billet"))
    freeze_sold(about.get("billet"))
    refuse_too_long(about.get("billet"), length_nm=about.get("length_nm", 0), but=None)
    return Knife.objects.create(pattern=pattern, by=by, made_at=clock.now(), **about)


@transaction.atomic
def change_knife(*, knife: Knife, changes: FieldValues) -> Knife:
    """Change what a knife is; what was booked to it stays.

    Raises:
        KnifeRefused: a name that is not changed here, more of a billet than is left, or another
            blade for a knife that is sold.
    """
    held = Knife.objects.select_for_update(of=("self",)).get(pk=knife.pk)
    before = (held.billet_id, held.length_nm)
    for name, value in changes.items():
        if name not in FIELDS:
            raise KnifeRefused(f"{name} of a knife is not changed here.")
        setattr(held, name, value)
    if (held.billet_id, held.length_nm) != before:
        if held.sold_on is not None:
            raise IsSold(held)
        for billet in Billet.objects.filter(pk__in=filter(None, (before[0], held.billet_id))):
            freeze_sold(billet)
        refuse_too_long(held.billet, length_nm=held.length_nm, but=held)
    held.save(update_fields=list(changes))
    return held


def refuse_too_long(billet: Billet | None, *, length_nm: int, but: Knife | None) -> None:
    """Let no blade take more of a measured billet than the others left.

    Raises:
        TooLong: there is less; the page says it in the shop's unit.
    """
    if billet is None or not length_nm:
        return
    list(Billet.objects.select_for_update().filter(pk=billet.pk))  # two at once wait
    left = share.free_nm(billet, but=but)
    if left is not None and length_nm > left:
        raise TooLong(billet, given_nm=length_nm, left_nm=left)


@transaction.atomic
def cut_blade(*, knife: Knife, piece: Piece, length_nm: int, kerf_nm: int, by: Person) -> uuid.UUID:
    """Cut a bought bar for a knife that is not made of a billet.

    Raises:
        KnifeRefused: it is made of a billet.
        LedgerError: the bar has less free than that.
    """
    if knife.billet_id:
        raise KnifeRefused(f"{knife} is made of a billet; it needs no bar.")
    return by_hand.cut_by_hand(
        piece=piece, length_nm=length_nm, kerf_nm=kerf_nm, job=knife.job, by=by, why="blade"
    )


@transaction.atomic
def use_parts(*, knife: Knife, piece: Piece, count: int, by: Person) -> uuid.UUID:
    """Take counted things for a knife off the rack: scales, pins, a sheath's leather."""
    return by_hand.use(piece=piece, amount=count, job=knife.job, by=by, why="for the knife")


@transaction.atomic
def put_back(*, knife: Knife, act: uuid.UUID, by: Person) -> uuid.UUID:
    """Put back what was taken or cut for a knife by mistake.

    Raises:
        KnifeRefused: the act was none of this knife's.
        LedgerError: something rests on it.
    """
    if not Entry.objects.filter(act=act, job=knife.job, corrects=None).exists():
        raise KnifeRefused(f"That was not booked to {knife}.")
    return by_hand.undo(act=act, by=by, why="not for this knife")


@transaction.atomic
def start_clock(*, knife: Knife, step: str, person: Person) -> KnifeTime:
    """Start a person's clock at a step; one that runs elsewhere is stopped first.

    Raises:
        KnifeRefused: the knife is sold, there is no such step, or a clock was left on elsewhere.
    """
    if step not in KnifeStep.values:
        raise KnifeRefused("Choose a step from the list.")
    if knife.sold_on is not None:
        raise KnifeRefused(f"{knife} is sold; no more hours go into it.")
    if knife.lost_on is not None:
        raise KnifeRefused(f"{knife} came to nothing; no more hours go into it.")
    hours.hold(person)
    try:
        make_room(person=person)
        hours.make_room(person=person)
    except hours.HoursRefused as error:
        raise KnifeRefused(str(error)) from error
    return KnifeTime.objects.create(knife=knife, step=step, person=person, started_at=clock.now())


@transaction.atomic
def make_room(*, person: Person) -> None:
    """Stop a person's clock so that another may start.

    Raises:
        ClockForgotten: it was left on, so nobody knows how long it should be.
    """
    rows = KnifeTime.objects.filter(person=person, stopped_at=None).select_related("knife")
    for time in rows:
        hours.refuse_forgotten(time.started_at, where=f"{time.knife}, {time.get_step_display()},")
        stop_clock(person=person)


@transaction.atomic
def stop_clock(*, person: Person, minutes: int | None = None) -> KnifeTime | None:
    """Stop a person's clock at a knife; nothing when none runs.

    Args:
        person: whose clock.
        minutes: how long it really was, where it was left on.

    Raises:
        KnifeRefused: more minutes than the clock ran, or more than a day.
    """
    running = KnifeTime.objects.select_for_update().filter(person=person, stopped_at=None).first()
    if running is not None:
        try:
            running.stopped_at = hours.stopped_at(running.started_at, minutes=minutes)
        except hours.HoursRefused as error:
            raise KnifeRefused(str(error)) from error
        running.save(update_fields=["stopped_at"])
    return running


@transaction.atomic
def add_minutes(
    *, knife: Knife, step: str, minutes: int, person: Person, day: date | None = None
) -> KnifeTime:
    """Write down time that no clock ran for; it ends now, or belongs to an earlier day.

    Raises:
        KnifeRefused: it is nothing, more than a day, or of a day that cannot be.
    """
    if step not in KnifeStep.values:
        raise KnifeRefused("Choose a step from the list.")
    try:
        hours.refuse_minutes(minutes)
        first = timezone.localdate(knife.made_at)
        ended = hours.end_on(day, minutes=minutes, first=first, begun=f"{knife} was begun")
    except hours.HoursRefused as error:
        raise KnifeRefused(str(error)) from error
    return KnifeTime.objects.create(
        knife=knife,
        step=step,
        person=person,
        started_at=ended - timedelta(minutes=minutes),
        stopped_at=ended,
    )


@transaction.atomic
def strike_time(*, time: KnifeTime, by: Person) -> None:
    """Strike a wrong line of hours; a running clock stops with it."""
    held = KnifeTime.objects.select_for_update(of=("self",)).get(pk=time.pk)
    if held.struck_at is None:
        held.struck_at, held.struck_by = clock.now(), by
        held.stopped_at = held.stopped_at or held.struck_at
        held.save(update_fields=["struck_at", "struck_by", "stopped_at"])


@transaction.atomic
def add_service(*, knife: Knife, name: str, cents: int, by: Person) -> KnifeService:
    """Write down work that somebody outside was paid for."""
    return KnifeService.objects.create(knife=knife, name=name, cents=cents, by=by, at=clock.now())


@transaction.atomic
def strike_service(*, service: KnifeService) -> None:
    """Strike a wrong line of outside work."""
    KnifeService.objects.filter(pk=service.pk, struck_at=None).update(struck_at=clock.now())


@transaction.atomic
def sell(*, knife: Knife, sold_to: str, sold_on: date, price_cents: int) -> Knife:
    """Write down who has the knife now, since when and for how much; clocks at it stop.

    From then on its share of its billet stands still, whoever joins the billet later. Putting a
    sale right keeps that share.

    Raises:
        KnifeRefused: nothing came of it.
    """
    held = Knife.objects.select_for_update(of=("self",)).get(pk=knife.pk)
    if held.lost_on is not None:
        raise KnifeRefused(f"{held} came to nothing; put it back in work before it is sold.")
    held.sold_to, held.sold_on, held.price_cents = sold_to, sold_on, price_cents
    held.save(update_fields=["sold_to", "sold_on", "price_cents"])
    held.times.filter(stopped_at=None).update(stopped_at=clock.now())
    freeze_sold(held.billet)
    return Knife.objects.get(pk=held.pk)


@transaction.atomic
def take_sale_back(*, knife: Knife) -> None:
    """The sale did not happen; its share of its billet is reckoned anew."""
    freeze_sold(knife.billet)
    Knife.objects.filter(pk=knife.pk).update(
        sold_to="", sold_on=None, price_cents=None, sold_share_cents=None, sold_share_nm=0
    )


@transaction.atomic
def lose(*, knife: Knife, why: str) -> Knife:
    """Nothing came of a knife: it cracked, or was begun by mistake; clocks at it stop.

    What went into it stays booked to it, and it keeps its share of its billet.

    Raises:
        KnifeRefused: it is sold.
    """
    held = Knife.objects.select_for_update(of=("self",)).get(pk=knife.pk)
    if held.sold_on is not None:
        raise KnifeRefused(f"{held} is sold to {held.sold_to}; take the sale back first.")
    held.lost_on, held.lost_why = clock.today(), why
    held.save(update_fields=["lost_on", "lost_why"])
    held.times.filter(stopped_at=None).update(stopped_at=clock.now())
    return held


@transaction.atomic
def unlose(*, knife: Knife) -> None:
    """The knife is in work after all."""
    Knife.objects.filter(pk=knife.pk).update(lost_on=None, lost_why="")
