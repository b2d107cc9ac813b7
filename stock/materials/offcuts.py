"""Which offcuts of sheet are worth keeping, and what sheets count as beside a roll. Pure."""

KEEP_SHORT_SIDE = 4  # an offcut is kept if its short side is at least the keep length over this


def is_worth_keeping(width_nm: int, *, length_nm: int, keep_from_nm: int) -> bool:
    """Whether a rectangle of sheet goes back to the rack.

    Args:
        width_nm: one side [nm], above 0.
        length_nm: the other side [nm], above 0.
        keep_from_nm: shortest offcut that is kept of the material [nm].

    Returns:
        True when its long side reaches that, and its short side a quarter of it.

    Source:
        Common practice.

    >>> is_worth_keeping(25, length_nm=100, keep_from_nm=100)
    True
    """
    short, long = sorted((width_nm, length_nm))
    return long >= keep_from_nm and short * KEEP_SHORT_SIDE >= keep_from_nm


def roll_length_nm(area_nm2: int, *, width_nm: int) -> int:
    """The length of a roll that has as much metal as some sheets.

    Args:
        area_nm2: of the sheets together [nm²], 0 or above.
        width_nm: of the roll [nm], above 0.

    Returns:
        Length [nm], rounded down.

    Source:
        Area over width.

    >>> roll_length_nm(600, width_nm=150)
    4
    """
    return area_nm2 // width_nm
