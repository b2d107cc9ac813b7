"""Classes and their seats as the database holds them.

Part of `shop.models`, from which everybody imports these.
"""

from __future__ import annotations

from django.db import models

from billets.models import Billet, Layup


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
