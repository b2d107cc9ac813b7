"""What can be asked of the ledger: piece, kind, job, days, person."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth import get_user_model

from stock.ledger_page.reading import LedgerFilter
from stock.models import Entry

DAY = forms.DateInput(attrs={"type": "date"})


def people() -> list[tuple[str, str]]:
    """Everybody who could have written a line."""
    rows = get_user_model()._default_manager.order_by("pk")
    return [("", "Anybody"), *((str(row.pk), str(row)) for row in rows)]


class LedgerFilterForm(forms.Form):
    """Each field narrows the list; all empty is the whole ledger."""

    mark = forms.CharField(label="Piece", max_length=12, required=False)
    kind = forms.ChoiceField(
        label="Kind", required=False, choices=[("", "Any"), *Entry.Kind.choices]
    )
    job = forms.CharField(label="Job", max_length=40, required=False)
    since = forms.DateField(label="From", required=False, widget=DAY)
    until = forms.DateField(label="To", required=False, widget=DAY)
    by = forms.ChoiceField(label="By", required=False, choices=people)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["mark"].widget.attrs |= {
            "autocapitalize": "characters",
            "autocomplete": "off",
            "spellcheck": "false",
        }

    def asked(self) -> LedgerFilter:
        """What is asked; a field that cannot be read narrows nothing."""
        self.full_clean()
        given = {name: value for name, value in self.cleaned_data.items() if value}
        return LedgerFilter(**given)
