"""The forms of a knife's money as its page starts with them."""

from __future__ import annotations

from typing import Any

from shop.knives.forms import SaleForm, ServiceForm
from shop.models import Knife
from stock import clock
from stock.house import House


def sale_forms(knife: Knife, *, house: House) -> dict[str, Any]:
    """Outside work and the sale."""
    sale = {
        "sold_to": knife.sold_to,
        "sold_on": knife.sold_on or clock.today(),
        "price_cents": knife.price_cents,
    }
    return {
        "service_form": ServiceForm(house=house),
        "sale_form": SaleForm(house=house, initial=sale),
        "services": knife.services.filter(struck_at=None).select_related("by"),
    }
