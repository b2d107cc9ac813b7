"""Currencies and ways of writing money that a shop may choose, from Babel's own data."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import cache

from babel import Locale
from babel.core import get_global
from babel.numbers import format_decimal, get_currency_name

USUAL = ("USD", "EUR", "GBP", "CAD", "AUD", "NZD", "CHF", "SEK", "NOK", "DKK", "PLN", "JPY")
LOCALES = (
    "en_US", "en_GB", "en_CA", "en_AU", "en_NZ", "en_IE", "en_ZA", "de_DE", "de_AT",
    "de_CH", "fr_FR", "fr_CA", "it_IT", "es_ES", "es_MX", "pt_PT", "pt_BR", "nl_NL", "sv_SE",
    "nb_NO", "da_DK", "fi_FI", "is_IS", "pl_PL", "cs_CZ", "hu_HU", "ja_JP", "ko_KR",
)  # fmt: skip
SAMPLE = 1234.5
WORDS = "en"  # the pages are in English

Choice = tuple[str, str]


@cache
def currency_choices() -> tuple[tuple[str, tuple[Choice, ...]], ...]:
    """The usual currencies, then every other one that is money somewhere today.

    Returns:
        Two groups of code and words.

    Source:
        Unicode Common Locale Data Repository, through Babel.
    """
    others = sorted(in_use() - set(USUAL))
    return (
        ("Usual", tuple((code, worded(code)) for code in USUAL)),
        ("All others", tuple((code, worded(code)) for code in others)),
    )


def in_use() -> frozenset[str]:
    """Codes of every currency that is legal tender somewhere and was not withdrawn.

    Source:
        Unicode Common Locale Data Repository, through Babel.
    """
    listed: Mapping[str, list[tuple[str, date | None, date | None, bool]]]
    listed = get_global("territory_currencies")
    return frozenset(
        code
        for rows in listed.values()
        for code, _, end, is_tender in rows
        if is_tender and end is None
    )


def worded(code: str) -> str:
    """A currency's code and name, such as "KWD, Kuwaiti Dinar"."""
    return f"{code}, {get_currency_name(code, locale=WORDS)}"


@cache
def locale_choices() -> tuple[Choice, ...]:
    """Ways of writing an amount, each with a sample of it.

    Returns:
        Babel's name of the language and country, and words such as "1.234,50 (German, Germany)".

    Source:
        Unicode Common Locale Data Repository, through Babel.
    """
    return tuple((name, sampled(name)) for name in LOCALES)


def sampled(name: str) -> str:
    """An amount as a language writes it, and the language."""
    locale = Locale.parse(name)
    amount = format_decimal(SAMPLE, format="#,##0.00", locale=locale)
    return f"{amount} ({locale.get_language_name(WORDS)}, {locale.get_territory_name(WORDS)})"
