"""Care notes for a knife that nobody has written any for."""

from __future__ import annotations

from billets.models import Billet
from stock.models import alloy_book

REDDISH = ("copper", "bronze", "brass")
CARE = (
    "Wash by hand and dry at once. Oil the blade when it is put away. Copper and steel both turn "
    "darker with use; that is no fault."
)
STEEL_CARE = (
    "Wash by hand and dry at once. Oil the blade when it is put away. Steel turns darker with use; "
    "that is no fault."
)


def usual_care(billet: Billet | None) -> str:
    """Care notes that nobody has changed: they speak of copper where the blade has some."""
    book = alloy_book()
    layers = billet.design().layers if billet else ()
    is_copper = any(one.alloy in book and book[one.alloy].family in REDDISH for one in layers)
    return CARE if is_copper else STEEL_CARE
