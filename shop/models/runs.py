"""Sums that run for a while as the database holds them: cut plans, and ways to buy.

Part of `shop.models`, from which everybody imports these.
"""

from __future__ import annotations

from django.db import models

from shop.models.classes import ForgeClass
from shop.models.people import Person


class PlanRun(models.Model):
    """One computing of a class's cut plan: running, ready to confirm, confirmed, or let go."""

    class State(models.TextChoices):
        RUNNING = "running", "running"
        READY = "ready", "ready"
        CONFIRMED = "confirmed", "confirmed"
        STALE = "stale", "out of date"
        FAILED = "failed", "failed"

    forge_class = models.ForeignKey(ForgeClass, models.CASCADE, related_name="runs")
    state = models.CharField(max_length=10, choices=State.choices, default=State.RUNNING)
    progress = models.JSONField(default=dict)  # best so far, gap, what it is doing
    result = models.JSONField(default=dict)  # the plan, as shop.planning.writing writes it
    rack_print = models.CharField(max_length=64, blank=True)  # of the free metal it was made for
    stop_asked = models.BooleanField(default=False)
    started_at = models.DateTimeField(auto_now_add=True)
    ended_at = models.DateTimeField(null=True)
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        ordering = ("-id",)


class BuyingRun(models.Model):
    """One look at what is short and how to buy it, over all classes; one that was ordered stays."""

    class State(models.TextChoices):
        RUNNING = "running", "running"
        READY = "ready", "ready"
        FAILED = "failed", "failed"

    state = models.CharField(max_length=10, choices=State.choices, default=State.RUNNING)
    progress = models.JSONField(default=dict)  # best so far, what it is doing
    result = models.JSONField(default=dict)  # what is short and the ways to buy, shop.buying.list
    asked_print = models.CharField(max_length=64, blank=True)  # of the facts it was made from
    stop_asked = models.BooleanField(default=False)
    started_at = models.DateTimeField(auto_now_add=True)
    ended_at = models.DateTimeField(null=True)
    chosen = models.CharField(max_length=20, blank=True)  # the way that was begun to be ordered
    ordered = models.JSONField(default=dict)  # supplier's id as text: the order's id
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        ordering = ("-id",)
