"""The books as the database holds them: metal set aside, the ledger's entries, what went back.

Part of `stock.models`, from which everybody imports these.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from stock.models.pieces import Piece
from stock.models.purchases import PurchaseLine


class SetAside(models.Model):
    """Metal promised to one cut of a plan and not cut yet (`standing`), then cut or freed.

    A `strip` is the length to take off a roll; its blanks are children with no amount of their
    own until the strip is a piece. A `rest` is what a plan leaves of a strip, a sheet or a short
    bar end: to the rack with a mark of its own, or scrap.
    """

    class Kind(models.TextChoices):
        BLANK = "blank", "blank"
        STRIP = "strip", "strip"
        REST = "rest", "rest"

    class State(models.TextChoices):
        STANDING = "standing", "standing"
        CUT = "cut", "cut"
        FREED = "freed", "freed"

    class Freed(models.TextChoices):
        PLAN = "plan", "the plan was changed"
        FAILED = "failed", "the billet failed"
        OVER = "over", "the class was over"
        UNDONE = "undone", "the cut was taken back"

    piece = models.ForeignKey(Piece, models.PROTECT, related_name="set_asides")
    kind = models.CharField(max_length=6, choices=Kind.choices, default=Kind.BLANK)
    state = models.CharField(max_length=8, choices=State.choices, default=State.STANDING)
    parent = models.ForeignKey("self", models.PROTECT, null=True, related_name="children")
    amount = models.BigIntegerField()  # with kerf; 0 while its strip is still on the roll
    kerf_nm = models.PositiveBigIntegerField(default=0)
    length_nm = models.PositiveBigIntegerField(default=0)
    width_nm = models.PositiveBigIntegerField(default=0)
    x_nm = models.PositiveBigIntegerField(default=0)
    y_nm = models.PositiveBigIntegerField(default=0)
    is_kept = models.BooleanField(default=False)  # a rest that goes back to the rack
    position = models.PositiveIntegerField(default=0)  # order of cutting on this piece
    job = models.CharField(max_length=40, db_index=True)  # "billet:12", opaque on this floor
    plan = models.CharField(max_length=40, db_index=True)  # "class:3", who freed all frees by
    label = models.CharField(max_length=80, blank=True)  # what to paint on the blank
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    freed_at = models.DateTimeField(null=True)
    freed_why = models.CharField(max_length=8, choices=Freed.choices, blank=True)

    class Meta:
        ordering = ("piece", "position", "id")
        constraints = [
            models.CheckConstraint(condition=Q(amount__gte=0), name="set_aside_not_negative")
        ]
        indexes = [models.Index(fields=("piece", "state"))]


class Entry(models.Model):
    """One line in the ledger. Only ever added: the database refuses update and delete."""

    class Kind(models.TextChoices):
        RECEIVED = "received", "received"
        BLANK = "blank", "cut for a blank"
        KERF = "kerf", "kerf"
        SCRAP = "scrap", "scrap"
        PARTED = "parted", "parted"  # from one piece to another: the sum is nought
        COUNTED = "counted", "counted"
        USED = "used", "used"  # wire into a seam, a counted thing into a job
        MADE = "made", "made here"
        RETURNED = "returned", "sent back"

    act = models.UUIDField(db_index=True)  # entries written in one act share it
    piece = models.ForeignKey(Piece, models.PROTECT, related_name="entries")
    kind = models.CharField(max_length=10, choices=Kind.choices)
    amount = models.BigIntegerField()
    value_cents = models.BigIntegerField(default=0)
    job = models.CharField(max_length=40, blank=True, db_index=True)
    set_aside = models.ForeignKey(SetAside, models.PROTECT, null=True, related_name="entries")
    corrects = models.OneToOneField("self", models.PROTECT, null=True, related_name="corrected_by")
    why = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(db_index=True)

    class Meta:
        ordering = ("-id",)


class SentBack(models.Model):
    """Metal that went back to its supplier and what was credited for it. Only ever added.

    It counts for as long as its act in the ledger is not undone.
    """

    act = models.UUIDField(unique=True)  # the ledger's
    piece = models.ForeignKey(Piece, models.PROTECT, related_name="sent_back")
    line = models.ForeignKey(PurchaseLine, models.PROTECT, related_name="sent_back")
    day = models.DateField()
    credit_cents = models.PositiveBigIntegerField(default=0)  # may differ from its value
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ("-id",)
