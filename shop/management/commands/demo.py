"""`manage.py demo`: fills the demo's own database with the invented shop, once."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from shop.demo import make


class Command(BaseCommand):
    """Make the demo shop if it is not there."""

    help = "Fills the demo's own database with the invented shop; again changes nothing."

    def handle(self, *args: Any, **options: Any) -> None:
        """Refuse to touch a real shop's database."""
        if not settings.IS_DEMO:
            raise CommandError("This is the real shop's database. Use: manage.py start --demo")
        if make.is_made():
            return
        self.stdout.write("Making the demo shop …")
        self.stdout.flush()
        make.make(today=timezone.localdate())
