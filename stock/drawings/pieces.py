"""Pieces as drawn by their length: bars on the rack, and the cuts of one bar.

Lengths to one scale in per cent of the widest drawing, so that a template needs no sums and a
drawing no fixed size. It leaves out which piece gives what (`stock.cutting`) and sheets from
above (`stock.drawings.sheets`).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from stock.drawings.shapes import DrawingError, Rect, percent, rounded, text_percent

ROOM_PERCENT = 2.0  # air beside a word in a part
BAR_HEIGHT_PX = 20.0


@dataclass(frozen=True)
class PieceSize:
    """A piece on the rack: its mark, its length, and the lengths set aside from its end."""

    mark: str
    length_nm: int
    aside_nm: tuple[int, ...] = ()


@dataclass(frozen=True)
class PieceBar:
    """One piece, drawn: parts in per cent of the longest."""

    mark: str
    length_nm: int
    aside_nm: int
    free_nm: int
    parts: tuple[Rect, ...]


@dataclass(frozen=True)
class PieceBars:
    """Pieces to one scale; the longest takes the whole width."""

    longest_nm: int
    bars: tuple[PieceBar, ...]


@dataclass(frozen=True)
class Cut:
    """A piece to be cut, with the mark of what it is for."""

    mark: str
    length_nm: int


@dataclass(frozen=True)
class CutRow:
    """One cut in words: its length, and where the saw goes, from the painted end."""

    number: int
    mark: str
    length_nm: int
    from_nm: int
    to_nm: int
    centre: float
    fits: str  # what there is room for in the drawing: "mark", "number" or nothing


@dataclass(frozen=True)
class BarCuts:
    """A bar with its cuts in order, in per cent of `scale_nm`, and what is left of it."""

    length_nm: int
    scale_nm: int
    kerf_nm: int
    rest_nm: int
    is_rest_kept: bool
    parts: tuple[Rect, ...]
    rows: tuple[CutRow, ...]


def piece_bars(pieces: Sequence[PieceSize], *, longest_nm: int = 0) -> PieceBars:
    """Pieces of the rack as bars to one scale, set-aside parts first.

    Args:
        pieces: what lies there; lengths [nm], 0 or more.
        longest_nm: the length that fills the width [nm]; 0: the longest piece.

    Returns:
        One bar a piece, in the same order; none when there are no pieces.

    Raises:
        DrawingError: more is set aside than a piece has.
    """
    longest_nm = max([longest_nm, 1, *(piece.length_nm for piece in pieces)])
    return PieceBars(longest_nm, tuple(_piece_bar(piece, longest_nm) for piece in pieces))


def bar_cuts(
    length_nm: int,
    cuts: Sequence[Cut],
    *,
    kerf_nm: int,
    keep_from_nm: int,
    scale_nm: int = 0,
) -> BarCuts:
    """A bar with its cuts, where the saw goes, and what is left.

    Args:
        length_nm: length of the bar [nm], above 0.
        cuts: pieces in the order they are sawn, from the painted end.
        kerf_nm: width of the saw's cut [nm], 0 or more; the last cut may run out of the bar.
        keep_from_nm: a rest at least this long [nm] is kept, a shorter one is scrap.
        scale_nm: the length that fills the drawing's width [nm]; 0: this bar.

    Returns:
        Parts and rows.

    Raises:
        DrawingError: the pieces with their kerfs are longer than the bar.
    """
    scale_nm = max(scale_nm, length_nm)
    parts: list[Rect] = []
    rows: list[CutRow] = []
    at_nm = 0
    for number, cut in enumerate(cuts, start=1):
        end_nm = at_nm + cut.length_nm
        if end_nm > length_nm:
            raise DrawingError(
                f"The cuts up to {cut.mark} need {end_nm / 1e6:g} mm with their kerfs; the bar "
                f"has {length_nm / 1e6:g} mm. Choose a longer bar or fewer pieces.",
                needed_nm=end_nm,
                length_nm=length_nm,
            )
        part = _along(at_nm, end_nm, scale_nm, "is-aside", cut.mark)
        parts.append(part)
        rows.append(_cut_row(number, cut, at_nm, end_nm, part))
        at_nm = min(length_nm, end_nm + kerf_nm)
    rest_nm = length_nm - at_nm
    is_kept = rest_nm >= max(keep_from_nm, 1)
    if rest_nm:
        parts.append(_along(at_nm, length_nm, scale_nm, "is-free" if is_kept else "is-scrap", ""))
    return BarCuts(length_nm, scale_nm, kerf_nm, rest_nm, is_kept, tuple(parts), tuple(rows))


def _piece_bar(piece: PieceSize, longest_nm: int) -> PieceBar:
    aside_nm = sum(piece.aside_nm)
    if aside_nm > piece.length_nm:
        raise DrawingError(
            f"{piece.mark} has {piece.length_nm / 1e6:g} mm and {aside_nm / 1e6:g} mm of it set "
            "aside; count the piece.",
            length_nm=piece.length_nm,
            aside_nm=aside_nm,
        )
    parts, at_nm = [], 0
    for part_nm in piece.aside_nm:
        parts.append(_along(at_nm, at_nm + part_nm, longest_nm, "is-aside", ""))
        at_nm += part_nm
    free_nm = piece.length_nm - aside_nm
    if free_nm:
        parts.append(_along(at_nm, piece.length_nm, longest_nm, "is-free", ""))
    return PieceBar(piece.mark, piece.length_nm, aside_nm, free_nm, tuple(parts))


def _along(from_nm: int, to_nm: int, scale_nm: int, kind: str, name: str) -> Rect:
    x = percent(from_nm, whole=scale_nm)
    width = rounded(percent(to_nm, whole=scale_nm) - x)
    return Rect(x, 0.0, width, BAR_HEIGHT_PX, kind, name)


def _cut_row(number: int, cut: Cut, from_nm: int, to_nm: int, part: Rect) -> CutRow:
    return CutRow(
        number=number,
        mark=cut.mark,
        length_nm=cut.length_nm,
        from_nm=from_nm,
        to_nm=to_nm,
        centre=rounded(part.x + part.width / 2),
        fits=_that_fits(part.width, cut.mark, number),
    )


def _that_fits(width: float, mark: str, number: int) -> str:
    if width > text_percent(mark) + ROOM_PERCENT:
        return "mark"
    return "number" if width > text_percent(str(number)) + ROOM_PERCENT / 2 else ""
