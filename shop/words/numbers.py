"""Numbers with their words, for sentences. Pure."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any


def counted(number: int, word: str) -> str:
    """A number with its word.

    Args:
        number: 0 or more.
        word: in the singular; its plural takes an s.

    Returns:
        Such as "1 blank" or "3 blanks".

    >>> counted(3, "blank")
    '3 blanks'
    """
    return f"{number} {word}{'' if number == 1 else 's'}"


def verb(number: int, one: str, many: str) -> str:
    """The verb that goes with a number.

    Args:
        number: how many.
        one: for one, such as "is".
        many: for none or several, such as "are".

    Returns:
        One of the two.

    >>> verb(1, "is", "are")
    'is'
    """
    return one if number == 1 else many


OTHER_MARK = {".": ",", ",": "."}
PLACES = 3
SPACES = " '’\u00a0\u202f"  # that group thousands in some languages


def ungrouped(value: Any, *, mark: str) -> Any:
    """Typed text with a point for the decimal mark and no marks for thousands.

    Args:
        value: what was typed; anything but text is left as it is.
        mark: the shop's decimal mark, "." or ",".

    Returns:
        Text for `Decimal`.

    >>> ungrouped("1,250", mark="."), ungrouped("1,250", mark=",")
    ('1250', '1.250')
    """
    if not isinstance(value, str):
        return value
    text, group = value.strip(), re.escape(OTHER_MARK[mark]) + SPACES
    grouped = rf"[1-9][0-9]{{0,2}}([{group}])[0-9]{{3}}(\1[0-9]{{3}})*({re.escape(mark)}[0-9]+)?"
    if re.fullmatch(grouped, text):
        text = re.sub(rf"[{group}]", "", text)
    return text.replace(",", ".")


def plain(value: Decimal | float, *, places: int = PLACES, mark: str = ".") -> str:
    """A number as somebody would type it.

    Args:
        value: the number.
        places: most decimals, 0 or more; noughts at the end are left out.
        mark: the decimal mark.

    Returns:
        Digits; nothing for nothing.

    >>> plain(Decimal("2.50")), plain(0)
    ('2.5', '')
    """
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "" if text in ("0", "-0") else text.replace(".", mark)
