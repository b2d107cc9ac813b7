"""`manage.py backup [--out FILE] [--seal]`: a checked copy, made while the shop is in use."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from shop.running import asking, backup
from shop.running.copies import BackupError


class Command(BaseCommand):
    """Back the shop up."""

    help = "Writes a checked copy of the database; the app may go on running."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Where to, and whether sealed."""
        parser.add_argument("--out", type=Path, help="file to write (data/backups/… if not given)")
        parser.add_argument(
            "--seal", action="store_true", help="seal it with a passphrase, which is asked for"
        )
        asking.add_file_argument(parser)

    def handle(self, *args: Any, **options: Any) -> None:
        """Do it."""
        is_sealed = options["seal"] or options["passphrase_file"] is not None
        name = backup.usual_name(timezone.localtime(), is_sealed=is_sealed)
        target = options["out"] or Path(settings.DATA_DIR) / "backups" / name
        try:
            passphrase = ""
            if is_sealed:
                passphrase = asking.passphrase(options["passphrase_file"], is_new=True)
            backup.back_up(target, passphrase=passphrase)
        except BackupError as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"{target} ({target.stat().st_size:,} bytes)")
