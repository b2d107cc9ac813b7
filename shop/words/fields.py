"""Plain numbers in forms: 12.5 or 12,5 as the shop writes it, nothing for an empty field."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms

from shop.words.numbers import PLACES, plain, ungrouped
from stock.house import House
from stock.quantities.money import decimal_mark
from stock.web.fields import PLAIN

NUMERIC = PLAIN | {"inputmode": "decimal"}


class NumberField(forms.DecimalField):
    """A plain number, 0 or more; empty counts as nothing."""

    def __init__(self, *, most: int = 1_000_000, places: int = PLACES, **kwargs: Any) -> None:
        self.mark = "."
        decimals = f"At most {places} decimals, please." if places else "Write a whole number."
        errors = {
            "invalid": "Write a plain number, such as 12.5.",
            "min_value": "It cannot be below 0.",
            "max_value": f"More than {most:,} is surely a slip. Write less.",
            "max_decimal_places": decimals,
        }
        super().__init__(
            min_value=0,
            max_value=most,
            decimal_places=places,
            required=False,
            widget=forms.TextInput(attrs=NUMERIC),
            error_messages=errors | kwargs.pop("error_messages", {}),
            **kwargs,
        )

    def use(self, house: House) -> None:
        """Take the shop's decimal mark."""
        self.mark = decimal_mark(house.locale)

    def to_python(self, value: Any) -> Any:
        """The number; a mark before three digits groups them, unless it is the shop's own."""
        return super().to_python(ungrouped(value, mark=self.mark))

    def prepare_value(self, value: Any) -> Any:
        """Numbers as the shop writes them; typed text as typed."""
        is_number = isinstance(value, int | float | Decimal) and not isinstance(value, bool)
        return plain(value, places=self.decimal_places or 0, mark=self.mark) if is_number else value


class MinutesField(NumberField):
    """Minutes on the page; whole seconds are kept."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(most=1440, places=2, **kwargs)
