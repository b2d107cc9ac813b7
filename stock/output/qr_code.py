"""QR codes as one SVG path, for labels and sheets that a phone opens a page from. Pure.

It leaves out what is encoded: an address is the caller's to know.

    QrError (ValueError)    text that no code can hold, with the sentence for the user
"""

from dataclasses import dataclass
from itertools import groupby

import segno

QUIET_ZONE = 4  # modules of white around the code; ISO/IEC 18004, from memory
LONGEST = 300  # characters; a longer address makes squares too small for a dirty sheet


class QrError(ValueError):
    """Text that no code can hold. `given` is the text."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"A code holds 1 to {LONGEST} characters and was given {len(given)}. "
            "Use a shorter address."
        )


@dataclass(frozen=True)
class QrCode:
    """A code in modules: `size` is its side with the quiet zone, `d` the dark squares."""

    text: str
    size: int
    d: str

    @property
    def view_box(self) -> str:
        """View box of an SVG that shows all of it, white border included."""
        return f"0 0 {self.size} {self.size}"


def qr_code(text: str, *, error: str = "m") -> QrCode:
    """A text as a QR code.

    Args:
        text: what a phone reads, 1 to 300 characters.
        error: how much dirt it stands: "l" 7 %, "m" 15 %, "q" 25 %, "h" 30 % of the code.

    Returns:
        The code as a filled SVG path with its quiet zone; the same text gives the same path.

    Raises:
        QrError: the text is empty or too long.

    Source:
        ISO/IEC 18004 as made by segno; a full QR code, never a Micro one, for old phones.
    """
    if not 0 < len(text) <= LONGEST:
        raise QrError(text)
    made = segno.make(text, error=error, micro=False, boost_error=True)
    rows = tuple(tuple(bool(module) for module in row) for row in made.matrix)
    return QrCode(text, len(rows) + 2 * QUIET_ZONE, _path(rows))


def _path(rows: tuple[tuple[bool, ...], ...]) -> str:
    """Every run of dark modules in a row as one rectangle."""
    steps: list[str] = []
    for y, row in enumerate(rows, start=QUIET_ZONE):
        x = QUIET_ZONE
        for is_dark, run in groupby(row):
            wide = len(list(run))
            if is_dark:
                steps.append(f"M{x} {y}h{wide}v1h-{wide}z")
            x += wide
    return "".join(steps)
