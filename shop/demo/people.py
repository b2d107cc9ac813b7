"""The demo shop's hours at the billets of its held class: welding took longer than planned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from billets.hours import writing as hours
from billets.models import Billet, WorkStep
from stock import clock
from stock.who import Person


@dataclass(frozen=True)
class Days:
    """Dates and times before (-) and after the demo's first day."""

    first: date

    def on(self, days: int) -> date:
        """A date."""
        return self.first + timedelta(days=days)

    def at(self, days: int, *, hour: int = 9, minute: int = 0) -> datetime:
        """A time on that date."""
        return datetime.combine(self.on(days), time(hour, minute), tzinfo=UTC)


RE_WELDED = (3, 5)  # which billets had a corner ground out and welded again


def at_billets(billets: Sequence[Billet], *, owner: Person, helper: Person, days: Days) -> None:
    """Cut and welded by the smith, cleaned by the helper; a spare finished by hand."""
    again = [billets[number] for number in RE_WELDED]
    ran(billets, step=WorkStep.CUT, person=owner, at=days.at(-44, hour=7, minute=40), minutes=72)
    ran(billets, step=WorkStep.CLEAN, person=helper, at=days.at(-42, hour=8), minutes=104)
    ran(billets, step=WorkStep.WELD, person=owner, at=days.at(-41, hour=7), minutes=131)
    ran(again, step=WorkStep.WELD, person=owner, at=days.at(-41, hour=9, minute=12), minutes=46)
    with clock.as_of(days.at(-35, hour=17)):
        hours.add_minutes(billets=billets[-1:], step=WorkStep.FINISH, minutes=25, person=helper)


def ran(
    billets: Sequence[Billet], *, step: str, person: Person, at: datetime, minutes: int
) -> None:
    """One run of the clock."""
    with clock.as_of(at):
        hours.start_clock(billets=billets, step=step, person=person)
    with clock.as_of(at + timedelta(minutes=minutes)):
        hours.stop_clock(person=person)
