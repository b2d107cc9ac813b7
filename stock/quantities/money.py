"""Money in whole minor units (cents, yen, fils): sharing, rounding, prices for an amount.

Nothing here shows money; that is Babel's work at the edge. There is no float in this module:
an exact `Fraction` is carried until one named function rounds it, once.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from babel import Locale
from babel.numbers import (
    format_currency,
    get_currency_precision,
    get_currency_symbol,
    get_decimal_symbol,
    is_currency,
)

BASIS_POINTS = 10_000  # in one whole: 1 bp is 0.01 %
SECONDS_PER_HOUR = 3_600
JOULES_PER_KWH = 3_600_000
UG_PER_KG = 1_000_000_000
UG_PER_LB = 453_592_370


class MoneyError(ValueError):
    """A sum that cannot be worked out; the text is the sentence for the user."""

    def __init__(self, sentence: str, *, given: object = None) -> None:
        super().__init__(sentence)
        self.given = given


@dataclass(frozen=True)
class Price:
    """So many minor units for so much: 399 cents for 453 592 370 µg, 14 cents for 3 600 000 J."""

    cents: int
    per: int

    def __post_init__(self) -> None:
        not_below_zero(price=self.cents)
        if self.per <= 0:
            raise MoneyError(
                f"A price was given for an amount of {self.per}; give it for more than nothing.",
                given=self.per,
            )

    def of(self, amount: int | Fraction) -> Fraction:
        """Exact price of an amount in the unit of `per` [minor units]."""
        return Fraction(self.cents) * amount / self.per


def not_below_zero(**amounts: int | Fraction) -> None:
    """Refuse an amount below zero and name it.

    Args:
        amounts: the amounts by name; the name is what the sentence calls them.

    Raises:
        MoneyError: one of them is below zero.
    """
    for name, amount in amounts.items():
        if amount < 0:
            words = name.replace("_", " ")
            raise MoneyError(
                f"The {words} was given as {amount}; it cannot be below 0. Write 0 or more.",
                given=amount,
            )


FREE = Price(cents=0, per=1)


def whole_cents(amount: Fraction | int) -> int:
    """The nearest whole minor unit; an exact half goes away from zero.

    Args:
        amount: money [minor units], exact.

    Returns:
        Whole minor units.

    Source:
        Commercial rounding, as on an invoice (common practice).

    >>> whole_cents(Fraction(5, 2)), whole_cents(Fraction(-5, 2))
    (3, -3)
    """
    size = abs(Fraction(amount))
    rounded = (2 * size.numerator + size.denominator) // (2 * size.denominator)
    return -rounded if amount < 0 else rounded


def allocate(total_cents: int, *, weights: Sequence[int | Fraction]) -> tuple[int, ...]:
    """Share money so that the parts add up to the whole, to the last minor unit.

    Each part is its exact share rounded towards zero; the units left over go one each to the
    parts with the largest remainders, the earlier part first where two are equal.

    Args:
        total_cents: what is shared [minor units]; below zero is shared as a negative.
        weights: what each part weighs, 0 or more each, in one unit of any kind.

    Returns:
        The parts [minor units], in the order of the weights; none differs from its exact share
        by a whole unit or more.

    Raises:
        MoneyError: a weight is below 0, or there is money and no weight to share it by.

    >>> allocate(100, weights=(1, 1, 1))
    (34, 33, 33)
    """
    for weight in weights:
        not_below_zero(share=weight)
    whole = sum(map(Fraction, weights), Fraction(0))
    if whole == 0:
        if total_cents:
            raise MoneyError(
                "There is money to share but nothing to share it by; give one part a weight.",
                given=total_cents,
            )
        return (0,) * len(weights)
    if total_cents < 0:
        return tuple(-part for part in allocate(-total_cents, weights=weights))
    exact = [total_cents * Fraction(weight) / whole for weight in weights]
    parts = [share.numerator // share.denominator for share in exact]
    by_remainder = sorted(range(len(parts)), key=lambda i: (parts[i] - exact[i], i))
    for i in by_remainder[: total_cents - sum(parts)]:
        parts[i] += 1
    return tuple(parts)


def for_hours(cents_per_hour: int, *, seconds: int) -> int:
    """Money for time at a rate per hour.

    Args:
        cents_per_hour: the rate [minor units per hour], 0 or more.
        seconds: the time [s], 0 or more.

    Returns:
        Whole minor units, rounded once.

    Raises:
        MoneyError: the rate or the time is below 0.
    """
    not_below_zero(rate_per_hour=cents_per_hour, time_in_seconds=seconds)
    return whole_cents(Fraction(cents_per_hour * seconds, SECONDS_PER_HOUR))


def portion(cents: int, *, bp: int) -> int:
    """A part of a sum, the part given in basis points.

    Args:
        cents: the sum [minor units].
        bp: the part [0.01 %], 0 or more.

    Returns:
        Whole minor units, rounded once.

    Raises:
        MoneyError: the part is below 0.
    """
    not_below_zero(part=bp)
    return whole_cents(Fraction(cents * bp, BASIS_POINTS))


def currency_digits(code: str) -> int:
    """Decimals of a currency: 2 for USD, 0 for JPY, 3 for KWD.

    Args:
        code: ISO 4217 letters.

    Returns:
        The number of decimals.

    Raises:
        MoneyError: no currency has this code.

    Source:
        Unicode CLDR as carried by Babel (it follows ISO 4217 for the currencies in use).
    """
    if not is_currency(code):
        raise MoneyError(
            f"'{code}' is not a currency we know. Write its three letters, such as USD or EUR.",
            given=code,
        )
    return get_currency_precision(code)


def share_cents(value_cents: int, *, amount: int, of_amount: int) -> int:
    """Value that goes with a part of a piece, rounded half up to the cent.

    Args:
        value_cents: value of the whole [minor units], 0 or more.
        amount: the part, in the unit of `of_amount`, from 0 to `of_amount`.
        of_amount: the whole, above 0.

    Returns:
        Minor units; all of the value when the part is the whole.

    Raises:
        ValueError: the part is below 0 or more than the whole.

    Source:
        Proportion; common practice.

    >>> share_cents(1000, amount=1, of_amount=3)
    333
    """
    if not 0 <= amount <= of_amount or of_amount <= 0:
        raise ValueError(f"a part of {amount} cannot come from {of_amount}")
    return (2 * value_cents * amount + of_amount) // (2 * of_amount)


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
