"""The metal as the database holds it: materials, pieces, entries, set-asides, purchases.

Amounts are whole numbers in the unit of the material's form: nanometres for bars and rolls,
square nanometres for sheets, micrograms for wire, pieces for counted things. `Piece.on_hand`,
`Piece.value_cents` and `Piece.set_aside` are kept by database triggers (migration 0002), never
by this code; `stock.ledger` is the only writer of entries and set-asides.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q, Sum
from django.db.models.functions import Coalesce

from stock.alloy_models import OwnAlloy as OwnAlloy
from stock.alloy_models import Saw as Saw
from stock.alloy_models import alloy_book as alloy_book
from stock.alloy_models import own_alloy as own_alloy


class Form(models.TextChoices):
    """How a material comes; it decides the unit of every amount of it."""

    FLAT = "flat", "flat bar"
    ROUND = "round", "round bar"
    ROLL = "roll", "roll"
    SHEET = "sheet", "sheet"
    WIRE = "wire", "wire"
    COUNTED = "counted", "counted"


LENGTH_FORMS = (Form.FLAT, Form.ROUND, Form.ROLL)
CUT_FORMS = (Form.FLAT, Form.ROUND, Form.ROLL, Form.SHEET)


class Supplier(models.Model):
    """Somebody who sells metal to the shop."""

    name = models.CharField(max_length=80, unique=True)
    days_to_deliver = models.PositiveSmallIntegerField(default=7)
    delivery_cents = models.PositiveBigIntegerField(default=0)
    free_delivery_from_cents = models.PositiveBigIntegerField(null=True, blank=True)
    minimum_order_cents = models.PositiveBigIntegerField(default=0)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("name",)

    def __str__(self) -> str:
        return self.name


class MaterialQuerySet(models.QuerySet["Material"]):
    """Materials read with what the rack holds of them."""

    def with_amounts(self) -> MaterialQuerySet:
        """Each with `on_hand_sum`, `set_aside_sum`, `value_sum` and `piece_count` (SQL sums).

        Sheets are left without an amount: their square nanometres may pass 64 bits in a sum.
        """
        standing = Q(pieces__on_hand__gt=0)
        countable = standing & ~Q(form=Form.SHEET)
        return self.annotate(
            on_hand_sum=Coalesce(Sum("pieces__on_hand", filter=countable), 0),
            set_aside_sum=Coalesce(Sum("pieces__set_aside", filter=countable), 0),
            value_sum=Coalesce(Sum("pieces__value_cents", filter=standing), 0),
            piece_count=models.Count("pieces", filter=standing),
        )


class Material(models.Model):
    """What can be bought again: an alloy in a form and a section, or a counted thing."""

    form = models.CharField(max_length=10, choices=Form.choices)
    alloy = models.CharField(max_length=40, blank=True)  # key in the book of alloys
    name = models.CharField(max_length=80, blank=True)  # for counted things; else optional
    thickness_nm = models.PositiveBigIntegerField(default=0)  # flat, roll, sheet
    width_nm = models.PositiveBigIntegerField(default=0)  # flat, roll
    diameter_nm = models.PositiveBigIntegerField(default=0)  # round, wire
    gauge = models.CharField(max_length=10, blank=True)  # table that "18 ga" refers to
    grain_matters = models.BooleanField(default=False)  # blanks may not be turned
    keep_from_nm = models.PositiveBigIntegerField(null=True, blank=True)  # else the shop's
    reorder_below = models.PositiveBigIntegerField(null=True, blank=True)  # in the form's unit
    is_retired = models.BooleanField(default=False)
    note = models.CharField(max_length=200, blank=True)

    objects = MaterialQuerySet.as_manager()

    class Meta:
        ordering = ("form", "alloy", "thickness_nm", "width_nm", "diameter_nm", "name")
        constraints = [
            models.UniqueConstraint(
                fields=("form", "alloy", "name", "thickness_nm", "width_nm", "diameter_nm"),
                name="material_once",
            )
        ]

    def __str__(self) -> str:
        return self.name or f"{self.alloy} {self.get_form_display()}"

    @property
    def is_cut(self) -> bool:
        """Whether blanks can be cut from it."""
        return self.form in CUT_FORMS

    @property
    def section_nm(self) -> tuple[int, ...]:
        """Section in the order that the trade says it: thickness, then width; or diameter."""
        sizes = (self.diameter_nm, self.thickness_nm, self.width_nm)
        return tuple(size for size in sizes if size)

    @property
    def area_nm2(self) -> int:
        """Cross-section of a bar, roll or wire [nm²]; 0 for a sheet or a counted thing."""
        if self.diameter_nm:
            return self.diameter_nm * self.diameter_nm * 355 // 452  # pi/4 to 1e-7
        return self.thickness_nm * self.width_nm


class Offer(models.Model):
    """What a supplier sells of a material, in what size, at what price."""

    supplier = models.ForeignKey(Supplier, models.CASCADE, related_name="offers")
    material = models.ForeignKey(Material, models.CASCADE, related_name="offers")
    length_nm = models.PositiveBigIntegerField(default=0)  # bar, roll or sheet, each
    width_nm = models.PositiveBigIntegerField(default=0)  # sheet
    mass_ug = models.PositiveBigIntegerField(default=0)  # wire pack
    count = models.PositiveIntegerField(default=1)  # pieces in a pack
    price_cents = models.PositiveBigIntegerField()  # a pack
    from_packs = models.PositiveIntegerField(default=1)  # price break: from this many packs
    is_current = models.BooleanField(default=True)

    class Meta:
        ordering = ("material", "price_cents")


class Purchase(models.Model):
    """One order with a supplier: drafted, ordered, received, or dropped."""

    class State(models.TextChoices):
        ORDERED = "ordered", "ordered"
        RECEIVED = "received", "received"
        DROPPED = "dropped", "dropped"

    supplier = models.ForeignKey(Supplier, models.PROTECT, related_name="purchases")
    state = models.CharField(max_length=10, choices=State.choices, default=State.RECEIVED)
    ordered_on = models.DateField(null=True, blank=True)
    due_on = models.DateField(null=True, blank=True)
    received_on = models.DateField(null=True, blank=True)
    delivery_cents = models.PositiveBigIntegerField(default=0)
    reference = models.CharField(max_length=60, blank=True)
    note = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")

    class Meta:
        ordering = ("-id",)


class PurchaseLine(models.Model):
    """So many like pieces of one material, at one price for the line."""

    purchase = models.ForeignKey(Purchase, models.CASCADE, related_name="lines")
    material = models.ForeignKey(Material, models.PROTECT, related_name="lines")
    count = models.PositiveIntegerField(default=1)  # pieces; counted things: how many
    length_nm = models.PositiveBigIntegerField(default=0)  # each
    width_nm = models.PositiveBigIntegerField(default=0)  # each, sheet
    mass_ug = models.PositiveBigIntegerField(default=0)  # each, wire
    price_cents = models.PositiveBigIntegerField()  # the whole line, without delivery
    delivery_share_cents = models.PositiveBigIntegerField(default=0)
    heat_lot = models.CharField(max_length=40, blank=True)

    class Meta:
        ordering = ("id",)


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
