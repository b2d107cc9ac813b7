"""Makes the demo shop, in one transaction: all of it or nothing."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from shop.demo import HELPER, OWNER, PASSWORD, SHOP_NAME, classes, knives, layups, metal, money
from shop.demo.people import Days
from shop.models import Person, ShopSettings

SETTINGS = {
    "system": "inch", "currency": "USD", "locale": "en_US", "paper": "Letter",
    "press_n": 222_411, "valley_nm": 400_000,
}  # fmt: skip  # 25 US tons


def is_made() -> bool:
    """Whether the demo shop is in this database."""
    return ShopSettings.objects.exists()


@transaction.atomic
def make(*, today: date) -> None:
    """Fill an empty database with the demo shop."""
    days = Days(first=today)
    row = ShopSettings.objects.create(pk=1, name=SHOP_NAME, values=SETTINGS)
    owner = Person.objects.create_user(
        OWNER, password=PASSWORD, first_name="Tamsin", role=Person.Role.OWNER
    )
    helper = Person.objects.create_user(
        HELPER, password=PASSWORD, first_name="Rowan", role=Person.Role.HELPER
    )
    house = row.house(person=owner)
    money.set_rates(by=owner, helper=helper, days=days)
    metal.set_up()
    layups.make_layups()
    metal.stock_first(by=owner, days=days)
    first = classes.first_class(house=house, by=owner, days=days)
    metal.stock_rack(by=owner, days=days)
    layups.make_folded_layup(layups.forge_bar(by=owner, days=days))
    held = classes.held_class(house=house, by=owner, helper=helper, days=days)
    coming = classes.coming_class(house=house, by=owner, days=days)
    classes.wanting_class(days=days)
    money.first_class(first, by=owner, days=days)
    money.held_class(held, by=owner, days=days)
    money.coming_class(coming, by=owner, days=days)
    knives.make_knives(held=held, owner=owner, helper=helper, days=days)
