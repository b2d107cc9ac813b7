"""Materials as the database holds them: what can be bought again, in which form and section.

Part of `stock.models`, from which everybody imports these.
"""

from __future__ import annotations

from django.db import models
from django.db.models import Q, Sum
from django.db.models.functions import Coalesce
from django.urls import reverse

from stock.alloys import book


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

    def get_absolute_url(self) -> str:
        """Where it is changed."""
        return reverse("stock:material-change", args=[self.pk])

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


class OwnAlloy(models.Model):
    """An alloy that this shop has added; its figures are marked as the shop's."""

    key = models.SlugField(max_length=40, unique=True)
    name = models.CharField(max_length=80)
    family = models.CharField(max_length=20)
    hardens = models.BooleanField(default=False)
    density_kg_m3 = models.PositiveIntegerField(default=7850)
    solidus_c = models.PositiveIntegerField(null=True, blank=True)
    liquidus_c = models.PositiveIntegerField(null=True, blank=True)
    forge_max_c = models.PositiveIntegerField(null=True, blank=True)
    forge_min_c = models.PositiveIntegerField(null=True, blank=True)
    austenitise_low_c = models.PositiveIntegerField(null=True, blank=True)
    austenitise_high_c = models.PositiveIntegerField(null=True, blank=True)
    made_of = models.CharField(max_length=200, blank=True)  # alloy keys, for a bar made here
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("name",)

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        """Where it is changed."""
        return reverse("stock:alloy-change", args=[self.pk])


class Saw(models.Model):
    """Something that parts metal; shears have no kerf."""

    name = models.CharField(max_length=60, unique=True)
    kerf_nm = models.PositiveBigIntegerField(default=0)
    is_usual = models.BooleanField(default=False)

    class Meta:
        ordering = ("-is_usual", "name")

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        """Where it is changed."""
        return reverse("stock:saw-change", args=[self.pk])


def alloy_book() -> book.Book:
    """The published alloys together with the shop's own."""
    own = [own_alloy(row) for row in OwnAlloy.objects.all()]
    return book.merged(own)


def own_alloy(row: OwnAlloy) -> book.Alloy:
    """One of the shop's alloys as the pure floor knows it."""
    return book.shop_alloy(
        key=row.key,
        name=row.name,
        family=row.family,
        hardens=row.hardens,
        density_kg_m3=row.density_kg_m3,
        solidus_c=row.solidus_c,
        liquidus_c=row.liquidus_c,
        forge_max_c=row.forge_max_c,
        forge_min_c=row.forge_min_c,
        austenitise_low_c=row.austenitise_low_c,
        austenitise_high_c=row.austenitise_high_c,
        note=row.note,
    )
