"""Forms of the shop's settings and its people."""

from __future__ import annotations

import zoneinfo
from typing import TYPE_CHECKING, Any

from django import forms
from django.conf import settings
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.password_validation import validate_password
from django.contrib.auth.validators import UnicodeUsernameValidator

from shop.models import ClassTerms, Person, RateSheet, SeatPayment
from shop.people import first_run
from shop.words.money_choices import currency_choices, locale_choices
from stock.house import House
from stock.models import Entry, Offer
from stock.quantities import units
from stock.quantities.money import currency_digits
from stock.quantities.named_values import FieldValues
from stock.web.fields import LengthField

if TYPE_CHECKING:
    PersonModelForm = forms.ModelForm[Person]
else:  # Django's own class takes no type at run time
    PersonModelForm = forms.ModelForm


NAME_ADVICE = "Use letters, digits and . _ - + @ only, without spaces."
LONGEST_PASSWORD = 128
PLAIN = {"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"}


class FirstRunForm(forms.Form):
    """Names the shop and its owner; works once."""

    code = forms.CharField(
        label="Code",
        max_length=20,
        help_text="The terminal that started the app shows it. It also stands in the file "
        "first-run-code.txt in the data folder.",
        widget=forms.TextInput(attrs=PLAIN | {"autocapitalize": "characters"}),
    )
    name = forms.CharField(label="Name of the shop", max_length=80)
    system = forms.ChoiceField(
        label="Units",
        choices=[
            ("inch", "inches, pounds, °F first"),
            ("metric", "millimetres, kilograms, °C first"),
        ],
        help_text="What is shown first, and what a bare number means.",
    )
    currency = forms.ChoiceField(label="Currency", choices=currency_choices)
    locale = forms.ChoiceField(label="How money is written", choices=locale_choices)
    first_name = forms.CharField(label="Your name", max_length=60)
    username = forms.CharField(
        label="Sign-in name",
        max_length=60,
        help_text=NAME_ADVICE,
        validators=[UnicodeUsernameValidator(message=NAME_ADVICE)],
        widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "off"}),
    )
    password = forms.CharField(
        label="Password",
        help_text="At least 8 characters, not a common word.",
        max_length=LONGEST_PASSWORD,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}, render_value=True),
    )

    def clean_code(self) -> str:
        """The code must be the terminal's."""
        given: str = self.cleaned_data["code"]
        if not first_run.is_right_code(given):
            raise forms.ValidationError(
                f"'{given}' is not the code. Read it in the terminal that started the app."
            )
        return given

    def clean_password(self) -> str:
        """Long enough and not a common word."""
        given: str = self.cleaned_data["password"]
        validate_password(given)
        return given


