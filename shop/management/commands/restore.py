"""`manage.py restore FILE`: puts a backup back; the database there is kept beside it."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from shop.running import backup


class Command(BaseCommand):
    """Restore the shop."""

    help = "Puts a backup in place of the database, after checking it and updating it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Which."""
        parser.add_argument("file", type=Path, help="a file that `backup` wrote")

    def handle(self, *args: Any, **options: Any) -> None:
        """Do it, then prove the books."""
        try:
            old = backup.restore(options["file"], now=timezone.localtime())
        except backup.BackupError as error:
            raise CommandError(str(error)) from error
        if old is not None:
            self.stdout.write(f"The database that was there is kept as {old}")
        call_command("check_ledger", stdout=self.stdout, stderr=self.stderr)
        self.stdout.write("Restored.")
