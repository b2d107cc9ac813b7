"""Classes and their seats as the database holds them.

Part of `shop.models`, from which everybody imports these.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.db import models
from django.db.models import Count, OuterRef, Prefetch, Q, Subquery
from django.urls import reverse

from billets.layup import stack
from billets.layup.design import Design
from billets.models import Billet, Blank, Layup, Step, StepKind


class ForgeClassQuerySet(models.QuerySet["ForgeClass"]):
    """Classes read by where they stand."""

    def standing(self) -> ForgeClassQuerySet:
        """Those that are neither cancelled nor written down as held."""
        return self.filter(state__in=ForgeClass.STANDING)

    def to_come(self, today: date) -> ForgeClassQuerySet:
        """Those that stand and have not begun before today."""
        return self.standing().filter(starts_on__gte=today)

    def with_taken(self) -> ForgeClassQuerySet:
        """Each with `taken`: how many of its seats have a student with a name."""
        is_student = Q(seats__is_cancelled=False, seats__is_spare=False)
        return self.annotate(taken=Count("seats", filter=is_student & ~Q(seats__student="")))


class ForgeClass(models.Model):
    """A class: so many seats, one billet each, and spares. On screen it is "class"."""

    class State(models.TextChoices):
        OPEN = "open", "being filled"
        PLANNED = "planned", "metal set aside"
        HELD = "held", "held"
        CANCELLED = "cancelled", "cancelled"

    STANDING = (State.OPEN, State.PLANNED)

    title = models.CharField(max_length=100)
    starts_on = models.DateField()
    ends_on = models.DateField()
    place = models.CharField(max_length=100, blank=True)
    seat_count = models.PositiveSmallIntegerField(default=6)
    layup = models.ForeignKey(Layup, models.PROTECT, related_name="classes")
    spares = models.PositiveSmallIntegerField(default=0)
    state = models.CharField(max_length=10, choices=State.choices, default=State.OPEN)
    note = models.TextField(max_length=2000, blank=True)

    objects = ForgeClassQuerySet.as_manager()

    class Meta:
        ordering = ("-starts_on", "-id")

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        """Its page."""
        return reverse("shop:class-detail", args=[self.pk])

    @property
    def plan_key(self) -> str:
        """What set-asides of this class are filed under."""
        return f"class:{self.pk}"

    @property
    def is_standing(self) -> bool:
        """Whether it is neither cancelled nor written down as held."""
        return self.state in self.STANDING


class SeatQuerySet(models.QuerySet["Seat"]):
    """Seats read by who is on them, and with their metal."""

    def active(self) -> SeatQuerySet:
        """Students and spares; cancelled seats are left out."""
        return self.filter(is_cancelled=False)

    def students(self) -> SeatQuerySet:
        """Seats of students, named or not, that were not cancelled."""
        return self.active().filter(is_spare=False)

    def spares(self) -> SeatQuerySet:
        """Spare billets that were not cancelled."""
        return self.active().filter(is_spare=True)

    def with_metal(self) -> SeatQuerySet:
        """Seats read at once with layups, billets, how far these are, blanks and their metal."""
        steps = Step.objects.filter(billet=OuterRef("billet"), undoes=None, undone_by=None)
        rows = self.annotate(billet_reached=Subquery(steps.order_by("-id").values("kind")[:1]))
        return rows.select_related("layup", "forge_class__layup", "billet__layup").prefetch_related(
            "layup__layers",
            "forge_class__layup__layers",
            Prefetch("billet__blanks", Blank.objects.with_metal()),
        )

    def by_class(self, classes: Sequence[ForgeClass]) -> dict[int, list[Seat]]:
        """The seats of several classes, read at once: by class, students first."""
        found: dict[int, list[Seat]] = {row.pk: [] for row in classes}
        for seat in self.filter(forge_class__in=classes).order_by("is_spare", "number"):
            found[seat.forge_class_id].append(seat)
        return found


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

    objects = SeatQuerySet.as_manager()

    class Meta:
        ordering = ("forge_class", "is_spare", "number")
        constraints = [
            models.UniqueConstraint(fields=("forge_class", "number"), name="seat_number_once")
        ]

    def __str__(self) -> str:
        return self.student or ("spare" if self.is_spare else f"seat {self.number}")

    def get_absolute_url(self) -> str:
        """Where it is changed."""
        return reverse("shop:seat-change", args=[self.forge_class_id, self.pk])

    @property
    def layup_used(self) -> Layup:
        """Its own layup, or the class's."""
        return self.layup or self.forge_class.layup

    def asked_design(self) -> Design:
        """What it asks for: its own layup or the class's, with its own blank size if set."""
        design = self.layup_used.design()
        return stack.with_blank(
            design,
            length_nm=self.blank_length_nm or design.blank_length_nm,
            width_nm=self.blank_width_nm or design.blank_width_nm,
        )

    def design(self) -> Design:
        """What its billet is made to: the billet's own copy once there is one."""
        return self.billet.design() if self.billet else self.asked_design()

    def blanks_by_position(self) -> dict[int, Blank]:
        """The blanks of its billet, if it has one."""
        if self.billet is None:
            return {}
        return {blank.position: blank for blank in self.billet.blanks.all()}

    @property
    def stage(self) -> StepKind:
        """How far its billet is. Seats are read `with_metal`."""
        return StepKind(getattr(self, "billet_reached", None) or StepKind.PLANNED)

    @property
    def has_failed(self) -> bool:
        """Whether its billet failed: it is planned no further. Seats are read `with_metal`."""
        return self.stage == StepKind.FAILED

    @property
    def is_behind(self) -> bool:
        """Whether its billet was made to another design than it now asks for."""
        return self.billet is not None and self.billet.design() != self.asked_design()

    @property
    def is_uncut(self) -> bool:
        """Whether its billet is not begun: no blank of it is cut, and it did not fail."""
        return not self.has_failed and not any(
            blank.is_cut for blank in self.blanks_by_position().values()
        )

    @property
    def has_metal(self) -> bool:
        """Whether any blank of it has metal set aside or cut."""
        return any(blank.has_metal for blank in self.blanks_by_position().values())
