"""`manage.py restore FILE`: puts a backup back once it is proved; the database there is kept."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from shop.running import asking, restoring, sealing
from shop.running.copies import BackupError


class Command(BaseCommand):
    """Restore the shop."""

    help = "Checks, updates and proves a backup beside the database, then puts it in its place."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Which."""
        parser.add_argument(
            "file", help="a file that `backup` wrote, or what a restore said that it kept"
        )
        parser.add_argument(
            "--with-faults",
            action="store_true",
            help="put it in place even if its books do not add up",
        )
        asking.add_file_argument(parser)

    def handle(self, *args: Any, **options: Any) -> None:
        """Do it; tell how it is undone."""
        path, asked = Path(options["file"]), options["passphrase_file"]
        try:
            is_sealed = path.is_file() and sealing.is_sealed(path)
            done = restoring.restore(
                options["file"],
                now=timezone.localtime(),
                passphrase=asking.passphrase(asked, is_new=False) if is_sealed else "",
                with_faults=options["with_faults"],
            )
        except (BackupError, OSError) as error:
            raise CommandError(str(error)) from error
        self.stdout.write(done.books.summary)
        for fault in done.books.faults:
            self.stderr.write(fault)
        self.stdout.write("Restored. Everybody signs in again; calendars need a new address.")
        if done.kept:
            self.stdout.write(f"What was there is kept as {done.kept}")
            self.stdout.write(f"To undo this: {done.undo}")
