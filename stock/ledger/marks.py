"""Marks for pieces and billets: short, unique, readable on steel in paint pen.

A piece has two letters and then digits (KT7, HM42), a billet one letter and then digits (K27,
H362), so that neither is taken for the other. The digits stand last: a bar that lies the wrong
way up shows them first, which no mark does. Which marks are taken is for the callers to know.

    MarkError (ValueError)    a typed mark that is none of ours, with the sentence for the user

The alphabet, by common practice in lettering by hand:

* no vowels, so that no mark is a word;
* of characters that are written alike only one: D of 0 O Q D, 7 of 1 I L 7, 2 of 2 Z, 3 of
  3 8 B E, 4 of 4 9 A, 6 of 6 9 G, M of M N W, Y of U V Y; none of 5 S, since 5 is also taken
  for 6 and 3.
"""

from collections.abc import Callable, Container

LETTERS = "CDFHJKMPRTXY"
DIGITS = "23467"
LONGEST_TYPED = 12  # characters of a typed mark that are looked at

# Places apart of one mark and the next, so that neighbours on the rack differ in every place.
# With 12 letters and 5 digits these keep the step without a common factor with the number of
# marks of a length, so each of them comes once.
_LETTER_STEPS = (5, 6)
_DIGIT_STEP, _LAST_DIGIT_STEP = 2, 1

_READ_AS = str.maketrans({"Z": "2", "O": "D", "Q": "D", "0": "D", "G": "6", "I": "7", "1": "7"})
_SKIPPED = str.maketrans("", "", " \t-._/#")


class MarkError(ValueError):
    """A typed mark that no piece and no billet can have.

    Attributes:
        given: the mark as it was typed.
    """

    def __init__(self, given: str) -> None:
        printable = "".join(c for c in given[:LONGEST_TYPED] if c.isprintable()).strip()
        super().__init__(
            f"'{printable}' is not a mark. A piece's mark is two letters and digits, such as KT7; "
            "a billet's is one letter and digits, such as K27."
        )
        self.given = given


def piece_mark(number: int) -> str:
    """The mark of the piece with this running number.

    Args:
        number: counter from 1; each number has a mark of its own.

    Returns:
        Three characters for the first 720, four up to 4320, then one more digit at a time.

    Raises:
        ValueError: the number is below 1.

    >>> piece_mark(1), piece_mark(2)
    ('CC2', 'KM3')
    """
    return _mark(number, letters=2, digits=1)


def billet_mark(number: int) -> str:
    """The mark of the billet with this running number.

    Args:
        number: counter from 1; each number has a mark of its own.

    Returns:
        Three characters for the first 300, four up to 1800, then one more digit at a time.

    Raises:
        ValueError: the number is below 1.

    >>> billet_mark(1), billet_mark(2)
    ('C22', 'M43')
    """
    return _mark(number, letters=1, digits=2)


def _mark(number: int, *, letters: int, digits: int) -> str:
    """The mark of a running number, in the shortest length that still has one for it."""
    if number < 1:
        raise ValueError(f"number is {number}; marks are counted from 1.")
    at = number - 1
    while at >= len(LETTERS) ** letters * len(DIGITS) ** digits:
        at -= len(LETTERS) ** letters * len(DIGITS) ** digits
        digits += 1
    return _spelt(at, letters=letters, digits=digits)


def _spelt(at: int, *, letters: int, digits: int) -> str:
    """The mark at a place in the row of all marks of its length, in well mixed order."""
    alphabets = [LETTERS] * letters + [DIGITS] * digits
    steps = [*_LETTER_STEPS[-letters:], *[_DIGIT_STEP] * (digits - 1), _LAST_DIGIT_STEP]
    marks, step = 1, 0
    for alphabet, places in zip(alphabets, steps, strict=True):
        marks, step = marks * len(alphabet), step * len(alphabet) + places
    place, spelt = at * step % marks, ""
    for alphabet in reversed(alphabets):
        place, index = divmod(place, len(alphabet))
        spelt = alphabet[index] + spelt
    return spelt


def next_mark(
    taken: Container[str], *, number: int, mark_of: Callable[[int], str] = piece_mark
) -> str:
    """The first mark from a running number on that is not taken.

    Args:
        taken: the marks in use.
        number: counter to start from, 1 or above; the same counter gives the same mark.
        mark_of: `piece_mark` or `billet_mark`.

    Returns:
        A mark that is not in `taken`.

    Raises:
        ValueError: the number is below 1.

    >>> next_mark({"CC2"}, number=1)
    'KM3'
    """
    while (mark := mark_of(number)) in taken:
        number += 1
    return mark


def typed_mark(text: str) -> str:
    """A mark as somebody typed it, in the form that the books have it.

    Lower case, spaces, dashes and characters that look like one of ours are put right: `kt-7`,
    `K T 7` and `ktI` are all KT7. Whether there is such a piece is for the caller to look up.

    Args:
        text: what was typed.

    Returns:
        One or two letters and then digits.

    Raises:
        MarkError: no mark can look like this.

    >>> typed_mark(" kt-7 ")
    'KT7'
    """
    plain = text[: LONGEST_TYPED + 1].upper().translate(_SKIPPED).translate(_READ_AS)
    digits = plain.lstrip(LETTERS)
    letters = len(plain) - len(digits)
    is_piece, is_billet = letters == 2 and len(digits) >= 1, letters == 1 and len(digits) >= 2
    is_short = len(text) <= LONGEST_TYPED
    if not is_short or digits.strip(DIGITS) or not (is_piece or is_billet):
        raise MarkError(text)
    return plain
