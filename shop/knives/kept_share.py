"""Keeps what a sold knife carries of its billet, for `shop.knives.writing`."""

from __future__ import annotations

from billets.models import Billet
from shop.knives.cost import share_now
from shop.models import Knife


def freeze_sold(billet: Billet | None) -> None:
    """Before the shares of a billet change, keep what its sold knives carry.

    Those that were sold before shares were kept get theirs here.
    """
    rows = Knife.objects.filter(billet=billet).exclude(billet=None).exclude(sold_on=None)
    for knife in rows.filter(sold_share_cents=None).order_by("pk"):
        freeze(knife)


def freeze(knife: Knife) -> None:
    """Keep what a knife carries of its billet, and the length that it rests on."""
    share = share_now(knife)
    if share is not None:
        knife.sold_share_cents, knife.sold_share_nm = share.cents, share.length_nm
        knife.save(update_fields=["sold_share_cents", "sold_share_nm"])
