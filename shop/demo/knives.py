"""The demo shop's knives: one of a class's billet, sold; one of bar, in work. All invented."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.db.models import QuerySet

from billets.models import Billet
from shop.demo import metal
from shop.demo.people import Days
from shop.knives import writing as knives
from shop.models import ForgeClass, Knife, KnifeStep
from shop.rates import writing as rates
from stock import clock
from stock.ledger import by_hand
from stock.models import Piece
from stock.quantities.named_values import FieldValues
from stock.who import Person

SOLD_HOURS = (
    (KnifeStep.SHAPE, -33, 40), (KnifeStep.GRIND, -32, 95), (KnifeStep.HARDEN, -31, 75),
    (KnifeStep.FINISH, -30, 110), (KnifeStep.HANDLE, -29, 130), (KnifeStep.SHEATH, -27, 80),
    (KnifeStep.SHARPEN, -27, 20),
)  # fmt: skip
TREATED: tuple[FieldValues, ...] = (
    {
        "step": "normalise",
        "times": 2,
        "temperature_mdegc": 855_000,
        "seconds": 300,
        "medium": "still air",
    },
    {
        "step": "harden",
        "temperature_mdegc": 800_000,
        "seconds": 480,
        "medium": "canola oil, warmed to 50 °C",
        "hrc_tenths": 645,
    },
    {
        "step": "temper",
        "times": 2,
        "temperature_mdegc": 205_000,
        "seconds": 7200,
        "hrc_tenths": 610,
    },
)


def make_knives(*, held: ForgeClass, owner: Person, helper: Person, days: Days) -> None:
    """Both knives."""
    sold_knife(spare_billet(held), by=owner, days=days)
    knife_in_work(owner=owner, helper=helper, days=days)


def spare_billet(held: ForgeClass) -> Billet:
    """A spare that came out sound; the shop makes a knife of it."""
    rows: QuerySet[Any] = Billet.objects.with_stage()
    found = rows.filter(seat__forge_class=held, seat__is_spare=True, reached="finished").first()
    assert isinstance(found, Billet), "the demo's own spares all failed"
    return found


def worked(knife: Knife, *, step: str, day: int, minutes: int, person: Person, days: Days) -> None:
    """One run of the clock."""
    began = days.at(day, hour=13)
    with clock.as_of(began):
        knives.start_clock(knife=knife, step=step, person=person)
    with clock.as_of(began + timedelta(minutes=minutes)):
        knives.stop_clock(person=person)


def box(name: str) -> Piece:
    """A box of counted things."""
    return Piece.objects.get(material=metal.counted(name))


def sold_knife(billet: Billet, *, by: Person, days: Days) -> None:
    """From billet to a customer in a week."""
    with clock.as_of(days.at(-33)):
        knife = knives.make_knife(
            pattern="bird and trout, 4 in",
            billet=billet,
            by=by,
            handle="walnut scales, brass pins",
            margin_bp=3000,
        )
    for step, day, minutes in SOLD_HOURS:
        worked(knife, step=step, day=day, minutes=minutes, person=by, days=days)
    with clock.as_of(days.at(-31, hour=16)):
        for about in TREATED:
            knives.write_step(knife=knife, by=by, **about)
    with clock.as_of(days.at(-29)):
        knives.use_parts(knife=knife, piece=box("handle scales, walnut, pair"), count=1, by=by)
        knives.use_parts(knife=knife, piece=box("brass pin 1/8 x 6 in"), count=2, by=by)
    with clock.as_of(days.at(-28)):
        knives.add_service(knife=knife, name="sheath leather, cut to size", cents=1400, by=by)
    price = rates.history().on(days.on(-20)).charges.without_tax_cents(63750)
    with clock.as_of(days.at(-20)):
        knives.sell(knife=knife, sold_to="Mirela Oakhurst", sold_on=days.on(-20), price_cents=price)


def knife_in_work(*, owner: Person, helper: Person, days: Days) -> None:
    """A plain one of 80CrV2, half done, by two people."""
    with clock.as_of(days.at(-4)):
        knife = knives.make_knife(
            pattern="paring, 3-1/2 in", by=owner, handle="walnut, one pin", margin_bp=3500
        )
        bar = Piece.objects.filter(material__alloy="80crv2").standing().order_by("on_hand")[0]
        knives.cut_blade(
            knife=knife, piece=bar, length_nm=190 * metal.MM, kerf_nm=1_100_000, by=owner
        )
    for step, day, minutes, person in (
        (KnifeStep.SHAPE, -4, 35, helper),
        (KnifeStep.GRIND, -3, 50, owner),
    ):
        worked(knife, step=step, day=day, minutes=minutes, person=person, days=days)
    with clock.as_of(days.at(-3, hour=17)):
        belts = box("belt 2 x 72 in, 60 grit")
        by_hand.use(piece=belts, amount=2, job=knife.job, by=owner, why="worn out")
