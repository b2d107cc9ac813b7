"""The heat treatment of a blade as it was really done, step by step. The only writer of it.

The steel's own card is where a step begins (`shop.knife_recipe`); what is kept is what was
typed. A wrong line is struck and stays in the database.

TreatmentRefused   the sentence says why nothing was written
"""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction

from billets.case import case_of
from billets.panel import core_card
from billets.treatment import Card, treatment_card
from shop.knife_recipe import LEAST_HRC, MOST_HRC, held_text, hrc_text, over_ceiling
from shop.models import Knife, KnifeTreatment, TreatmentStep
from stock import clock
from stock.house import House
from stock.models import CUT_FORMS, Entry, Piece, alloy_book
from stock.who import Person

MOST_TIMES = 20
LONGEST_S = 100 * 3600  # as `stock.units.seconds`
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
    *, knife: Knife, step: str, times: int = 1, temperature_mdegc: int | None = None,
    seconds: int | None = None, medium: str = "", hrc_tenths: int | None = None, note: str = "",
    by: Person,
) -> KnifeTreatment:  # fmt: skip
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
        knife=knife, step=step, times=times, temperature_mdegc=temperature_mdegc,
        seconds=seconds, medium=medium, hrc_tenths=hrc_tenths, note=note, by=by, at=clock.now(),
    )  # fmt: skip


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
