"""A sheet as a small picture: what is free, what is set aside, what is cut out already.

Numbers for an SVG in drawn pixels; sheets of one page share a scale.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from stock.models import Piece, SetAside

WIDEST_PX = 220  # the longest sheet of the page
LEAST_PX = 12  # a narrow offcut stays visible; its size stands beside it


@dataclass(frozen=True)
class Patch:
    """One rectangle of a picture, in drawn pixels."""

    x: float
    y: float
    width: float
    height: float
    kind: str  # class of the fill


@dataclass(frozen=True)
class SheetPicture:
    """A sheet from above: length from left to right, width from top to bottom."""

    width_px: float
    height_px: float
    length_nm: int
    width_nm: int
    is_part_cut: bool
    patches: tuple[Patch, ...]


def sheet_picture(piece: Piece, *, rows: Sequence[SetAside], longest_nm: int) -> SheetPicture:
    """The picture of one sheet.

    Args:
        piece: the sheet.
        rows: what stands set aside on it or was cut out of it by a plan; scrap cut by hand has
            no place and is left out.
        longest_nm: length of the longest sheet on the page [nm].
    """
    scale = WIDEST_PX / max(longest_nm, 1)
    width_px = max(piece.length_nm * scale, LEAST_PX)
    height_px = max(piece.width_nm * scale, LEAST_PX)
    across = height_px / max(piece.width_nm, 1)
    along = width_px / max(piece.length_nm, 1)
    patches = [Patch(0, 0, round(width_px, 1), round(height_px, 1), "is-free")]
    patches += [
        Patch(
            x=round(row.y_nm * along, 1),
            y=round(row.x_nm * across, 1),
            width=round(row.length_nm * along, 1),
            height=round(row.width_nm * across, 1),
            kind="is-aside" if row.state == SetAside.State.STANDING else "is-gone",
        )
        for row in rows
        if row.kind != SetAside.Kind.STRIP
    ]
    return SheetPicture(
        width_px=round(width_px, 1),
        height_px=round(height_px, 1),
        length_nm=piece.length_nm,
        width_nm=piece.width_nm,
        is_part_cut=piece.on_hand != piece.length_nm * piece.width_nm,
        patches=tuple(patches),
    )
