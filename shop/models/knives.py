"""Knives as the database holds them: the blade, its heat treatment, hours, outside work.

Part of `shop.models`, from which everybody imports these. Parts from stock are in the ledger.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.urls import reverse

from billets.models import Billet


class KnifeQuerySet(models.QuerySet["Knife"]):
    """Knives read by what became of them."""

    def in_work(self) -> KnifeQuerySet:
        """Those that are neither sold nor come to nothing."""
        return self.filter(sold_on=None, lost_on=None)

    def sold(self) -> KnifeQuerySet:
        """Those that are sold, with a price or without one."""
        return self.exclude(sold_on=None)

    def lost(self) -> KnifeQuerySet:
        """Those of which nothing came."""
        return self.exclude(lost_on=None)


class Knife(models.Model):
    """A blade of a billet, or of bar that was bought, on its way to somebody."""

    pattern = models.CharField(max_length=120)
    billet = models.ForeignKey(Billet, models.PROTECT, null=True, blank=True, related_name="knives")
    length_nm = models.PositiveBigIntegerField(default=0)  # of the billet; 0: an equal share
    handle = models.CharField(max_length=200, blank=True)
    heat_treatment = models.TextField(max_length=1000, blank=True)
    care = models.TextField(max_length=1000, blank=True)
    note = models.CharField(max_length=300, blank=True)
    margin_bp = models.PositiveIntegerField(default=3000)  # wanted
    sold_to = models.CharField(max_length=100, blank=True)
    sold_on = models.DateField(null=True, blank=True)
    price_cents = models.PositiveBigIntegerField(null=True, blank=True)  # without tax
    sold_share_cents = models.PositiveBigIntegerField(null=True, blank=True)  # of its billet, kept
    sold_share_nm = models.PositiveBigIntegerField(default=0)  # length that this rests on
    lost_on = models.DateField(null=True, blank=True)  # when nothing came of it
    lost_why = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    made_at = models.DateTimeField()

    objects = KnifeQuerySet.as_manager()

    class Meta:
        ordering = ("-id",)

    def __str__(self) -> str:
        return f"Knife {self.pk}"

    def get_absolute_url(self) -> str:
        """Its page."""
        return reverse("shop:knife-detail", args=[self.pk])

    @property
    def job(self) -> str:
        """What the ledger calls it."""
        return f"knife:{self.pk}"

    @property
    def taken_nm(self) -> int:
        """Length of its billet that it takes [nm], as it was sold; 0 where nobody knows."""
        return self.length_nm if self.sold_share_cents is None else self.sold_share_nm


class KnifeStep(models.TextChoices):
    """What hands do at a knife."""

    SHAPE = "shape", "profile and drill"
    GRIND = "grind", "grind"
    HARDEN = "harden", "heat treat"
    FINISH = "finish", "finish the blade"
    HANDLE = "handle", "handle and fittings"
    SHEATH = "sheath", "sheath"
    SHARPEN = "sharpen", "sharpen"


class KnifeTime(models.Model):
    """Time at one step of a knife; without an end the clock runs, one clock a person."""

    knife = models.ForeignKey(Knife, models.CASCADE, related_name="times")
    step = models.CharField(max_length=10, choices=KnifeStep.choices)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    started_at = models.DateTimeField()
    stopped_at = models.DateTimeField(null=True, blank=True)
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering = ("started_at", "id")
        constraints = [
            models.UniqueConstraint(
                fields=("person",), condition=models.Q(stopped_at=None), name="one_clock_a_person"
            )
        ]


class KnifeService(models.Model):
    """Work on a knife that somebody outside the shop was paid for."""

    knife = models.ForeignKey(Knife, models.CASCADE, related_name="services")
    name = models.CharField(max_length=100)
    cents = models.PositiveBigIntegerField()
    struck_at = models.DateTimeField(null=True, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ("id",)


class TreatmentStep(models.TextChoices):
    """What the heat treatment of a blade is made of, in the order it is done."""

    NORMALISE = "normalise", "normalise"
    ANNEAL = "anneal", "anneal"
    HARDEN = "harden", "harden"
    COLD = "cold", "cold treat"
    TEMPER = "temper", "temper"


class KnifeTreatment(models.Model):
    """One step of a blade's heat treatment as it was really done; a wrong line is struck."""

    knife = models.ForeignKey(Knife, models.CASCADE, related_name="treatments")
    step = models.CharField(max_length=10, choices=TreatmentStep.choices)
    times = models.PositiveSmallIntegerField(default=1)  # one after the other, all alike
    temperature_mdegc = models.BigIntegerField(null=True, blank=True)
    seconds = models.PositiveIntegerField(null=True, blank=True)  # held, each time
    medium = models.CharField(max_length=100, blank=True)  # quenched in, cooled in
    hrc_tenths = models.PositiveSmallIntegerField(null=True, blank=True)  # measured after it
    note = models.CharField(max_length=200, blank=True)
    struck_at = models.DateTimeField(null=True, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ("id",)
        constraints = [
            models.CheckConstraint(condition=models.Q(times__gt=0), name="treated_at_least_once")
        ]
