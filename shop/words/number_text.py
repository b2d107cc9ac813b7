"""Plain numbers as a shop types and reads them: 12.5 or 12,5. Pure.

Money is in `stock.quantities.amounts`; here are hours, watts, shares and rates.
"""

import re
from decimal import Decimal
from typing import Any

OTHER_MARK = {".": ",", ",": "."}
PLACES = 3
SPACES = " '’\u00a0\u202f"  # that group thousands in some languages


def ungrouped(value: Any, *, mark: str) -> Any:
    """Typed text with a point for the decimal mark and no marks for thousands.

    Args:
        value: what was typed; anything but text is left as it is.
        mark: the shop's decimal mark, "." or ",".

    Returns:
        Text for `Decimal`.

    Source:
        Our own rule, the same as for money (`stock.quantities.amounts.money_cents`).

    >>> ungrouped("1,250", mark="."), ungrouped("1,250", mark=",")
    ('1250', '1.250')
    """
    if not isinstance(value, str):
        return value
    text, group = value.strip(), re.escape(OTHER_MARK[mark]) + SPACES
    grouped = rf"[1-9][0-9]{{0,2}}([{group}])[0-9]{{3}}(\1[0-9]{{3}})*({re.escape(mark)}[0-9]+)?"
    if re.fullmatch(grouped, text):
        text = re.sub(rf"[{group}]", "", text)
    return text.replace(",", ".")


def plain(value: Decimal | float, *, places: int = PLACES, mark: str = ".") -> str:
    """A number as somebody would type it.

    Args:
        value: the number.
        places: most decimals, 0 or more; noughts at the end are left out.
        mark: the decimal mark.

    Returns:
        Digits; nothing for nothing.

    Source:
        Our own rule.

    >>> plain(Decimal("2.50")), plain(0)
    ('2.5', '')
    """
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "" if text in ("0", "-0") else text.replace(".", mark)
