"""Fields without a sentence of their own speak the shop's plain words."""

from __future__ import annotations

from typing import Any

import pytest
from django import forms


@pytest.mark.parametrize(
    ("field", "given", "told"),
    [
        (forms.CharField(), "", "This is needed. Fill it in."),
        (forms.CharField(max_length=5), "anvils",
         "This has 6 characters; 5 are the most. Shorten it."),
        (forms.CharField(), "a\x00b",
         "There is a character in this that cannot be kept. Type it again."),
        (forms.IntegerField(), "four", "Write a whole number in digits, such as 4."),
        (forms.IntegerField(min_value=1), "0", "This is under 1. Write 1 or more."),
        (forms.IntegerField(max_value=9), "10", "This is over 9. Write 9 or less."),
        (forms.DecimalField(), "lots", "Write a number in digits, such as 2.5."),
        (forms.ChoiceField(choices=[("a", "a")]), "b",
         "Choose one of the list; what was sent is not in it."),
        (forms.DateField(), "2026-02-30", "That is not a day we know. Write it as 2026-05-09."),
        (forms.EmailField(), "nobody",
         "That is not an e-mail address. Write it as name@example.org."),
    ],
)  # fmt: skip
def test_what_a_field_says(field: Any, given: str, told: str) -> None:
    with pytest.raises(forms.ValidationError) as refused:
        field.clean(given)

    assert refused.value.messages == [told]
