"""An act in a view: carried out, or its refusal said where it belongs."""

import pytest
from django import forms

from stock.ledger.refusals import BadAmount
from stock.materials.writing import KeepingError
from stock.web.acting import on_form, or_say


class Sizes(forms.Form):
    length = forms.CharField()
    width = forms.CharField()


def form() -> Sizes:
    given = Sizes({"length": "1", "width": "2"})
    assert given.is_valid()
    return given


def test_an_act_that_is_carried_out_says_nothing() -> None:
    given = form()

    with or_say(BadAmount, say=on_form(given, "length")) as attempt:
        done = "cut"

    assert (attempt.is_done, attempt.refusal, done) == (True, None, "cut")
    assert given.errors == {}


def refuse(error: Exception) -> None:
    """A writing function that does not take what it is given."""
    raise error


def test_a_refusal_is_said_beside_the_field_and_ends_the_act() -> None:
    given, acts = form(), []

    with or_say(BadAmount, say=on_form(given, "length")) as attempt:
        acts.append("asked")
        refuse(BadAmount("Too long."))

    assert (attempt.is_done, str(attempt.refusal), acts) == (False, "Too long.", ["asked"])
    assert given.errors == {"length": ["Too long."]}


def test_a_refusal_that_names_its_field_is_said_there_and_else_above_the_form() -> None:
    given = form()

    with or_say(KeepingError, say=on_form(given)):
        refuse(KeepingError("Too wide.", field="width"))
    with or_say(KeepingError, say=on_form(given)):
        refuse(KeepingError("It is there already."))

    assert given.errors == {"width": ["Too wide."], "__all__": ["It is there already."]}


def test_any_other_error_goes_on() -> None:
    with pytest.raises(ValueError, match="broken"), or_say(BadAmount):
        raise ValueError("broken")
