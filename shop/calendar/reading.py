"""Reads what preparing a class takes, and by when its metal has to be here for that."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from billets.models import StepKind
from shop.calendar.backward import Preparation, schedule
from shop.calendar.opening import FARTHEST_DAYS, Opening, OpeningError
from shop.models import ClassTerms, ForgeClass, Seat, ShopSettings
from shop.rates.writing import History
from stock.quantities.named_values import Json

KEY = "opening"
USUAL_MINUTES = (240, 240, 240, 240, 240, 0, 0)


@dataclass(frozen=True)
class Hours:
    """Opening, the days kept free before a class, and whether the shop has set them itself."""

    opening: Opening
    clear_days: int = 1
    is_own: bool = False


def hours() -> Hours:
    """The shop's hours as they stand."""
    row = ShopSettings.objects.first()
    stored: Json = row.values.get(KEY, {}) if row else {}
    closed = frozenset(date.fromisoformat(day) for day in stored.get("closed", []))
    return Hours(
        opening=Opening(tuple(stored.get("minutes", USUAL_MINUTES)), closed),
        clear_days=stored.get("clear_days", 1),
        is_own=bool(stored),
    )


BEFORE_WELDING = (StepKind.PLANNED, StepKind.CUT, StepKind.CLEANED)
USUAL_BILLET_MINUTES = 45  # until the shop says: cut, clean, weld shut; our own guess
MINUTE_S = 60


def preparation_of(
    row: ForgeClass,
    seats: Sequence[Seat],
    *,
    hours: Hours,
    history: History,
    today: date,
    terms: ClassTerms | None = None,
) -> Preparation:
    """The work before a class: billets that are not welded shut yet, and setting up."""
    minutes, _ = billet_minutes(history, today=today)
    return Preparation(
        class_day=row.starts_on,
        billets=len(unwelded(seats)),
        minutes_per_billet=minutes,
        setting_up_minutes=(terms or ClassTerms.objects.of(row)).prepare_minutes,
        clear_days=hours.clear_days,
    )


def billet_minutes(history: History, *, today: date) -> tuple[int, bool]:
    """Minutes to prepare one billet by the shop's rates, or a guess."""
    shop = history.on_or_none(today)
    seconds = shop.usual.before_class_s if shop else 0
    return (-(-seconds // MINUTE_S), False) if seconds else (USUAL_BILLET_MINUTES, True)


def unwelded(seats: Iterable[Seat]) -> list[Seat]:
    """Seats whose billet is not welded shut yet; they are read `with_metal`."""
    return [seat for seat in seats if seat.billet is None or seat.stage in BEFORE_WELDING]


def metal_by(preparation: Preparation, *, opening: Opening, today: date) -> date:
    """The last open day before the work begins: a parcel that comes then is in time."""
    try:
        begins = schedule(preparation, opening=opening, today=today).starts_on
    except OpeningError:  # more work than the hours hold: the soonest day that is of any use
        begins = today
    for back in range(1, FARTHEST_DAYS):
        day = begins - timedelta(days=back)
        if opening.is_open(day):
            return day
    return begins - timedelta(days=1)
