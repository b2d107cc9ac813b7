"""The figure tags: the shop's units and language, and no money for those who may not see it."""

import pytest
from django.template import Context, Template

from stock.house import House
from stock.quantities.money import (
    MoneyError,
    currency_sign,
    decimal_mark,
    money_field_text,
    money_text,
)
from stock.quantities.units import money_cents

INCH = House(system="inch")
METRIC = House(system="metric", locale="de_DE", currency="EUR")


def shown(source: str, house: House, **context: object) -> str:
    """The text that a template gives in a shop."""
    template = Template("{% load figures %}" + source)
    return template.render(Context({"house": house, **context}))


@pytest.mark.parametrize(
    ("source", "inch", "metric"),
    [
        ("{% length 31750000 %}", "1-1/4 in", "31.8 mm"),
        ('{% length 508000 "thou" %}', "0.020 in", "0.508 mm"),
        ("{% lengths 3175000 31750000 %}", "1/8 × 1-1/4 in", "3.18 × 31.8 mm"),
        ("{% section 3200000 32000000 %}", "3.2 × 32 mm", "3.2 × 32 mm"),
        ("{% second 31750000 %}", '<small class="second">31.8 mm</small>',
         '<small class="second">1-1/4 in</small>'),
        ("{% second 3175000 31750000 %}", '<small class="second">3.18 × 31.8 mm</small>',
         '<small class="second">1/8 × 1-1/4 in</small>'),
        ("{% mass 1077281879 %}", "2 lb 6 oz", "1.08 kg"),
        ("{% area 8064500000000000 %}", "12.5 in²", "80.6 cm²"),
        ("{% temperature 980000 %}", "1796 °F · 980 °C", "980 °C · 1796 °F"),
    ],
)  # fmt: skip
def test_a_figure_is_in_the_units_of_the_shop(source: str, inch: str, metric: str) -> None:
    assert shown(source, INCH) == inch
    assert shown(source, METRIC) == metric


@pytest.mark.parametrize(
    "source",
    [
        "{% length nothing %}",
        "{% lengths nothing nothing %}",
        "{% section nothing %}",
        "{% second nothing %}",
        "{% mass nothing %}",
        "{% area nothing %}",
        "{% temperature nothing %}",
        "{% money nothing %}",
    ],
)
def test_a_figure_that_is_not_known_prints_nothing(source: str) -> None:
    assert shown(source, House(sees_money=True), nothing=None) == ""


def test_a_size_that_is_not_known_is_left_out_of_a_section() -> None:
    assert shown("{% lengths 12700000 nothing %}", INCH, nothing=None) == "1/2 in"


def test_money_is_written_as_the_shops_language_does() -> None:
    english = House(sees_money=True)
    german = House(sees_money=True, locale="de_DE", currency="EUR")

    assert shown("{% money 125000 %}", english) == "$1,250.00"
    assert shown("{% money 125000 %}", german) == "1.250,00\u00a0€"
    assert shown("{% money cents %}", english, cents=-50) == "−$0.50"


@pytest.mark.parametrize("house", [House(), House(is_owner=False, sees_money=False, person="Ida")])
def test_money_prints_nothing_to_a_helper(house: House) -> None:
    assert shown("[{% money 125000 %}]", house) == "[]"


def test_a_figure_without_the_shops_settings_is_stopped() -> None:
    template = Template("{% load figures %}{% length 1 %}")

    with pytest.raises(LookupError, match="has no `house`"):
        template.render(Context({}))


@pytest.mark.parametrize(
    ("cents", "currency", "locale", "expected"),
    [
        (1250, "USD", "en_US", "$12.50"),
        (1250, "JPY", "en_US", "¥1,250"),
        (1250, "KWD", "en_US", "KWD1.250"),
        (0, "EUR", "de_DE", "0,00\u00a0€"),
    ],
)
def test_each_currency_has_its_own_decimals(
    cents: int, currency: str, locale: str, expected: str
) -> None:
    assert money_text(cents, currency=currency, locale=locale) == expected


def test_a_currency_that_there_is_not_is_refused() -> None:
    with pytest.raises(MoneyError):
        money_text(1, currency="XQQ", locale="en_US")


@pytest.mark.parametrize(
    ("currency", "locale", "digits", "expected"),
    [
        ("USD", "en_US", 2, "1250.05"),
        ("EUR", "de_DE", 2, "1250,05"),
        ("JPY", "ja_JP", 0, "125005"),
        ("KWD", "en_US", 3, "125.005"),
    ],
)
def test_money_in_a_form_field_reads_back_to_the_cent(
    currency: str, locale: str, digits: int, expected: str
) -> None:
    text = money_field_text(125_005, currency=currency, locale=locale)

    read = money_cents(text, digits=digits, decimal=decimal_mark(locale))

    assert text == expected
    assert read == 125_005


def test_a_language_has_its_sign_for_a_currency() -> None:
    assert currency_sign("USD", locale="en_US") == "$"
    assert currency_sign("EUR", locale="de_DE") == "€"


@pytest.mark.parametrize(
    ("cents", "currency", "locale", "text"),
    [
        (200_000, "USD", "en_US", "$2,000"),
        (-100_000, "USD", "en_US", "−$1,000"),
        (0, "USD", "en_US", "$0"),
        (1_250, "USD", "en_US", "$12.50"),
        (100_000_000, "KWD", "en_US", "KWD100,000"),
        (2_000, "JPY", "ja_JP", "￥2,000"),
        (200_000, "EUR", "de_DE", "2.000\u00a0€"),
        (-200_000, "NOK", "nb_NO", "−2\u00a0000\u00a0kr"),
    ],
)
def test_a_round_sum_on_an_axis_has_no_empty_decimals(
    cents: int, currency: str, locale: str, text: str
) -> None:
    house = House(sees_money=True, currency=currency, locale=locale)

    assert shown("{% round_money cents %}", house, cents=cents) == text
    assert shown("{% round_money cents %}", House(), cents=cents) == ""
