"""What the editor's buttons do to the rows of a layup as they were typed. Pure.

A row is what stands in its fields, sound or not, so that a button never loses a word. Rows are in
the order of the page: the top face first. It leaves out reading the fields
(`billets.layup_editor.forms`) and writing them down (`billets.layup_editor.writing`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

Row = Mapping[str, str]

MOST_LAYERS = 60
ACTS: tuple[str, ...] = ("add-row", "copy", "up", "down", "remove", "mirror")


@dataclass(frozen=True)
class Moved:
    """The rows after an act, and the place of the row that it was about (None: all of them)."""

    rows: tuple[Row, ...]
    place: int | None


def act_of(data: Mapping[str, str]) -> tuple[str, int] | None:
    """The button that was pressed, and the row it stands in.

    Args:
        data: the form as it was sent, one text a name.

    Returns:
        One of `ACTS` and a place counted from the top, 0 for the first; None when another button
        was pressed, or the place is no number.

    >>> act_of({"up": "2"})
    ('up', 2)
    """
    for act in ACTS:
        place = data.get(act, "")
        if place.isdecimal() and len(place) < 4:
            return act, int(place)
    return None


def acted(rows: Sequence[Row], *, act: str, place: int, new: Row) -> Moved:
    """The rows after a button was pressed.

    Args:
        rows: as typed, from the top face down.
        act: one of `ACTS`.
        place: the row that the button stands in, 0 at the top; a row that is not there changes
            nothing.
        new: what a row that is added holds when there is none to copy.

    Returns:
        The rows, at most `MOST_LAYERS`, and where the row went.
    """
    kept = list(rows)
    if act == "mirror":
        return Moved(tuple(mirrored(kept))[:MOST_LAYERS], None)
    if act == "add-row":
        kept.append(kept[-1] if kept else new)
        return Moved(tuple(kept)[:MOST_LAYERS], min(len(kept), MOST_LAYERS) - 1)
    if not 0 <= place < len(kept):
        return Moved(tuple(kept), None)
    if act == "copy":
        kept.insert(place + 1, kept[place])
        is_full = len(kept) > MOST_LAYERS
        return Moved(tuple(rows) if is_full else tuple(kept), place if is_full else place + 1)
    row = kept.pop(place)
    if act == "remove":
        return Moved(tuple(kept), min(place, len(kept) - 1) if kept else None)
    to = max(0, place - 1) if act == "up" else min(len(kept), place + 1)
    kept.insert(to, row)
    return Moved(tuple(kept), to)


def mirrored(rows: Sequence[Row]) -> list[Row]:
    """The rows made the same on both sides of the core.

    Args:
        rows: as typed, from the top face down.

    Returns:
        The longer side of the core (the lower one if they are alike) copied to the other side; a
        core that is there twice becomes one. Without a core the top row is taken as the middle.
    """
    if not rows:
        return []
    cores = [place for place, row in enumerate(rows) if row.get("role") == "core"] or [0]
    above, below = list(rows[: cores[0]]), list(rows[cores[-1] + 1 :])
    side = below if len(below) >= len(above) else above[::-1]
    return [*side[::-1], rows[cores[0]], *side]
