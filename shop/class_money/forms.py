"""Forms of a class's money: its terms, what it really cost, what changed hands for a seat."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms

from shop.class_money.books import Terms
from shop.models import Seat, SeatPayment
from shop.words.fields import NumberField
from stock.quantities.money import BASIS_POINTS
from stock.quantities.named_values import FieldValues
from stock.web.fields import PLAIN, DayField, HouseForm, MoneyField

MINUTES = 60
LEAST_SURE, USUALLY_SURE = 50, 90  # per cent
DAYS = {
    "min_value": "It cannot be fewer than 0 days.",
    "max_value": "A year is the most. Write fewer days.",
    "invalid": "Write a whole number of days, such as 30.",
}


def days_field(label: str, **kwargs: Any) -> forms.IntegerField:
    """A number of days before the class."""
    return forms.IntegerField(
        label=label,
        required=False,
        min_value=0,
        max_value=366,
        error_messages=DAYS,
        widget=forms.TextInput(attrs=PLAIN | {"inputmode": "numeric"}),
        **kwargs,
    )


class TermsForm(HouseForm):
    """Fee, deposit, refunds, and what the class costs beside its billets."""

    fee_cents = MoneyField(label="Fee for a seat, without tax", required=False)
    deposit_cents = MoneyField(label="Deposit to hold a seat", required=False)
    margin = NumberField(
        label="Margin you want, %",
        most=95,
        places=1,
        help_text="Profit over price; 30 % of the price is a mark-up of 42.9 % on the cost.",
    )
    all_back = days_field("All paid goes back until so many days before")
    half_back = days_field("Half of it until so many days before")
    place_cents = MoneyField(label="Place", required=False)
    helper_cents = MoneyField(label="Helper", required=False)
    other_cents = MoneyField(label="Other costs", required=False)
    seat_cents = MoneyField(label="Food and handouts, each seat", required=False)
    prepare_hours = NumberField(label="Hours of preparing, beside the billets", most=400, places=2)
    teach_hours = NumberField(label="Hours of teaching, all days", most=400, places=2)
    confidence = NumberField(
        label="How sure that everybody gets a sound billet, %",
        most=99,
        places=0,
        error_messages={
            "max_value": "Nothing is certain: 99 %% is the most. Write a whole number up to 99.",
            "max_decimal_places": "Write a whole number from 50 to 99.",
        },
    )

    def clean(self) -> FieldValues:
        """The deposit is part of the fee; half back ends no sooner than all back."""
        given: FieldValues = super().clean() or {}
        if (sure := given.get("confidence")) is not None and sure < LEAST_SURE:
            self.add_error(
                "confidence",
                f"{sure} % is less than a toss of a coin. Write a whole number from 50 to 99.",
            )
        fee, deposit = given.get("fee_cents") or 0, given.get("deposit_cents") or 0
        if deposit > fee and "fee_cents" not in self.errors:
            self.add_error(
                "deposit_cents", "The deposit is more than the fee. Write a smaller one."
            )
        whole, half = given.get("all_back"), given.get("half_back")
        if whole is not None and half is not None and half >= whole:
            self.add_error(
                "half_back",
                f"All goes back until {whole} days before; half must end later. Write fewer days.",
            )
        return given

    def changes(self) -> FieldValues:
        """The terms as the database holds them."""
        given = self.cleaned_data
        names = ("fee_cents", "deposit_cents", "place_cents", "helper_cents", "other_cents")
        rule = [(given["all_back"], BASIS_POINTS), (given["half_back"], BASIS_POINTS // 2)]
        return {name: given[name] or 0 for name in (*names, "seat_cents")} | {
            "margin_bp": round((given["margin"] or 0) * 100),
            "prepare_minutes": round((given["prepare_hours"] or 0) * MINUTES),
            "teach_minutes": round((given["teach_hours"] or 0) * MINUTES),
            "confidence_percent": int(given["confidence"] or USUALLY_SURE),
            "refund_rule": [[days, bp] for days, bp in rule if days is not None],
        }


def terms_initial(terms: Terms) -> FieldValues:
    """The terms as their form shows them."""
    names = ("fee_cents", "deposit_cents", "place_cents", "helper_cents", "other_cents")
    back = {step.back_bp: step.days_before for step in terms.refund_rule}
    return {name: getattr(terms, name) or None for name in (*names, "seat_cents")} | {
        "margin": terms.margin_bp / 100,
        "prepare_hours": terms.prepare_minutes / MINUTES,
        "teach_hours": terms.teach_minutes / MINUTES,
        "confidence": terms.confidence_percent,
        "all_back": back.get(BASIS_POINTS),
        "half_back": back.get(BASIS_POINTS // 2),
    }


class RealForm(HouseForm):
    """What the class really cost; empty fields count as planned."""

    place_cents = MoneyField(label="Place", required=False)
    helper_cents = MoneyField(label="Helper", required=False)
    other_cents = MoneyField(label="Other costs", required=False)
    seats_cents = MoneyField(label="Food and handouts, all together", required=False)
    prepare_hours = NumberField(label="Hours of preparing, beside the billets", most=400, places=2)
    teach_hours = NumberField(label="Hours of teaching", most=400, places=2)

    def real(self) -> dict[str, int | None]:
        """The figures as the database holds them."""
        given = self.cleaned_data
        found = {name: given[name] for name in given if name.endswith("_cents")}
        for name in ("prepare", "teach"):
            hours = given[f"{name}_hours"]
            found[f"{name}_minutes"] = None if hours is None else round(hours * MINUTES)
        return found


def real_initial(terms: Terms) -> FieldValues:
    """What was written down after class."""
    found: FieldValues = {k: v for k, v in terms.real.items() if k.endswith("_cents")}
    for name in ("prepare", "teach"):
        if (minutes := terms.real.get(f"{name}_minutes")) is not None:
            found[f"{name}_hours"] = minutes / MINUTES or "0"
    return found


if TYPE_CHECKING:
    SeatField = forms.ModelChoiceField[Seat]
else:
    SeatField = forms.ModelChoiceField


class SeatChoice(SeatField):
    """A seat by its student; one that was given up by who paid for it."""

    def label_from_instance(self, obj: Seat) -> str:
        """Name, or number."""
        if obj.student and not obj.is_cancelled:
            return obj.student
        paid = [one.who for one in obj.payments.all() if one.who]
        return f"{paid[-1]}, seat given up" if paid else str(obj)


class PaymentForm(HouseForm):
    """Money that changed hands for one seat."""

    seat = SeatChoice(label="Seat", queryset=None)
    kind = forms.ChoiceField(label="What it was", choices=SeatPayment.Kind.choices)
    cents = MoneyField(label="How much")
    day = DayField(label="On")
    note = forms.CharField(
        label="Note", max_length=200, required=False, help_text="Cash, transfer, card receipt."
    )

    def __init__(self, *args: Any, seats: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choice = self.fields["seat"]
        assert isinstance(choice, SeatChoice)
        choice.queryset = seats.prefetch_related("payments")
