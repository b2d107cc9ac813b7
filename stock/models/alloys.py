"""The shop's own alloys and saws as the database holds them.

Part of `stock.models`, from which everybody imports these.
"""

from __future__ import annotations

from django.db import models

from stock.alloys import book


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


class Saw(models.Model):
    """Something that parts metal; shears have no kerf."""

    name = models.CharField(max_length=60, unique=True)
    kerf_nm = models.PositiveBigIntegerField(default=0)
    is_usual = models.BooleanField(default=False)

    class Meta:
        ordering = ("-is_usual", "name")

    def __str__(self) -> str:
        return self.name


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
