"""Typed text to counts, money and seconds: amounts that need no unit registry.

Leaves out which currency the money is in; the shop has one, and its amounts are typed bare.

    UnitsError (ValueError)    see stock.quantities.typed_text
"""

import re
from fractions import Fraction

from stock.quantities.typed_text import UnitsError, number_and_rest, quoted, tidy, whole

__all__ = ["count", "money_cents", "seconds"]

MOST_COUNTED = 100_000
MOST_MONEY = 100_000_000  # in the currency's main unit
LONGEST_S = 360_000  # 100 h

COUNT_ADVICE = "Write a whole number, such as 12."
MONEY_ADVICE = "Write the amount alone, such as {example}."
SECONDS_ADVICE = "Write a number and s, min or h, such as 90 s, 1-1/2 min or 1:30."

_COUNT = re.compile(r"-?[0-9]+")
_MONEY = re.compile(
    r"(?P<whole>[1-9][0-9]{0,2}(?P<group>[ .,'])[0-9]{3}(?:(?P=group)[0-9]{3})*|[0-9]*)"
    r"(?:(?P<mark>[.,])(?P<part>[0-9]+))?"
)
_CLOCK = re.compile(r"(?:(?P<h>[0-9]{1,3}):)?(?P<m>[0-9]{1,3}):(?P<s>[0-9]{2})")
_SECONDS_IN = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), 1),
    **dict.fromkeys(("m", "min", "mins", "minute", "minutes"), 60),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), 3600),
}
_TIME_WORD = re.compile(r"[a-z]*")


def count(text: str, *, zero_ok: bool = False) -> int:
    """A typed whole number of things.

    Args:
        text: what was typed, digits only.
        zero_ok: whether 0 is a sensible answer, as for spares.

    Returns:
        The number, above 0 (or 0 where that is allowed) and up to 100,000.

    Raises:
        UnitsError: not a whole number, or outside those limits.

    >>> count(" 12 ")
    12
    """
    plain = tidy(text, advice=COUNT_ADVICE)
    if not _COUNT.fullmatch(plain):
        raise UnitsError(text, f"'{quoted(text)}' is not a whole number.", COUNT_ADVICE)
    number = int(plain)
    if number < 0 or (number == 0 and not zero_ok):
        raise UnitsError(text, f"'{quoted(text)}' is not above 0.", COUNT_ADVICE)
    if number > MOST_COUNTED:
        problem = f"'{quoted(text)}' is above 100,000, the most we count."
        raise UnitsError(text, problem, "Check the number.")
    return number


def money_cents(text: str, *, digits: int = 2, decimal: str = ".", sign: str = "") -> int:
    """A typed amount of money in whole minor units of the shop's currency.

    Reads 12.50, 12,50, 1,250.00, 1.250,00, 1 250,00 and 1'250.00. A single mark before three
    digits is the decimal mark where it is the shop's, else it marks thousands; nothing is rounded.

    Args:
        text: what was typed.
        digits: decimals that the currency has: 0, 2 or 3.
        decimal: the decimal mark of the shop's language, "." or ",".
        sign: the currency's sign or code, dropped where it was typed too; "" takes none.

    Returns:
        Amount [minor units], 0 or above and up to 100,000,000 of the main unit.

    Raises:
        UnitsError: not an amount, below 0, above the limit, or more decimals than there are.

    Source:
        ISO 4217 for the number of decimals.

    >>> money_cents("1,250.00")
    125000
    """
    advice = MONEY_ADVICE.format(example=f"12{decimal}{'50000'[:digits]}" if digits else "1250")
    plain = _without_sign(tidy(text, advice=advice), sign=sign.lower())
    if plain.startswith("-"):
        raise UnitsError(text, f"'{quoted(text)}' is below 0.", advice)
    match = _MONEY.fullmatch(plain)
    if match is None or match["mark"] == (match["group"] or "") or not any(match.groups()):
        raise UnitsError(text, f"'{quoted(text)}' is not an amount we know.", advice)
    main, part = _main_and_part(match, decimal=decimal)
    if len(part) > digits:
        problem = f"'{quoted(text)}' has more decimals than the {digits} of this currency."
        raise UnitsError(text, problem, advice)
    if int(main or 0) > MOST_MONEY:
        problem = f"'{quoted(text)}' is above 100,000,000, the most we take."
        raise UnitsError(text, problem, "Check the amount.")
    return int((main or "0") + part.ljust(digits, "0"))


def _without_sign(plain: str, *, sign: str) -> str:
    """The amount without the currency's sign before or after it."""
    return plain.removeprefix(sign).removesuffix(sign).strip() if sign else plain


def _main_and_part(match: re.Match[str], *, decimal: str) -> tuple[str, str]:
    """Digits before and after the decimal mark, without marks for thousands."""
    main, part = match["whole"], match["part"] or ""
    if match["group"] == decimal and main.count(decimal) == 1 and not part:
        main, part = main.split(decimal)
    return re.sub(r"[^0-9]", "", main), part


def seconds(text: str, *, zero_ok: bool = False) -> int:
    """A typed time in whole seconds.

    Args:
        text: what was typed, such as 90, 90 s, 1-1/2 min, 1 h 30 min, 1:30 (minutes and
            seconds) or 1:05:00 (with hours). A bare number is seconds.
        zero_ok: whether 0 is a sensible answer.

    Returns:
        Time [s] to the nearest second, above 0 (or 0 where that is allowed) and up to 100 h.

    Raises:
        UnitsError: not a time, not above 0, or longer than 100 h.

    >>> seconds("1-1/2 min")
    90
    """
    plain = tidy(text, advice=SECONDS_ADVICE)
    clock = _CLOCK.fullmatch(plain)
    exact_s = _clock_s(clock, given=text) if clock else _spoken_s(plain, given=text)
    if exact_s > LONGEST_S:
        raise UnitsError(text, f"'{quoted(text)}' is longer than 100 h.", SECONDS_ADVICE)
    time_s = whole(exact_s)
    if time_s == 0 and not (zero_ok and exact_s == 0):
        raise UnitsError(text, f"'{quoted(text)}' is not above 0.", SECONDS_ADVICE)
    return time_s


def _clock_s(clock: re.Match[str], *, given: str) -> Fraction:
    """Seconds in 1:30 or 1:05:00; the parts after the first stay under 60."""
    hours, minutes, rest = int(clock["h"] or 0), int(clock["m"]), int(clock["s"])
    if rest >= 60 or (clock["h"] is not None and minutes >= 60):
        raise UnitsError(given, f"'{quoted(given)}' has 60 or more after a colon.", SECONDS_ADVICE)
    return Fraction(hours * 3600 + minutes * 60 + rest)


def _spoken_s(plain: str, *, given: str) -> Fraction:
    """Seconds in `90`, `90 s` or `1 h 30 min`: from the largest unit to the smallest."""
    total, last, rest = Fraction(0), LONGEST_S, plain
    while rest:
        number, rest = number_and_rest(rest, given=given, kind="a time", advice=SECONDS_ADVICE)
        word = _TIME_WORD.match(rest)
        name = word[0] if word else ""
        size = 1 if name == "" and plain[-1:].isdigit() and last == LONGEST_S else 0
        size = _SECONDS_IN.get(name, size)
        rest = rest[len(name) :].removeprefix(".").strip()
        if not 0 < size < last:
            raise UnitsError(given, f"'{quoted(given)}' is not a time we know.", SECONDS_ADVICE)
        total, last = total + number * size, size
    return total
