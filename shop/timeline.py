"""Back from the day of the class: when to begin preparing, and by when to order what is short.

Rules, all ours: work is laid as late as it can be; a parcel counts as there on the next day
the shop is open; metal that arrives on a day can be worked from the day after. Events and the
drawing made from this are in timetable.py.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from shop.opening import ONE_DAY, Opening, OpeningError, days_from, delivered_on

LONGEST_DAY_MINUTES = 840  # 14 h: beyond that a longer day is no advice


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


@dataclass(frozen=True)
class Remedy:
    """One thing that alone would make the class possible."""

    kind: str  # "faster" | "fewer" | "longer-days" | "more-days" | "later-class"
    sentence: str


@dataclass(frozen=True)
class Timeline:
    """The whole plan; `words` begins with whether there is time."""

    preparation: Preparation
    today: date
    work_days: tuple[WorkDay, ...]
    orders: tuple[OrderBy, ...]
    start_float_days: int
    words: str
    remedies: tuple[Remedy, ...] = field(default=())

    @property
    def starts_on(self) -> date:
        """First day of work; the day after the last one when there is nothing to do."""
        return self.work_days[0].day if self.work_days else self.preparation.last_day + ONE_DAY

    @property
    def is_possible(self) -> bool:
        """Whether all of it can still be done in time."""
        return self.start_float_days >= 0 and not any(order.is_late for order in self.orders)


def timeline(
    preparation: Preparation, *, opening: Opening, today: date, deliveries: Sequence[Delivery] = ()
) -> Timeline:
    """Work back from the class to the days of preparing and of ordering.

    Args:
        preparation: the class day and the work before it.
        opening: minutes of work by weekday and closed dates.
        today: the day it is; work can be done from today on.
        deliveries: materials that are short.

    Returns:
        Work days in order, the last order day of each material with its float [days], and,
        when it is too late, what would make it possible.

    Raises:
        OpeningError: no open days far enough back, or a supplier's days cannot be.

    Source:
        Backward scheduling; the rules at the head of this module.
    """
    work_days = _laid_back(preparation, opening)
    starts_on = work_days[0].day if work_days else preparation.last_day + ONE_DAY
    orders = tuple(_order_by(delivery, starts_on, opening, today) for delivery in deliveries)
    start_float = (starts_on - today).days
    found = Timeline(
        preparation=preparation,
        today=today,
        work_days=work_days,
        orders=orders,
        start_float_days=start_float,
        words=_words(orders, starts_on, start_float, preparation.class_day),
    )
    if found.is_possible:
        return found
    # imported here, since remedies are worked out from a finished timeline
    from shop.remedies import remedies

    return Timeline(
        preparation=preparation,
        today=today,
        work_days=work_days,
        orders=orders,
        start_float_days=start_float,
        words=found.words,
        remedies=remedies(found, opening=opening),
    )
