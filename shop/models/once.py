"""Presses that were carried out, so that the same one is not carried out again.

Part of `shop.models`, from which everybody imports it.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models


class Press(models.Model):
    """One press of a button that wrote something; written in the same transaction as its act."""

    key = models.CharField(max_length=64, unique=True)  # shop.once.press.key_of
    at = models.DateTimeField()
    answer = models.CharField(max_length=500, blank=True)  # the page that it led to
    said = models.CharField(max_length=500, blank=True)  # what that page said of it
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")

    class Meta:
        ordering = ("-id",)
