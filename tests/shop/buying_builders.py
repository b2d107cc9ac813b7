"""Dates, offers and solvers for the tests of shopping."""

from __future__ import annotations

from datetime import date
from typing import Any

from shop.buying import reading_facts
from shop.buying.case import Question, question
from shop.buying.facts import Asked
from shop.buying.shortages import Shortages, shortages
from shop.planning.laying_out import Solvers
from stock.cutting.bars import best
from stock.cutting.sheets import best as sheets
from stock.house import House
from stock.models import Material, Offer, Supplier

IN = 25_400_000
LB = 453_592_370
TODAY = date(2026, 6, 1)
JUNE_13 = date(2026, 6, 13)
JUNE_24 = date(2026, 6, 24)
JUNE_27 = date(2026, 6, 27)
HERE = Solvers(
    bars=lambda case: best.solve(case, limit_s=5), sheets=lambda case: sheets.solve(case, limit_s=5)
)


def cladding() -> Material:
    """The bar that classes are clad with."""
    return Material.objects.get(alloy="1084")


def make_offer(supplier: Supplier, material: Material, *, cents: int, **about: Any) -> Offer:
    """A row of a price list."""
    return Offer.objects.create(supplier=supplier, material=material, price_cents=cents, **about)


def facts(today: date = TODAY, **house: Any) -> Asked:
    """What shopping reads."""
    return reading_facts.asked(house=House(**house), today=today)


def short_of(today: date = TODAY, **house: Any) -> Shortages:
    """What is short."""
    return shortages(facts(today, **house), solvers=HERE)


def put(today: date = TODAY, **house: Any) -> Question:
    """What buying is asked."""
    asked = facts(today, **house)
    return question(asked, shortages(asked, solvers=HERE))


def ends(day: date) -> dict[str, date]:
    """The days of a class that begins and ends on one day."""
    return {"starts_on": day, "ends_on": day}
