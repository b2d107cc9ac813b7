"""What a failed billet is still worth: in the rates, in a sound one's cost, in a class's spares."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from django.urls import reverse

from billets.history import writing as history
from shop.billet_cost import reading as billet_cost_reading
from shop.class_money import costs
from shop.class_money.reading import books_of
from shop.costing.rate_values import ShopRates, shop_rates
from shop.models import RateSheet
from shop.rates import writing as rates
from stock.house import House
from stock.quantities.money import MoneyError
from tests.kinds import ClassMetal, Client, MakeClass, MakeLayup, Person

METAL = 1684  # of the billet, worked in test_billet_cost


def test_a_failed_billet_is_worth_no_more_than_it_cost() -> None:
    shop = shop_rates({"salvage_cents": 500})

    assert (shop.salvage_of(1684), shop.salvage_of(300), shop.salvage_of(0)) == (500, 300, 0)
    assert shop_rates({}).salvage_of(1684) == 0
    with pytest.raises(MoneyError):
        ShopRates(salvage_cents=-1)


@pytest.mark.parametrize(
    ("worth", "sound", "says"),
    [
        (0, 3368, ""),  # 16.84 over one half
        (500, 2868, "$5.00 is taken off for each that fails"),
        (9900, 1684, "which say more than this one costs"),  # counted as 16.84
    ],
)
def test_a_sound_billet_costs_less_by_what_failed_ones_are_worth(
    as_owner: Client,
    owner: Person,
    class_metal: ClassMetal,
    make_layup: MakeLayup,
    worth: int,
    sound: int,
    says: str,
) -> None:
    rates.set_rates(from_date=date(2020, 1, 1), values={"salvage_cents": worth}, by=owner)
    billet = history.make_billet(layup=make_layup(), by=owner)

    cost = billet_cost_reading.billet_cost(billet, history=rates.history(), house=House())
    shown = as_owner.get(reverse("shop:billet-cost", args=[billet.mark])).text

    assert (cost.planned.cents, cost.sound.cents) == (METAL, sound)
    assert says in shown
    assert ("is taken off" in shown) == bool(worth)


def test_a_billet_keeps_the_worth_of_its_own_day(
    owner: Person, class_metal: ClassMetal, make_layup: MakeLayup
) -> None:
    rates.set_rates(from_date=date(2020, 1, 1), values={"salvage_cents": 500}, by=owner)
    billet = history.make_billet(layup=make_layup(), by=owner)
    rates.set_rates(from_date=date(2100, 1, 1), values={"salvage_cents": 900}, by=owner)

    cost = billet_cost_reading.billet_cost(billet, history=rates.history(), house=House())

    assert cost.salvage_cents == 500


@pytest.mark.parametrize(("worth", "spares"), [(0, 3368), (500, 2368), (9900, 0)])
def test_spares_of_a_class_stand_in_for_failed_billets(
    class_metal: ClassMetal, make_class: MakeClass, worth: int, spares: int
) -> None:
    row = make_class(students=2)
    row.spares = 2
    shop = shop_rates({"salvage_cents": worth})
    books = replace(books_of(row, house=House()), shop=shop)

    found = costs.class_billets(books, plans=costs.class_plans(books))
    lines = costs.class_costs(books, billets=found).fixed

    assert found.spares_cents == spares
    assert [line.cents for line in lines if line.key == "spares"] == ([spares] if spares else [])


def test_the_class_says_how_spares_are_counted(
    as_owner: Client, owner: Person, class_metal: ClassMetal, make_class: MakeClass
) -> None:
    row = make_class(students=2)
    row.spares = 2
    row.save()
    rates.set_rates(from_date=date(2020, 1, 1), values={"salvage_cents": 500}, by=owner)

    shown = as_owner.get(reverse("shop:class-money", args=[row.pk])).text

    assert "2 spare billets, less what as many failed ones are still worth" in shown
    assert "A spare is made for a billet that fails" in shown


def test_the_rates_keep_what_a_failed_billet_is_worth(as_owner: Client) -> None:
    form = {"from_date": "2026-01-01", "weight_unit": "lb", "salvage_cents": "5"}

    saved = as_owner.post(reverse("shop:rates"), form)
    shown = as_owner.get(reverse("shop:rates")).text

    assert saved.status_code == 302
    assert RateSheet.objects.get().values["salvage_cents"] == 500
    assert 'name="salvage_cents" value="5.00"' in shown


def test_a_worth_below_nothing_is_refused(as_owner: Client) -> None:
    form = {"from_date": "2026-01-01", "weight_unit": "lb", "salvage_cents": "-5"}

    assert as_owner.post(reverse("shop:rates"), form).status_code == 422
    assert not RateSheet.objects.exists()
