"""The workshop as a business: people, settings, classes, seats, plans, money, knives.

Metal is in `stock`, billets are in `billets`; this floor joins them to people, dates and money.
"""

from __future__ import annotations

import dataclasses
from typing import Any

from django.contrib.auth.models import AbstractUser
from django.db import models

from billets.models import Billet, Layup
from shop.models.knives import Knife as Knife
from shop.models.knives import KnifeService as KnifeService
from shop.models.knives import KnifeStep as KnifeStep
from shop.models.knives import KnifeTime as KnifeTime
from shop.models.knives import KnifeTreatment as KnifeTreatment
from shop.models.knives import TreatmentStep as TreatmentStep
from shop.models.money import ClassTerms as ClassTerms
from shop.models.money import RateSheet as RateSheet
from shop.models.money import SeatPayment as SeatPayment
from shop.models.once import Press as Press
from stock.house import House


class Person(AbstractUser):
    """Somebody who signs in. A helper sees no money."""

    class Role(models.TextChoices):
        OWNER = "owner", "owner"
        HELPER = "helper", "helper"

    role = models.CharField(max_length=8, choices=Role.choices, default=Role.HELPER)

    @property
    def is_owner(self) -> bool:
        """Whether money, people and settings are theirs to see."""
        return self.role == self.Role.OWNER

    def __str__(self) -> str:
        return self.first_name or self.username


class ShopSettings(models.Model):
    """One row: the fields of `House` that the shop has changed, by name."""

    name = models.CharField(max_length=80)
    values = models.JSONField(default=dict)
    set_up_at = models.DateTimeField(auto_now_add=True)

    def house(self, *, person: Person | None = None) -> House:
        """The settings as plain values, as this person may see them."""
        known = {field.name for field in dataclasses.fields(House)}
        chosen: dict[str, Any] = {k: v for k, v in self.values.items() if k in known}
        is_owner = person is not None and person.is_owner
        chosen |= {
            "name": self.name,
            "person": str(person or ""),
            "is_owner": is_owner,
            "sees_money": is_owner,
        }
        return House(**chosen)


class ForgeClass(models.Model):
    """A class: so many seats, one billet each, and spares. On screen it is "class"."""

    class State(models.TextChoices):
        OPEN = "open", "being filled"
        PLANNED = "planned", "metal set aside"
        HELD = "held", "held"
        CANCELLED = "cancelled", "cancelled"

    title = models.CharField(max_length=100)
    starts_on = models.DateField()
    ends_on = models.DateField()
    place = models.CharField(max_length=100, blank=True)
    seat_count = models.PositiveSmallIntegerField(default=6)
    layup = models.ForeignKey(Layup, models.PROTECT, related_name="classes")
    spares = models.PositiveSmallIntegerField(default=0)
    state = models.CharField(max_length=10, choices=State.choices, default=State.OPEN)
    note = models.TextField(max_length=2000, blank=True)

    class Meta:
        ordering = ("-starts_on", "-id")

    def __str__(self) -> str:
        return self.title

    @property
    def plan_key(self) -> str:
        """What set-asides of this class are filed under."""
        return f"class:{self.pk}"


class Seat(models.Model):
    """One student's place, or a spare billet, in a class."""

    forge_class = models.ForeignKey(ForgeClass, models.CASCADE, related_name="seats")
    number = models.PositiveSmallIntegerField()
    is_spare = models.BooleanField(default=False)
    student = models.CharField(max_length=100, blank=True)
    email = models.EmailField(blank=True)
    layup = models.ForeignKey(Layup, models.PROTECT, null=True, blank=True, related_name="+")
    blank_length_nm = models.PositiveBigIntegerField(null=True, blank=True)
    blank_width_nm = models.PositiveBigIntegerField(null=True, blank=True)
    knife = models.CharField(max_length=120, blank=True)
    billet = models.OneToOneField(
        Billet, models.SET_NULL, null=True, blank=True, related_name="seat"
    )
    is_cancelled = models.BooleanField(default=False)
    cancelled_on = models.DateField(null=True, blank=True)  # when its student gave it up
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("forge_class", "is_spare", "number")
        constraints = [
            models.UniqueConstraint(fields=("forge_class", "number"), name="seat_number_once")
        ]

    def __str__(self) -> str:
        return self.student or ("spare" if self.is_spare else f"seat {self.number}")

    @property
    def layup_used(self) -> Layup:
        """Its own layup, or the class's."""
        return self.layup or self.forge_class.layup


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


class CalendarLink(models.Model):
    """A private address of the shop's dates; one stands at a time, and it can be withdrawn."""

    token = models.CharField(max_length=64, unique=True)
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ("-id",)
        constraints = [
            models.UniqueConstraint(
                models.Value(1),
                condition=models.Q(withdrawn_at=None),
                name="calendar_link_stands_once",
            )
        ]
