"""Numbers with their words, for sentences. Pure."""

from __future__ import annotations


def counted(number: int, word: str) -> str:
    """A number with its word.

    Args:
        number: 0 or more.
        word: in the singular; its plural takes an s.

    Returns:
        Such as "1 blank" or "3 blanks".

    Source:
        English.

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

    Source:
        English.

    >>> verb(1, "is", "are")
    'is'
    """
    return one if number == 1 else many
