"""Like blanks laid on one sheet, or on the end of one roll, by hand: rows of them, side by side.

Pure. For a billet that is planned without a class, where somebody has chosen the piece; it does
not look for the best layout over all pieces, as `stock.cutting` does.
"""

from dataclasses import dataclass

from stock.materials import matching


@dataclass(frozen=True)
class Part:
    """A rectangle on the stock: its corner, its size across and along [nm]."""

    x_nm: int
    y_nm: int
    width_nm: int
    length_nm: int

    @property
    def area_nm2(self) -> int:
        """Its area."""
        return self.width_nm * self.length_nm


@dataclass(frozen=True)
class Sheared:
    """Blanks on a stretch of stock that is `used_nm` long, and what is left of that stretch."""

    used_nm: int
    blanks: tuple[Part, ...]
    rests: tuple[Part, ...]


def sheared(
    count: int,
    *,
    width_nm: int,
    length_nm: int,
    stock_width_nm: int,
    stock_length_nm: int,
    may_turn: bool,
) -> Sheared | None:
    """So many like blanks in rows from the end of a sheet or a roll.

    Args:
        count: blanks, 1 or more.
        width_nm: of a blank [nm], above 0.
        length_nm: of a blank [nm], above 0.
        stock_width_nm: across the sheet or roll [nm].
        stock_length_nm: along it [nm].
        may_turn: whether a blank may lie across; otherwise its length runs along the stock.

    Returns:
        The layout that takes the least length of the stock, blanks and rests together being all
        of that stretch; None when the blanks do not fit.

    Source:
        Rows of rectangles; shears have no kerf (common practice).
    """
    ways = [(width_nm, length_nm), (length_nm, width_nm)][: 2 if may_turn else 1]
    found = [
        in_rows(count, across_nm=across, along_nm=along, stock_width_nm=stock_width_nm)
        for across, along in ways
        if across <= stock_width_nm
    ]
    fitting = [one for one in found if one.used_nm <= stock_length_nm]
    return min(fitting, key=lambda one: one.used_nm, default=None)


def in_rows(count: int, *, across_nm: int, along_nm: int, stock_width_nm: int) -> Sheared:
    """Blanks side by side, row after row.

    Args:
        count: blanks, 1 or more.
        across_nm: size of a blank across the stock [nm], above 0, at most the stock's width.
        along_nm: size along it [nm], above 0.
        stock_width_nm: across the stock [nm].

    Returns:
        The rows, and the rectangles beside them.
    """
    in_row = stock_width_nm // across_nm
    rows = -(-count // in_row)
    blanks = tuple(
        Part(number % in_row * across_nm, number // in_row * along_nm, across_nm, along_nm)
        for number in range(count)
    )
    last = count - (rows - 1) * in_row
    full_nm, top_nm = in_row * across_nm, (rows - 1) * along_nm
    rests = (
        Part(full_nm, 0, stock_width_nm - full_nm, top_nm),
        Part(last * across_nm, top_nm, stock_width_nm - last * across_nm, along_nm),
    )
    return Sheared(rows * along_nm, blanks, tuple(one for one in rests if one.area_nm2))


def is_kept(part: Part, *, keep_from_nm: int) -> bool:
    """Whether an offcut goes back to the rack.

    Args:
        part: the offcut.
        keep_from_nm: shortest offcut that is kept [nm].

    Returns:
        True when its long side reaches that, and its short side a quarter of it.

    Source:
        Common practice.
    """
    return matching.is_worth_keeping(
        part.width_nm, length_nm=part.length_nm, keep_from_nm=keep_from_nm
    )
