"""The books as the database holds them: metal set aside, the ledger's entries, what went back.

Part of `stock.models`, from which everybody imports these.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.urls import reverse

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

    def get_absolute_url(self) -> str:
        """Its page on the rack."""
        return reverse("stock:piece-detail", args=[self.mark])

    @property
    def free(self) -> int:
        """What is not promised, in the unit of the form."""
        return self.on_hand - self.set_aside

    @property
    def form(self) -> str:
        """The form of its material."""
        return self.material.form


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
