"""Currencies and ways of writing money that a shop may choose; numbers typed in them."""

from decimal import Decimal
from typing import Any

import pytest
from django import forms
from django.template import Context, Template

from shop.words.fields import NumberField
from shop.words.money_choices import LOCALES, currency_choices, in_use, locale_choices
from stock.house import House
from stock.quantities.money import currency_digits


def test_every_currency_in_use_is_offered_once_the_usual_ones_first() -> None:
    groups = currency_choices()

    codes = [code for _, choices in groups for code, _ in choices]
    assert len(codes) == len(set(codes))
    assert set(codes) == set(in_use())
    assert groups[0][1][0] == ("USD", "USD, US Dollar")
    assert ("KWD", "KWD, Kuwaiti Dinar") in groups[1][1]
    assert "DEM" not in codes  # withdrawn
    assert {currency_digits(code) for code in codes} == {0, 2, 3}


def test_each_way_of_writing_shows_a_sample() -> None:
    offered = dict(locale_choices())

    assert tuple(offered) == LOCALES
    assert offered["de_DE"] == "1.234,50 (German, Germany)"
    assert offered["en_US"] == "1,234.50 (English, United States)"


@pytest.mark.parametrize(
    ("locale", "text", "number"),
    [
        ("en_US", "12.5", "12.5"),
        ("en_US", "12,5", "12.5"),
        ("en_US", "4,200", "4200"),
        ("en_US", "1,234,567.5", "1234567.5"),
        ("de_DE", "4.200", "4200"),
        ("de_DE", "0,125", "0.125"),
        ("de_DE", "1.250,5", "1250.5"),
        ("fr_FR", "4\u202f200", "4200"),
        ("de_CH", "4’200.5", "4200.5"),
        ("en_US", "0.125", "0.125"),
    ],
)
def test_a_number_is_read_as_the_shop_writes_it(locale: str, text: str, number: str) -> None:
    field = NumberField(most=10_000_000)
    field.use(House(locale=locale))

    assert field.clean(text) == Decimal(number)


def test_a_number_is_shown_as_the_shop_writes_it_and_typed_text_as_typed() -> None:
    field = NumberField(places=2)
    field.use(House(locale="de_DE"))

    assert field.prepare_value(Decimal("2.50")) == "2,5"
    assert field.prepare_value("2.50 about") == "2.50 about"
    assert field.prepare_value(0) == ""


def test_a_whole_number_is_asked_for_in_words() -> None:
    field = NumberField(places=0)

    with pytest.raises(forms.ValidationError, match="Write a whole number"):
        field.clean("2.5")


@pytest.mark.parametrize(
    ("house", "share", "text"),
    [
        (House(), "0.4167", "41.7 %"),
        (House(locale="de_DE"), "0.4167", "41,7 %"),
        (House(locale="nb_NO"), "-0.05", "−5,0 %"),
        (House(), None, "–"),
    ],
)
def test_a_share_has_the_decimal_mark_of_the_money_beside_it(
    house: House, share: Any, text: str
) -> None:
    context = Context({"house": house, "share": None if share is None else float(share)})

    assert Template("{% load shares %}{% percent share %}").render(context) == text
