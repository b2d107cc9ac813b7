"""One class, one sum: the money page, its billets, its after-class split and its paper agree."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from shop import class_costs, class_money, rates
from shop.class_variance import ClassVariance, class_variance
from stock.house import House

SHEET = {
    "labour_cents_per_hour": 3133, "overhead_cents_per_hour": 917, "fuel_cents": 128,
    "burn_ug_per_hour": 1_133_980_925, "power_cents": 1741, "shielding_cents": 6200,
    "shielding_per_ml": 3_539_625, "shielding_ml_per_minute": 9439, "filler_cents": 415,
    "billet_consumables_cents": 237, "card_fee_bp": 290, "card_fixed_cents": 30, "tax_bp": 625,
    "cut_s": 470, "clean_s": 900, "weld_s": 905, "heat_s": 361, "arc_s": 300,
    "watts_press": 3700, "machine_s_press": 241, "in_the_fire_together": 3,
}  # fmt: skip
TERMS = {
    "fee_cents": 40000, "deposit_cents": 10000, "place_cents": 30000, "teach_minutes": 611,
    "prepare_minutes": 97, "seat_cents": 2511, "refund_rule": [[30, 10000], [14, 5000]],
}  # fmt: skip
HOUSE = House(is_owner=True, sees_money=True)


def view_of(row: Any) -> class_costs.ClassMoneyView:
    """The money page's figures."""
    return class_costs.class_money_view(
        row, terms=class_money.terms_of(row), history=rates.history(), house=HOUSE
    )


def split_of(row: Any) -> ClassVariance:
    """The after-class split."""
    return class_variance(row, terms=class_money.terms_of(row), shop=view_of(row).shop, house=HOUSE)


@pytest.fixture
def held(planned_class: Any, owner: Any) -> Any:
    """Two students with metal, under odd rates."""
    rates.set_rates(from_date=date(2020, 1, 1), values=SHEET, by=owner)
    row = planned_class(students=2)
    class_money.set_terms(forge_class=row, changes=TERMS, by=owner)
    row.state = "held"
    row.save()
    return row


def test_what_was_planned_is_the_cost_on_the_money_page_to_the_cent(held: Any) -> None:
    assert split_of(held).planned_cents == view_of(held).costs.cost_cents(2)
    keys = {split.key for split in split_of(held).splits}
    assert {"fuel", "power", "shielding", "consumables", "billets", "overhead"} <= keys
