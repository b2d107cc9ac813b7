"""`manage.py test`: everything through pytest; further arguments pass through.

Two words may come first: `quick` leaves out what is slow or needs a browser, a server or a
process of its own; `covered` measures how much of each floor runs, and fails below the least.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from argparse import REMAINDER, ArgumentParser
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand

from shop.running import covered

WORKERS = ("-n", "auto", "--maxprocesses", "8")
# Files stay whole, for what they share; the order is that of tests/conftest.py, longest first.
EVERYTHING = ("-q", *WORKERS, "--dist", "loadfile", "--no-loadscope-reorder")
QUICK = ("-q", "-m", "not browser and not postgres and not slow", *WORKERS, "--dist", "worksteal")


class Command(BaseCommand):
    """Run the tests."""

    help = "Runs the tests through pytest; further arguments are pytest's."
    requires_system_checks = ()

    def run_from_argv(self, argv: list[str]) -> None:
        """Pass everything after the name through untouched, but for our own words."""
        if argv[2:3] in (["--help"], ["-h"]):
            self.print_help(argv[0], argv[1])
            return
        if argv[2:3] == ["covered"]:
            raise SystemExit(self.measured(argv[3:]))
        raise SystemExit(run("-m", "pytest", *pytest_arguments(argv[2:])))

    def add_arguments(self, parser: ArgumentParser) -> None:
        """For `--help` only."""
        parser.add_argument(
            "pytest_arguments",
            nargs=REMAINDER,
            help="such as -k rack or -x; 'quick' first for the tests of a minute, "
            "'covered' first to measure what they run",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Called from code rather than from a terminal."""
        self.run_from_argv(["manage.py", "test", *options["pytest_arguments"]])

    def measured(self, arguments: Sequence[str]) -> int:
        """Run the tests with coverage.py and tell each floor; the status to end with."""
        # Processes that a test starts, in whatever folder, write beside the one file.
        os.environ["COVERAGE_FILE"] = str(settings.BASE_DIR / ".coverage")
        run("-m", "coverage", "erase")
        status = run("-m", "coverage", "run", "-m", "pytest", *pytest_arguments(arguments))
        run("-m", "coverage", "combine", "-q")
        report = Path(settings.BASE_DIR / ".coverage.json")
        if run("-m", "coverage", "json", "-q", "-o", str(report)):
            return status or 1
        found = covered.floors(json.loads(report.read_text())["files"])
        report.unlink()
        for floor in found:
            self.stdout.write(str(floor))
            if not floor.is_enough:
                status = status or 1
                self.stderr.write(f"{floor.name} is under {covered.LEAST_PERCENT:g} % of its lines")
        return status


def pytest_arguments(arguments: Sequence[str]) -> list[str]:
    """What pytest is told: all tests side by side for nothing, ours for a word, else as given."""
    if not arguments:
        return list(EVERYTHING)
    if arguments[0] == "quick":
        return [*QUICK, *arguments[1:]]
    return list(arguments)


def run(*words: str) -> int:
    """Run this Python at the top of the project; its status."""
    return subprocess.run([sys.executable, *words], cwd=settings.BASE_DIR, check=False).returncode
