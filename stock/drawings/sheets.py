"""A sheet, or the end of a roll, from above, with what is cut out of it and what is kept.

It leaves out what lies where (`stock.cutting`) and pieces drawn by their length alone
(`stock.drawings.pieces`).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from stock.drawings.shapes import (
    NARROWEST_PX,
    DrawingError,
    Rect,
    numbers_text,
    percent,
    rounded,
    text_percent,
)

LINE_PX = 14  # a line of words needs so much height


@dataclass(frozen=True)
class SheetPart:
    """A rectangle on a sheet: from the corner, across the width and along the length."""

    name: str
    across_nm: int
    along_nm: int
    width_nm: int
    length_nm: int


@dataclass(frozen=True)
class SheetName:
    """A name on a rectangle: its centre in per cent; `fits` says whether there is room."""

    text: str
    x: float
    y: float
    fits: bool


@dataclass(frozen=True)
class SheetLayout:
    """A sheet, or the end of a roll, from above; millimetres, its longer side across the page."""

    width_nm: int
    length_nm: int
    is_roll: bool
    is_turned: bool
    view_box: str
    sheet: Rect
    parts: tuple[Rect, ...]
    names: tuple[SheetName, ...]

    @property
    def names_beside(self) -> str:
        """Names without room in the drawing, from the left, with commas between them."""
        return ", ".join(name.text for name in self.names if name.text and not name.fits)


def sheet_layout(
    width_nm: int,
    length_nm: int,
    *,
    placed: Sequence[SheetPart],
    left: Sequence[SheetPart] = (),
    is_roll: bool = False,
) -> SheetLayout:
    """A sheet, or the part of a roll that is used, from above.

    Args:
        width_nm: across [nm], above 0; drawn from top to bottom, unless it is the longer side.
        length_nm: along [nm], above 0; drawn from left to right, unless it is the shorter side.
        placed: what is cut out of it.
        left: what goes back to the rack.
        is_roll: whether it goes on at the right, or underneath where it is turned.

    Returns:
        Rectangles in millimetres; what is neither cut out nor kept stays scrap.

    Raises:
        DrawingError: a size is not above 0, or a rectangle does not lie on the sheet.
    """
    if not (width_nm > 0 and length_nm > 0):
        raise DrawingError(
            f"A sheet of {width_nm / 1e6:g} × {length_nm / 1e6:g} mm cannot be drawn; "
            "give both sizes above 0.",
            width_nm=width_nm,
            length_nm=length_nm,
        )
    sheet = SheetPart("", 0, 0, width_nm, length_nm)
    for part in (*placed, *left):
        _check_on_sheet(part, sheet)
    is_turned = width_nm > length_nm
    if is_turned:
        sheet, placed, left = _turned(sheet), [*map(_turned, placed)], [*map(_turned, left)]
    return SheetLayout(
        width_nm=width_nm,
        length_nm=length_nm,
        is_roll=is_roll,
        is_turned=is_turned,
        view_box=numbers_text([0, 0, sheet.length_nm / 1e6, sheet.width_nm / 1e6]),
        sheet=_sheet_rect(sheet, "is-scrap"),
        parts=tuple(
            [_sheet_rect(part, "is-aside") for part in placed]
            + [_sheet_rect(part, "is-free") for part in left]
        ),
        names=tuple(_sheet_name(part, sheet) for part in (*placed, *left) if part.name),
    )


def _turned(part: SheetPart) -> SheetPart:
    """The same with the two directions exchanged, so that a narrow strip lies down."""
    return SheetPart(part.name, part.along_nm, part.across_nm, part.length_nm, part.width_nm)


def _check_on_sheet(part: SheetPart, sheet: SheetPart) -> None:
    is_inside = (
        min(part.across_nm, part.along_nm) >= 0
        and part.across_nm + part.width_nm <= sheet.width_nm
        and part.along_nm + part.length_nm <= sheet.length_nm
    )
    if not (is_inside and part.width_nm > 0 and part.length_nm > 0):
        raise DrawingError(
            f"'{part.name}' does not lie on its sheet of {sheet.width_nm / 1e6:g} × "
            f"{sheet.length_nm / 1e6:g} mm; plan the sheet again.",
            across_nm=part.across_nm,
            along_nm=part.along_nm,
        )


def _sheet_rect(part: SheetPart, kind: str) -> Rect:
    return Rect(
        rounded(part.along_nm / 1e6),
        rounded(part.across_nm / 1e6),
        rounded(part.length_nm / 1e6),
        rounded(part.width_nm / 1e6),
        kind,
        part.name,
    )


def _sheet_name(part: SheetPart, sheet: SheetPart) -> SheetName:
    """The name's centre; it fits when both its width and a line's height do, on a phone."""
    share = percent(part.length_nm, whole=sheet.length_nm)
    high_px = NARROWEST_PX * part.width_nm / sheet.length_nm
    return SheetName(
        text=part.name,
        x=percent(part.along_nm + part.length_nm / 2, whole=sheet.length_nm),
        y=percent(part.across_nm + part.width_nm / 2, whole=sheet.width_nm),
        fits=share > text_percent(part.name) and high_px > LINE_PX,
    )
