"""`manage.py test`: everything through pytest; further arguments pass through."""

from __future__ import annotations

import subprocess
import sys
from argparse import REMAINDER, ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand


class Command(BaseCommand):
    """Run the tests."""

    help = "Runs the tests through pytest; further arguments are pytest's."
    requires_system_checks = ()

    def run_from_argv(self, argv: list[str]) -> None:
        """Pass everything after the name through untouched."""
        if argv[2:3] in (["--help"], ["-h"]):
            self.print_help(argv[0], argv[1])
            return
        line = [sys.executable, "-m", "pytest", *argv[2:]]
        raise SystemExit(subprocess.run(line, cwd=settings.BASE_DIR, check=False).returncode)

    def add_arguments(self, parser: ArgumentParser) -> None:
        """For `--help` only."""
        parser.add_argument("pytest_arguments", nargs=REMAINDER, help="such as -k rack or -x")

    def handle(self, *args: Any, **options: Any) -> None:
        """Called from code rather than from a terminal."""
        self.run_from_argv(["manage.py", "test", *options["pytest_arguments"]])
