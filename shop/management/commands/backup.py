"""`manage.py backup [--out FILE]`: a checked copy of the database, made while it is in use."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from shop.running import backup


class Command(BaseCommand):
    """Back the shop up."""

    help = "Writes a checked copy of the database; the app may go on running."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Where to."""
        parser.add_argument("--out", type=Path, help="file to write (data/backups/… if not given)")

    def handle(self, *args: Any, **options: Any) -> None:
        """Do it."""
        name = backup.usual_name(timezone.localtime())
        target = options["out"] or Path(settings.DATA_DIR) / "backups" / name
        try:
            backup.back_up(target)
        except backup.BackupError as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"{target} ({target.stat().st_size:,} bytes)")
