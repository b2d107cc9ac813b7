"""Forms of the work at a class's billets: minutes typed for several, the next stage of several."""

from __future__ import annotations

from typing import Any

from django import forms

from billets.billet.forms import SpoolChoice, note_field
from billets.billet.reading import spools
from billets.hours.forms import MinutesField, WorkDayField
from billets.models import WorkStep
from shop.class_work.writing import STAGES
from stock.models import Piece
from stock.web.fields import HouseForm


class ClassMinutesForm(forms.Form):
    """Time at all of them together that no clock ran for."""

    step = forms.ChoiceField(label="Step", choices=WorkStep.choices)
    minutes = MinutesField(label="Minutes, for all together")
    day = WorkDayField()

    prefix = "typed"


class ClassStageForm(HouseForm):
    """The next stage of several billets."""

    minutes = MinutesField(
        label="Minutes it took, for all together",
        required=False,
        help_text="Shared equally. Leave it empty where a clock ran.",
    )
    spool = SpoolChoice(
        queryset=Piece.objects.none(),
        required=False,
        label="Wire from spool",
        empty_label="No spool: book no wire",
    )
    note = note_field()
    kind = forms.ChoiceField(choices=[(kind, kind.label) for kind in STAGES])

    prefix = "next"

    def __init__(self, *args: Any, wire: str = "", **more: Any) -> None:
        super().__init__(*args, **more)
        spool = self.fields["spool"]
        assert isinstance(spool, SpoolChoice)
        spool.system, spool.queryset = self.house.system, spools()
        spool.initial = spool.queryset.first()
        if wire:
            spool.help_text = (
                f"About {wire} goes into the seams that are next; weighing the spool puts it right."
            )