class SignInForm(AuthenticationForm):
    """Name and password."""

    error_messages = {
        "invalid_login": "That name and password do not fit together. Check both; "
        "capitals count in the password.",
        "inactive": "This person may not sign in any more. Ask the owner.",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "Sign-in name"
        self.fields["username"].widget.attrs |= {"autocapitalize": "off", "spellcheck": "false"}


NEWTONS_PER_TON = 8_896.443230521  # US short ton-force; scipy.constants agrees
NEWTONS_PER_TONNE = 9_806.65
OCEANS = ("Arctic", "Atlantic", "Indian", "Pacific")
CONTINENTS = ("Africa", "America", "Antarctica", "Asia", "Australia", "Europe", *OCEANS)


def zone_choices() -> list[tuple[str, str]]:
    """Time zones by continent and city; first the one that this machine keeps."""
    cities = sorted(name for name in zoneinfo.available_timezones() if is_city(name))
    named = [(name, name.replace("_", " ")) for name in cities]
    return [("", f"as this machine: {settings.TIME_ZONE}"), ("UTC", "UTC"), *named]


def is_city(zone: str) -> bool:
    """Whether a zone is named for a place; the others are older names and plain offsets."""
    return zone.partition("/")[0] in CONTINENTS


class SettingsForm(forms.Form):
    """What the shop may choose; names are those of `House`."""

    name = forms.CharField(label="Name of the shop", max_length=80)
    system = forms.ChoiceField(
        label="Units shown first", choices=[("inch", "inch, lb, °F"), ("metric", "mm, kg, °C")]
    )
    paper = forms.ChoiceField(label="Paper", choices=[("Letter", "Letter"), ("A4", "A4")])
    currency = forms.ChoiceField(label="Currency", choices=currency_choices)
    locale = forms.ChoiceField(label="How money is written", choices=locale_choices)
    zone = forms.ChoiceField(
        label="Time zone",
        choices=zone_choices,
        required=False,
        help_text="What day it is in the books and in your calendar.",
    )

    ceiling_margin_c = forms.IntegerField(
        label="Margin under the copper's solidus, °C",
        min_value=0,
        max_value=300,
        help_text="65 °C (117 °F) is common practice.",
    )
    hot_spot_c = forms.IntegerField(
        label="Hot-spot allowance of your forge, °C",
        min_value=0,
        max_value=200,
        help_text="How much hotter its hottest corner is than the pyrometer says.",
    )
    min_core_finished_nm = LengthField(label="Thinnest finished core")
    line_min_nm = LengthField(label="Thinnest copper line you like")
    line_max_nm = LengthField(label="Thickest copper line you like")
    drift_allowance_nm = LengthField(label="Core drift allowed, either way")
    edge_thickness_nm = LengthField(label="Edge before sharpening")

    press_tons = forms.DecimalField(
        label="Press force, tons",
        min_value=0,
        max_value=2000,
        decimal_places=1,
        help_text="US tons with inches first, tonnes with millimetres first. 0 for hand hammer.",
    )
    bite_nm = LengthField(label="Bite of the drawing dies")
    valley_nm = LengthField(
        label="Valleys the drawing dies leave", allows_zero=True, required=False
    )
    reduction_percent = forms.IntegerField(
        label="Largest reduction in one heat, %", min_value=1, max_value=50
    )
    bonding_heats = forms.IntegerField(label="Bonding heats", min_value=1, max_value=6)
    scale_per_heat_nm = LengthField(
        label="Scale lost, each face, each heat", allows_zero=True, required=False
    )
    crop_percent = forms.IntegerField(
        label="Ends cropped and seam ground off, %", min_value=0, max_value=40
    )

    keep_from_nm = LengthField(label="Shortest offcut kept")
    bead_leg_nm = LengthField(label="Leg of the seam bead")
    deposition_percent = forms.IntegerField(
        label="Wire that ends in the bead, %", min_value=10, max_value=100
    )

    def __init__(self, *args: Any, house: House, **kwargs: Any) -> None:
        self.house = house
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            if isinstance(field, LengthField):
                field.use(house)

    def clean_currency(self) -> str:
        """Amounts are in the currency that they were written in; it stays once there are some."""
        given, stored = str(self.cleaned_data["currency"]), self.house.currency
        if given == stored:
            return given
        if Entry.objects.exclude(value_cents=0).exists() or SeatPayment.objects.exists():
            raise forms.ValidationError(
                f"The books are kept in {stored} already; as {given} every amount in "
                f"them would be wrong. Leave it at {stored}."
            )
        if currency_digits(given) != currency_digits(stored) and has_typed_amounts():
            raise forms.ValidationError(
                f"Rates, fees or prices are written down in {stored} already, and {given} has "
                f"another number of decimals. Leave it at {stored}."
            )
        return given

    def clean(self) -> FieldValues:
        """The band of lines needs its thin end below its thick end."""
        given: FieldValues = super().clean() or {}
        thin, thick = given.get("line_min_nm"), given.get("line_max_nm")
        if thin and thick and thin > thick:
            self.add_error(
                "line_max_nm",
                f"The thickest line is {units.length_text(thick, system=self.house.system)}, "
                "under the thinnest. Give a larger one.",
            )
        return given

    def values(self) -> FieldValues:
        """What is kept: whole numbers and words under `House`'s names; an emptied one is 0."""
        given = dict(self.cleaned_data)
        given.pop("name")
        tons = float(given.pop("press_tons"))
        per_ton = NEWTONS_PER_TON if given["system"] == "inch" else NEWTONS_PER_TONNE
        given["press_n"] = round(tons * per_ton)
        return {name: 0 if value is None else value for name, value in given.items()}


def has_typed_amounts() -> bool:
    """Whether anybody wrote down a rate, a fee or a supplier's price."""
    written = (RateSheet.objects, ClassTerms.objects, Offer.objects)
    return any(rows.exists() for rows in written)


def settings_initial(house: House) -> FieldValues:
    """The form as the shop stands now."""
    per_ton = NEWTONS_PER_TON if house.system == "inch" else NEWTONS_PER_TONNE
    return {
        name: getattr(house, name) for name in SettingsForm.base_fields if hasattr(house, name)
    } | {"press_tons": round(house.press_n / per_ton, 1)}


class PersonForm(PersonModelForm):
    """Somebody who may sign in."""

    password = forms.CharField(
        label="Password",
        required=False,
        max_length=LONGEST_PASSWORD,
        help_text="At least 8 characters. Leave it empty to keep the one they have.",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    class Meta:
        model = Person
        fields = ("first_name", "username", "role", "is_active")
        labels = {"first_name": "Name", "username": "Sign-in name", "is_active": "May sign in"}
        help_texts = {
            "username": NAME_ADVICE,
            "role": "A helper sees no money anywhere.",
            "is_active": "",
        }
        error_messages = {
            "username": {
                "unique": "Somebody signs in as that already. Choose another name.",
                "invalid": NAME_ADVICE,
            }
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["first_name"].required = True
        self.fields["username"].widget.attrs |= {"autocapitalize": "off", "autocomplete": "off"}
        if self.instance._state.adding:
            self.fields["password"].required = True
            self.fields["password"].help_text = "At least 8 characters."
            del self.fields["is_active"]

    def clean_password(self) -> str:
        """Long enough, if one was given."""
        given: str = self.cleaned_data["password"]
        if given:
            validate_password(given, self.instance)
        return given

    def clean(self) -> FieldValues:
        """The shop keeps at least one owner who may sign in."""
        given: FieldValues = super().clean() or {}
        stays = given.get("role") == Person.Role.OWNER and given.get("is_active", True)
        others = Person.objects.filter(role=Person.Role.OWNER, is_active=True)
        if self.instance.pk and not stays and not others.exclude(pk=self.instance.pk).exists():
            self.add_error("role", "The shop needs one owner who may sign in. Make another first.")
        return given
