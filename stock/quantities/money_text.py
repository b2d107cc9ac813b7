"""Money to words in the shop's currency and language, and the marks that its typed form uses.

Who may see money is not decided here; the template tags ask the shop's settings.
"""

from decimal import Decimal

from babel import Locale
from babel.numbers import format_currency, get_currency_symbol, get_decimal_symbol

from stock.quantities.money import currency_digits


def money_text(cents: int, *, currency: str, locale: str) -> str:
    """An amount as the shop's language writes it.

    Args:
        cents: amount [minor units of the currency]; below 0 gets the language's minus sign.
        currency: ISO 4217 code; it says how many decimals there are.
        locale: language and country, such as "en_US".

    Returns:
        Such as "$1,250.00", "1.250,00 €" or "¥1,250".

    Raises:
        MoneyError: no currency has this code.
        babel.UnknownLocaleError: no language has this name.

    Source:
        Unicode Common Locale Data Repository, through Babel.

    >>> money_text(125_000, currency="USD", locale="en_US")
    '$1,250.00'
    """
    amount = Decimal(cents).scaleb(-currency_digits(currency))
    return format_currency(amount, currency, locale=locale)


def round_money_text(cents: int, *, currency: str, locale: str) -> str:
    """An amount for an axis: without decimals where it has none to show.

    Args:
        cents: amount [minor units of the currency].
        currency: ISO 4217 code.
        locale: language and country.

    Returns:
        Such as "$1,250" for 125 000 cents, but "$12.50" for 1 250.

    Raises:
        MoneyError: no currency has this code.

    Source:
        Unicode Common Locale Data Repository, through Babel.

    >>> round_money_text(-125_000, currency="USD", locale="en_US")
    '-$1,250'
    """
    whole, rest = divmod(cents, 10 ** currency_digits(currency))
    if rest:
        return money_text(cents, currency=currency, locale=locale)
    pattern = str(Locale.parse(locale).currency_formats["standard"].pattern).replace("0.00", "0")
    return format_currency(whole, currency, locale=locale, format=pattern, currency_digits=False)


def money_field_text(cents: int, *, currency: str, locale: str) -> str:
    """An amount as a form field starts with it: digits and the decimal mark, nothing else.

    Args:
        cents: amount [minor units], 0 or above.
        currency: ISO 4217 code.
        locale: language and country.

    Returns:
        Such as "1250.00"; `money_cents` with the same digits and mark reads it back exactly.

    Raises:
        MoneyError: no currency has this code.
    """
    amount = Decimal(cents).scaleb(-currency_digits(currency))
    return f"{amount:f}".replace(".", decimal_mark(locale))


def decimal_mark(locale: str) -> str:
    """The mark before decimals in a language.

    Args:
        locale: language and country.

    Returns:
        "." or ",".

    Source:
        Unicode Common Locale Data Repository, through Babel.
    """
    return "," if get_decimal_symbol(locale) == "," else "."


def currency_sign(currency: str, *, locale: str) -> str:
    """The sign that a language writes for a currency, such as "$"; else its code.

    Args:
        currency: ISO 4217 code.
        locale: language and country.

    Returns:
        The sign, or the code where the language has none.

    Source:
        Unicode Common Locale Data Repository, through Babel.
    """
    return get_currency_symbol(currency, locale=locale)


def credit_words(value_cents: int, *, credit_cents: int, currency: str, locale: str) -> str:
    """What was credited for metal, against what it was worth in the books.

    Args:
        value_cents: worth in the books [minor units].
        credit_cents: what the supplier gave for it [minor units].
        currency: ISO 4217 code.
        locale: language and country.

    Returns:
        Such as "credited $20.00: $4.00 less than its value".
    """
    credited = money_text(credit_cents, currency=currency, locale=locale)
    if credit_cents == value_cents:
        return f"credited {credited}, which is its value"
    off = money_text(abs(credit_cents - value_cents), currency=currency, locale=locale)
    word = "more" if credit_cents > value_cents else "less"
    return f"credited {credited}: {off} {word} than its value"
