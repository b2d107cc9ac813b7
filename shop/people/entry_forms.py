"""Forms before and at the door: first run, sign-in."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.password_validation import validate_password
from django.contrib.auth.validators import UnicodeUsernameValidator

from shop.people import first_run
from shop.words.money_choices import currency_choices, locale_choices

NAME_ADVICE = "Use letters, digits and . _ - + @ only, without spaces."
LONGEST_PASSWORD = 128
PLAIN = {"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"}


class FirstRunForm(forms.Form):
    """Names the shop and its owner; works once."""

    code = forms.CharField(
        label="Code", max_length=20, help_text="The terminal that started the app shows it.",
        widget=forms.TextInput(attrs=PLAIN | {"autocapitalize": "characters"}),
    )  # fmt: skip
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
        label="Sign-in name", max_length=60, help_text=NAME_ADVICE,
        validators=[UnicodeUsernameValidator(message=NAME_ADVICE)],
        widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "off"}),
    )  # fmt: skip
    password = forms.CharField(
        label="Password", help_text="At least 8 characters, not a common word.",
        max_length=LONGEST_PASSWORD,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}, render_value=True),
    )  # fmt: skip

    def __init__(self, *args: Any, asks_code: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not asks_code:
            del self.fields["code"]

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
