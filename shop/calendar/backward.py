"""Back from the day of the class: when to begin preparing, and by when to order what is short.

Rules, all ours: work is laid as late as it can be; a parcel counts as there on the next day
the shop is open; metal that arrives on a day can be worked from the day after. What to do when
it is too late is in remedies.py.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from shop.calendar.opening import (
    FARTHEST_DAYS,
    ONE_DAY,
    Opening,
    OpeningError,
    days_words,
    delivered_on,
)


@dataclass(frozen=True)
class Preparation:
    """What must be done before the class; `clear_days` stay free right before it."""

    class_day: date
    billets: int
    minutes_per_billet: int
    setting_up_minutes: int = 0
    clear_days: int = 0

    def __post_init__(self) -> None:
        for name in ("billets", "minutes_per_billet", "setting_up_minutes", "clear_days"):
            if getattr(self, name) < 0:
                words = name.replace("_", " ")
                raise OpeningError(
                    f"The {words} were given as {getattr(self, name)}; give 0 or more.",
                    given=getattr(self, name),
                )

    @property
    def minutes(self) -> int:
        """All the work [min]."""
        return self.billets * self.minutes_per_billet + self.setting_up_minutes

    @property
    def last_day(self) -> date:
        """Last day that can be worked."""
        return self.class_day - timedelta(days=1 + self.clear_days)


@dataclass(frozen=True)
class Delivery:
    """A material that is short: who delivers it, in how many days, and how these are counted.

    `due_on` is set when it is on order already and due on that day.
    """

    material: str
    supplier: str
    days: int
    counts: str = "calendar"  # "calendar" | "working"
    due_on: date | None = None
    holidays: frozenset[date] = frozenset()
    key: str = ""  # names it where its words may change

    @property
    def days_words(self) -> str:
        """How long it takes, as the supplier says; nothing of what is on order."""
        return "" if self.due_on else days_words(self.days, counts=self.counts)

    @property
    def name(self) -> str:
        """What a calendar knows it by."""
        return self.key or self.material

    def arrives(self, ordered_on: date, *, opening: Opening) -> date:
        """The day it is in the shop when ordered on a day."""
        if self.due_on is not None:
            return opening.first_open(self.due_on)
        delivered = delivered_on(
            ordered_on, days=self.days, counts=self.counts, holidays=self.holidays
        )
        return opening.first_open(delivered)


@dataclass(frozen=True)
class WorkDay:
    """Work laid on one day."""

    day: date
    minutes: int


@dataclass(frozen=True)
class OrderBy:
    """The last day to order one material, and the days left until then (below 0: too late)."""

    delivery: Delivery
    last_order_day: date | None  # None when it is on order already
    arrives_on: date  # when ordered on that last day, or when it is due
    float_days: int

    @property
    def is_late(self) -> bool:
        """Whether it can no longer be there in time."""
        return self.float_days < 0

    @property
    def float_words(self) -> str:
        """Days left, or by how many it is too late."""
        days = abs(self.float_days)
        counted = "1 day" if days == 1 else f"{days} days"
        return f"{counted} too late" if self.is_late else counted


@dataclass(frozen=True)
class Schedule:
    """Work laid as late as it can be, and the orders it rests on."""

    preparation: Preparation
    today: date
    work_days: tuple[WorkDay, ...]
    orders: tuple[OrderBy, ...]

    @property
    def starts_on(self) -> date:
        """First day of work; the day after the last one when there is nothing to do."""
        return self.work_days[0].day if self.work_days else self.preparation.last_day + ONE_DAY

    @property
    def start_float_days(self) -> int:
        """Days until work must begin; below 0 it is too late."""
        return (self.starts_on - self.today).days

    @property
    def is_possible(self) -> bool:
        """Whether all of it can still be done in time."""
        return self.start_float_days >= 0 and not any(order.is_late for order in self.orders)


def schedule(
    preparation: Preparation, *, opening: Opening, today: date, deliveries: Sequence[Delivery] = ()
) -> Schedule:
    """Work back from the class to the days of preparing and of ordering.

    Args:
        preparation: the class day and the work before it.
        opening: minutes of work by weekday and closed dates.
        today: the day it is; its own minutes still count.
        deliveries: materials that are short.

    Returns:
        Work days in order, and the last order day of each material in the order given, with
        its float [days].

    Raises:
        OpeningError: too little is open for ten years back, or a supplier's days cannot be.
    """
    work_days = _laid_back(preparation, opening)
    starts_on = work_days[0].day if work_days else preparation.last_day + ONE_DAY
    return Schedule(
        preparation=preparation,
        today=today,
        work_days=work_days,
        orders=tuple(_order_by(one, starts_on, opening, today) for one in deliveries),
    )


def _laid_back(preparation: Preparation, opening: Opening) -> tuple[WorkDay, ...]:
    left = preparation.minutes
    laid: list[WorkDay] = []
    for back in range(FARTHEST_DAYS):
        if left <= 0:
            return tuple(reversed(laid))
        day = preparation.last_day - timedelta(days=back)
        if minutes := min(left, opening.minutes_on(day)):
            laid.append(WorkDay(day, minutes))
            left -= minutes
    raise OpeningError(
        f"{preparation.minutes} minutes of work do not fit in the ten years before the class; "
        "give fewer billets, fewer minutes or longer hours.",
        given=preparation.minutes,
    )


def _order_by(delivery: Delivery, starts_on: date, opening: Opening, today: date) -> OrderBy:
    if delivery.due_on is not None:
        arrives_on = delivery.arrives(today, opening=opening)
        return OrderBy(delivery, None, arrives_on, (starts_on - arrives_on).days - 1)
    for back in range(1, FARTHEST_DAYS):
        day = starts_on - timedelta(days=back)
        arrives_on = delivery.arrives(day, opening=opening)
        if arrives_on < starts_on:
            return OrderBy(delivery, day, arrives_on, (day - today).days)
    raise OpeningError(
        f"{delivery.material} takes {delivery.days} days; no order within ten years arrives in "
        "time. Give the supplier's real days.",
        given=delivery.days,
    )
