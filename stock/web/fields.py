"""Form fields that turn typed text into whole numbers: lengths, masses, temperatures, money.

Each takes the shop's units through `use(house)`; what was typed comes back as typed.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.core import validators

from stock.house import House
from stock.quantities import units
from stock.quantities.money import currency_digits, currency_sign, decimal_mark, money_field_text
from stock.quantities.typed_text import quoted

PLAIN = {"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"}


class TypedField(forms.CharField):
    """Text on the page, a whole number inside; the form calls `use` with the shop's settings."""

    def __init__(self, **kwargs: Any) -> None:
        self.house = House()
        super().__init__(max_length=60, **kwargs)
        self.widget.attrs |= PLAIN

    def use(self, house: House) -> None:
        """Take the shop's units."""
        self.house = house

    def read(self, text: str) -> int:
        """The number that a text stands for."""
        raise NotImplementedError

    def show(self, value: int) -> str:
        """The text that a number is shown as in the field."""
        raise NotImplementedError

    def to_python(self, value: Any) -> Any:
        """A whole number, or nothing for an empty field."""
        if isinstance(value, int):
            return value
        text = super().to_python(value)
        if not text:
            return None
        try:
            return self.read(text)
        except units.UnitsError as error:
            raise forms.ValidationError(str(error)) from error

    def run_validators(self, value: Any) -> None:
        """Length of the text was checked as text; a number has no length."""

    def prepare_value(self, value: Any) -> Any:
        """Numbers as the shop writes them; typed text as typed."""
        return self.show(value) if isinstance(value, int) else value


class LengthField(TypedField):
    """A length in nanometres."""

    def __init__(
        self,
        *,
        style: str = "fraction",
        gauge: str | None = None,
        allows_zero: bool = False,
        **kwargs: Any,
    ) -> None:
        self.gauge, self.allows_zero = gauge, allows_zero
        super().__init__(**kwargs)

    def read(self, text: str) -> int:
        """Nanometres."""
        return units.length_nm(
            text, unit=self.house.unit, gauge=self.gauge, zero_ok=self.allows_zero
        )

    def show(self, value: int) -> str:
        """A length in the shop's unit."""
        return units.field_text(value, system=self.house.system)


class MassField(TypedField):
    """A mass in micrograms."""

    def read(self, text: str) -> int:
        """Micrograms; a bare number is pounds or kilograms."""
        return units.mass_ug(text, unit="lb" if self.house.system == "inch" else "kg")

    def show(self, value: int) -> str:
        """A mass in the shop's unit."""
        return units.mass_text(value, system=self.house.system)


class TemperatureField(TypedField):
    """A temperature in thousandths of a °C."""

    def read(self, text: str) -> int:
        """Thousandths of a °C; a bare number is in the shop's unit."""
        return units.temperature_mdegc(text, unit=self.house.temperature_unit)

    def show(self, value: int) -> str:
        """The first of the two units only, so that it can be typed again."""
        first = units.temperature_text(value, first=self.house.temperature_unit)
        return first.split(" · ")[0]


class MoneyField(TypedField):
    """Money in minor units of the shop's currency."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.widget.attrs["inputmode"] = "decimal"

    def read(self, text: str) -> int:
        """Minor units; the shop's own decimal mark, and its currency's sign where it is typed."""
        house = self.house
        return units.money_cents(
            text,
            digits=currency_digits(house.currency),
            decimal=decimal_mark(house.locale),
            sign=currency_sign(house.currency, locale=house.locale).replace("\u00a0", " "),
        )

    def show(self, value: int) -> str:
        """Plain digits with the shop's decimal mark."""
        return money_field_text(value, currency=self.house.currency, locale=self.house.locale)


class HouseForm(forms.Form):
    """A form whose typed fields read and write in the shop's units."""

    def __init__(self, *args: Any, house: House, **kwargs: Any) -> None:
        self.house = house
        super().__init__(*args, **kwargs)
        use_house(self, house)


