"""What a form says of itself where no sentence of its own was written: in the shop's plain words.

Django keeps these sentences on its field classes; they are replaced once, when the app is loaded.
"""

from __future__ import annotations

from typing import Any

from django import forms
from django.core import validators

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
