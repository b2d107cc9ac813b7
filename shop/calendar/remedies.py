"""Too late for the class: what would make it possible, each on its own.

Every remedy is checked by laying the work again before it is offered. It leaves out money and
what the students would say.
"""

from dataclasses import dataclass, replace
from datetime import date, timedelta

from shop.calendar.backward import Delivery, Preparation, Schedule, schedule
from shop.calendar.opening import ONE_DAY, Opening, days_between, days_from
from shop.words.days import day_text

LONGEST_DAY_MINUTES = 840  # 14 h: beyond that a longer day is no advice
MINUTES_IN_AN_HOUR = 60


@dataclass(frozen=True)
class Remedy:
    """One thing that alone would make the class possible; `figure` is its number, `day` its day."""

    kind: str  # "faster" | "fewer" | "longer-days" | "more-days" | "later-class"
    sentence: str
    figure: int | None = None
    day: date | None = None


def remedies(late: Schedule, *, opening: Opening) -> tuple[Remedy, ...]:
    """What would make a class possible for which it is too late.

    Args:
        late: the schedule as it stands.
        opening: the hours it was laid with.

    Returns:
        Remedies, each enough on its own, the class on a later day last; none when nothing is
        late.
    """
    if late.is_possible:
        return ()
    first = _first_working_day(late, opening)
    found = (
        _faster(late),
        _fewer(late, opening, first),
        _longer_days(late, opening, first),
        _more_days(late, opening, first),
        _later(late, opening),
    )
    return tuple(remedy for remedy in found if remedy is not None)


def earliest_class_day(late: Schedule, *, opening: Opening) -> date:
    """The first day the class could be held, everything else as it is.

    Args:
        late: the schedule as it stands.
        opening: the hours it was laid with.

    Returns:
        A day; ordering is taken to happen today.

    Raises:
        OpeningError: too little is open in the next ten years.
    """
    first = _first_working_day(late, opening)
    left = late.preparation.minutes
    last = first - ONE_DAY
    for day in days_from(first):
        if left <= 0:
            break
        left -= opening.minutes_on(day)
        last = day
    return last + timedelta(days=1 + late.preparation.clear_days)


def _first_working_day(late: Schedule, opening: Opening) -> date:
    arrivals = [
        order.delivery.arrives(late.today, opening=opening) + ONE_DAY for order in late.orders
    ]
    return max([late.today, *arrivals])


def _is_possible(late: Schedule, opening: Opening, preparation: Preparation) -> bool:
    deliveries: list[Delivery] = [order.delivery for order in late.orders]
    again = schedule(preparation, opening=opening, today=late.today, deliveries=deliveries)
    return again.is_possible


def _faster(late: Schedule) -> Remedy | None:
    days = late.start_float_days - 1
    slow = [order.delivery.material for order in late.orders if order.is_late]
    if not slow or days < 0:
        return None
    within = "today" if days == 0 else f"within {_counted(days, 'day')}"
    return Remedy(
        "faster",
        f"Find a source that delivers {_listed(slow)} {within}, by "
        f"{day_text(late.starts_on - ONE_DAY)}.",
        figure=days,
        day=late.starts_on - ONE_DAY,
    )


def _fewer(late: Schedule, opening: Opening, first: date) -> Remedy | None:
    preparation = late.preparation
    minutes = opening.minutes_between(first, last=preparation.last_day)
    if preparation.minutes_per_billet == 0:
        return None
    billets = (minutes - preparation.setting_up_minutes) // preparation.minutes_per_billet
    if billets < 1 or not _is_possible(late, opening, replace(preparation, billets=billets)):
        return None
    return Remedy(
        "fewer",
        f"Prepare {_counted(billets, 'billet')} instead of {preparation.billets}.",
        figure=billets,
    )


def _longer_days(late: Schedule, opening: Opening, first: date) -> Remedy | None:
    last = late.preparation.last_day
    days = opening.open_days_between(first, last=last)
    if days == 0:
        return None
    minutes = -(-late.preparation.minutes // days)
    if minutes > LONGEST_DAY_MINUTES:
        return None
    longer = Opening(
        tuple(max(usual, minutes) if usual else 0 for usual in opening.minutes), opening.closed
    )
    if not _is_possible(late, longer, late.preparation):
        return None
    return Remedy(
        "longer-days",
        f"Work {_hours(minutes)} on each open day from {day_text(first)} to {day_text(last)}.",
        figure=minutes,
        day=first,
    )


def _more_days(late: Schedule, opening: Opening, first: date) -> Remedy | None:
    last = late.preparation.last_day
    missing = late.preparation.minutes - opening.minutes_between(first, last=last)
    usual = max(opening.minutes)
    shut = [day for day in days_between(first, last=last) if not opening.is_open(day)]
    needed = -(-missing // usual)
    if not 0 < needed <= len(shut):
        return None
    # the last closed days are opened, so that as much of the plan as can be stays
    return Remedy(
        "more-days",
        f"Open on {_counted(needed, 'day')} that {'is' if needed == 1 else 'are'} closed now, "
        f"for {_hours(usual)} each: {_listed([day_text(day) for day in shut[-needed:]])}.",
        figure=needed,
        day=shut[-needed],
    )


def _later(late: Schedule, opening: Opening) -> Remedy:
    day = earliest_class_day(late, opening=opening)
    return Remedy("later-class", f"Hold the class on {day_text(day)} or later.", day=day)


def _counted(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _hours(minutes: int) -> str:
    hours, rest = divmod(minutes, MINUTES_IN_AN_HOUR)
    parts = [f"{hours} h"] if hours else []
    return " ".join([*parts, f"{rest} min"] if rest else parts)
