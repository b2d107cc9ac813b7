"""Why the books refuse something; each builds its own sentence.

LedgerError
├── NotEnough        more is asked of a piece than is free
├── NotStanding      a set-aside is cut or freed already
├── CannotUndo       a later act rests on this one
└── BadAmount        nothing, less than nothing, or not what this form is cut by
"""

from typing import Any


class LedgerError(ValueError):
    """The books refuse; nothing was written."""


class NotEnough(LedgerError):
    """More is asked of a piece than is free."""

    def __init__(self, *, piece: Any, asked: int, free: int, told: str) -> None:
        self.piece, self.asked, self.free = piece, asked, free
        super().__init__(told)


class NotStanding(LedgerError):
    """A set-aside is cut or freed already."""

    def __init__(self, *, set_aside: Any) -> None:
        self.set_aside = set_aside
        state = "cut" if set_aside.state == "cut" else "freed"
        super().__init__(
            f"{set_aside.label or 'This cut'} from {set_aside.piece.mark} is {state} already. "
            "Reload the page to see where it stands."
        )


class CannotUndo(LedgerError):
    """A later act rests on this one, or it is undone already."""


class BadAmount(LedgerError):
    """Nothing, less than nothing, or not what this form is cut by."""
