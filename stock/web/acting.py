"""Act, or say why not: how a view carries out what a writing module may refuse.

It leaves out what is shown after it: that is the view's, which asks `Attempt.is_done`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from django.contrib import messages
from django.forms import BaseForm
from django.http import HttpRequest

Say = Callable[[Exception], object]


@dataclass
class Attempt:
    """What came of an act: `refusal` is why it was not done, None when it was."""

    refusal: Exception | None = None

    @property
    def is_done(self) -> bool:
        """Whether it was carried out."""
        return self.refusal is None


@contextmanager
def or_say(*refusals: type[Exception], say: Say | None = None) -> Iterator[Attempt]:
    """Act within it: one of the refusals ends the act and is said; any other error goes on."""
    attempt = Attempt()
    try:
        yield attempt
    except refusals as refusal:
        attempt.refusal = refusal
        if say is not None:
            say(refusal)


def on_form(form: BaseForm, field: str | None = None) -> Say:
    """Say it beside a field: the refusal's own where it names one; else above the form."""
    return lambda refusal: form.add_error(getattr(refusal, "field", None) or field, str(refusal))


def in_messages(request: HttpRequest) -> Say:
    """Say it on the page that comes next."""
    return lambda refusal: messages.error(request, str(refusal))
