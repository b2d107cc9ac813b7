"""Hours at billets as the database holds them. Part of `billets.models`, for everybody to import.

`billets.hours.writing` is the only writer.
"""

from __future__ import annotations

from datetime import datetime

from django.conf import settings
from django.db import models

from billets.layup.work_time import whole_seconds


class WorkStep(models.TextChoices):
    """What hands do at a billet."""

    CUT = "cut", "cut"
    CLEAN = "clean", "clean"
    WELD = "weld", "weld shut"
    FORGE = "forge", "forge"
    FINISH = "finish", "finish"


class WorkTime(models.Model):
    """Time of one person at one step of one billet or several, which share it equally.

    Without an end the clock runs, one clock a person; a wrong line is struck and stays readable.
    """

    billets = models.ManyToManyField("billets.Billet", related_name="times")
    step = models.CharField(max_length=8, choices=WorkStep.choices)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    started_at = models.DateTimeField()
    stopped_at = models.DateTimeField(null=True, blank=True)
    is_typed = models.BooleanField(default=False)  # its length was typed; no clock measured it
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+"
    )

    class Meta:
        ordering = ("started_at", "id")
        constraints = [
            models.UniqueConstraint(
                fields=("person",),
                condition=models.Q(stopped_at=None),
                name="one_billet_clock_a_person",
            ),
            models.CheckConstraint(
                condition=models.Q(stopped_at=None)
                | models.Q(stopped_at__gte=models.F("started_at")),
                name="work_ends_after_it_begins",
            ),
        ]

    def seconds(self, *, now: datetime) -> int:
        """How long it is; a running one up to now [s]."""
        return whole_seconds(self.started_at, ended=self.stopped_at or now)