def use_house(form: forms.BaseForm, house: House) -> None:
    """Give a form's fields the shop's units and marks, those that take them."""
    for field in form.fields.values():
        if use := getattr(field, "use", None):
            use(house)


def offer_choices(form: forms.BaseForm, name: str, choices: Iterable[tuple[str, Any]]) -> None:
    """Give one of a form's fields its choices, known only when the form is made."""
    field = form.fields[name]
    assert isinstance(field, forms.ChoiceField)
    field.choices = list(choices)


REQUIRED = "This is needed. Fill it in."
NOT_LISTED = "Choose one of the list; what was sent is not in it."
TOO_LONG = "This has %(show_value)d characters; %(limit_value)d are the most. Shorten it."
TOO_SMALL = "This is under %(limit_value)s. Write %(limit_value)s or more."
TOO_LARGE = "This is over %(limit_value)s. Write %(limit_value)s or less."
NOT_WHOLE = "Write a whole number in digits, such as 4."
NOT_A_NUMBER = "Write a number in digits, such as 2.5."
NOT_A_DAY = "That is not a day we know. Write it as 2026-05-09."
NOT_A_MAIL = "That is not an e-mail address. Write it as name@example.org."
NOT_WHOLE_FORM = "The form came in without its lines. Load the page again and send it once more."
NOT_TEXT = "There is a character in this that cannot be kept. Type it again."


def use() -> None:
    """Replace Django's sentences by ours."""
    words: dict[Any, dict[str, str]] = {
        forms.Field: {"required": REQUIRED},
        forms.IntegerField: {"invalid": NOT_WHOLE},
        forms.DecimalField: {"invalid": NOT_A_NUMBER},
        forms.DateField: {"invalid": NOT_A_DAY},
        forms.FloatField: {"invalid": NOT_A_NUMBER},
        forms.ChoiceField: {"invalid_choice": NOT_LISTED},
        forms.ModelChoiceField: {"invalid_choice": NOT_LISTED},
        forms.BaseFormSet: {"missing_management_form": NOT_WHOLE_FORM},
    }
    for field, sentences in words.items():
        field.default_error_messages = field.default_error_messages | sentences
    validators.MaxLengthValidator.message = TOO_LONG
    validators.MinValueValidator.message = TOO_SMALL
    validators.MaxValueValidator.message = TOO_LARGE
    validators.EmailValidator.message = NOT_A_MAIL
    validators.ProhibitNullCharactersValidator.message = NOT_TEXT


YEARS = range(2000, 2101)


class DayField(forms.DateField):
    """A day, picked or typed as 2026-05-09."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
        kwargs.setdefault(
            "error_messages", {"invalid": "'%(value)s' is not a day. Write it as 2026-05-09."}
        )
        super().__init__(widget=widget, **kwargs)

    def to_python(self, value: Any) -> Any:
        """The day; a wrong one is named in the sentence."""
        given = quoted(str(value))
        try:
            day = super().to_python(value)
        except forms.ValidationError as error:
            raise forms.ValidationError(
                f"'{given}' is not a day. Write it as 2026-05-09."
            ) from error
        if day is not None and day.year not in YEARS:
            raise forms.ValidationError(
                f"'{given}' is in the year {day.year}; we take {YEARS[0]} to {YEARS[-1]}. "
                "Check the year."
            )
        return day


class CountField(forms.CharField):
    """A whole number as it is typed; the sentence is that of the units grammar."""

    def __init__(self, *, zero_ok: bool = False, **kwargs: Any) -> None:
        self.zero_ok = zero_ok
        super().__init__(max_length=20, **kwargs)
        self.widget.attrs |= {"inputmode": "numeric", "autocomplete": "off"}

    def to_python(self, value: Any) -> Any:
        """A number, or nothing for an empty field."""
        text = super().to_python(value)
        if not text:
            return None
        try:
            return units.count(text, zero_ok=self.zero_ok)
        except units.UnitsError as error:
            raise forms.ValidationError(str(error)) from error

    def run_validators(self, value: Any) -> None:
        """The number was checked as it was read."""
