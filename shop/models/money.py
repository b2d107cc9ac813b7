"""Money as the database holds it: dated rates, the terms of a class, what was paid for a seat.

Part of `shop.models`, from which everybody imports these.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.conf import settings
from django.db import models

if TYPE_CHECKING:
    from shop.models.classes import ForgeClass


class RateSheet(models.Model):
    """What the shop pays from one day on, until the next begins (`shop.costing.rate_values`)."""

    from_date = models.DateField(unique=True)
    values = models.JSONField(default=dict)
    note = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ("-from_date",)


class ClassTermsQuerySet(models.QuerySet["ClassTerms"]):
    """Terms read by their class."""

    def of(self, forge_class: ForgeClass) -> ClassTerms:
        """The terms of a class; empty ones, unsaved, when none are written down."""
        found = self.filter(forge_class=forge_class).first()
        return found or ClassTerms(forge_class=forge_class)


class ClassTerms(models.Model):
    """The money of one class: fee, deposit, what it costs whoever comes; and what it really was."""

    forge_class = models.OneToOneField("shop.ForgeClass", models.CASCADE, related_name="terms")
    fee_cents = models.PositiveBigIntegerField(default=0)  # without tax
    deposit_cents = models.PositiveBigIntegerField(default=0)
    margin_bp = models.PositiveIntegerField(default=3000)  # wanted
    place_cents = models.PositiveBigIntegerField(default=0)
    helper_cents = models.PositiveBigIntegerField(default=0)
    other_cents = models.PositiveBigIntegerField(default=0)
    prepare_minutes = models.PositiveIntegerField(default=0)  # beside the billets
    teach_minutes = models.PositiveIntegerField(default=0)
    seat_cents = models.PositiveBigIntegerField(default=0)  # food, handouts: each seat
    refund_rule = models.JSONField(default=list)  # [days before, basis points back], …
    confidence_percent = models.PositiveSmallIntegerField(default=90)
    real = models.JSONField(default=dict)  # the same names, as they came out
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    objects = ClassTermsQuerySet.as_manager()


class SeatPayment(models.Model):
    """Money that changed hands for a seat. Only ever added; a mistake is undone by a second row."""

    class Kind(models.TextChoices):
        DEPOSIT = "deposit", "deposit"
        BALANCE = "balance", "balance"
        REFUND = "refund", "refund"

    seat = models.ForeignKey("shop.Seat", models.PROTECT, related_name="payments")
    who = models.CharField(max_length=100, blank=True)  # the student's name on that day
    day = models.DateField()
    kind = models.CharField(max_length=8, choices=Kind.choices)
    cents = models.PositiveBigIntegerField()
    note = models.CharField(max_length=200, blank=True)
    undoes = models.OneToOneField("self", models.PROTECT, null=True, related_name="undone_by")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ("id",)
