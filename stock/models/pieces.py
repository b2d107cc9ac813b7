"""Pieces as the database holds them: each thing with a mark, where it lies and what is left of it.

Part of `stock.models`, from which everybody imports these.
"""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from stock.models.materials import Material
from stock.models.purchases import PurchaseLine


class PieceQuerySet(models.QuerySet["Piece"]):
    """Pieces read by where they stand."""

    def standing(self) -> PieceQuerySet:
        """Those of which something is left."""
        return self.filter(on_hand__gt=0)

    def free(self) -> PieceQuerySet:
        """Those of which something is not promised."""
        return self.filter(on_hand__gt=F("set_aside"))


class Piece(models.Model):
    """One physical thing with a mark on it: a bar, a roll, an offcut, a spool, a box."""

    mark = models.CharField(max_length=8, unique=True)
    material = models.ForeignKey(Material, models.PROTECT, related_name="pieces")
    length_nm = models.PositiveBigIntegerField(default=0)  # when it came; sheet: along
    width_nm = models.PositiveBigIntegerField(default=0)  # sheet: across
    line = models.ForeignKey(PurchaseLine, models.PROTECT, null=True, related_name="pieces")
    cut_from = models.ForeignKey("self", models.PROTECT, null=True, related_name="offcuts")
    made_by = models.CharField(max_length=40, blank=True, db_index=True)  # job that made it
    heat_lot = models.CharField(max_length=40, blank=True)
    place = models.CharField(max_length=40, blank=True)
    note = models.CharField(max_length=200, blank=True)
    born_at = models.DateTimeField()

    # Kept by triggers from the entries and the set-asides; the checks are the last defence.
    on_hand = models.BigIntegerField(default=0)
    value_cents = models.BigIntegerField(default=0)
    set_aside = models.BigIntegerField(default=0)

    objects = PieceQuerySet.as_manager()

    class Meta:
        ordering = ("material", "-on_hand", "mark")
        constraints = [
            models.CheckConstraint(condition=Q(on_hand__gte=0), name="piece_on_hand_not_negative"),
            models.CheckConstraint(condition=Q(set_aside__gte=0), name="piece_aside_not_negative"),
            models.CheckConstraint(
                condition=Q(on_hand__gte=F("set_aside")), name="piece_free_not_negative"
            ),
            models.CheckConstraint(
                condition=Q(value_cents__gte=0), name="piece_value_not_negative"
            ),
            models.CheckConstraint(
                condition=Q(on_hand__gt=0) | Q(value_cents=0), name="piece_gone_is_worth_nothing"
            ),
        ]

    def __str__(self) -> str:
        return self.mark

    @property
    def free(self) -> int:
        """What is not promised, in the unit of the form."""
        return self.on_hand - self.set_aside

    @property
    def form(self) -> str:
        """The form of its material."""
        return self.material.form
