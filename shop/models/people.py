"""People and the shop's settings as the database holds them, and the link to its calendar.

Part of `shop.models`, from which everybody imports these.
"""

from __future__ import annotations

import dataclasses
from typing import Any

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.urls import reverse

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

    def get_absolute_url(self) -> str:
        """Where the owner changes what they may."""
        return reverse("shop:person-change", args=[self.pk])


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
