"""Buying as the database holds it: suppliers, what they offer, and what was ordered of them.

Part of `stock.models`, from which everybody imports these.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.urls import reverse

from stock.models.materials import Material


class Supplier(models.Model):
    """Somebody who sells metal to the shop."""

    class Counts(models.TextChoices):
        CALENDAR = "calendar", "every day"
        WORKING = "working", "working days, Monday to Friday"

    name = models.CharField(max_length=80, unique=True)
    days_to_deliver = models.PositiveSmallIntegerField(default=7)
    counts = models.CharField(max_length=8, choices=Counts.choices, default=Counts.CALENDAR)
    delivery_cents = models.PositiveBigIntegerField(default=0)
    free_delivery_from_cents = models.PositiveBigIntegerField(null=True, blank=True)
    minimum_order_cents = models.PositiveBigIntegerField(default=0)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("name",)

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        """Where it is changed."""
        return reverse("stock:supplier-change", args=[self.pk])


class Offer(models.Model):
    """What a supplier sells of a material, in what size, at what price."""

    supplier = models.ForeignKey(Supplier, models.CASCADE, related_name="offers")
    material = models.ForeignKey(Material, models.CASCADE, related_name="offers")
    length_nm = models.PositiveBigIntegerField(default=0)  # bar, roll or sheet, each
    width_nm = models.PositiveBigIntegerField(default=0)  # sheet
    mass_ug = models.PositiveBigIntegerField(default=0)  # wire pack
    count = models.PositiveIntegerField(default=1)  # pieces in a pack
    price_cents = models.PositiveBigIntegerField()  # a pack, or a roll's length_nm
    from_packs = models.PositiveIntegerField(default=1)  # price break: from this many packs
    # A roll cut to order: sold in steps, from a least length on; nothing where it is not.
    step_nm = models.PositiveBigIntegerField(default=0)
    least_nm = models.PositiveBigIntegerField(default=0)
    is_current = models.BooleanField(default=True)

    class Meta:
        ordering = ("material", "price_cents")

    def get_absolute_url(self) -> str:
        """Where it is changed."""
        return reverse("stock:offer-change", args=[self.pk])

    @property
    def is_by_length(self) -> bool:
        """Whether it is cut to order, in steps, at a price for a length."""
        return self.step_nm > 0


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

    def get_absolute_url(self) -> str:
        """Its page."""
        return reverse("stock:purchase-detail", args=[self.pk])


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
