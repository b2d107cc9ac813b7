"""`manage.py lint`: every checker of code and templates, one after the other, by one table."""

from __future__ import annotations

import shutil
import subprocess
import sys
from argparse import ArgumentParser
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError


@dataclass(frozen=True)
class Linter:
    """A checker's name and the line that runs it; the first word is a program."""

    name: str
    line: tuple[str, ...]


# Quick ones first: a fault that is found in a second is told after a second.
LINTERS = (
    Linter("ruff check", ("ruff", "check", ".")),
    Linter("ruff format", ("ruff", "format", "--check", ".")),
    Linter("templates", ("djangofmt", "--check", "templates")),
    Linter("styles and scripts", ("oxfmt", "--check", "shop/static/shop")),
    Linter("scripts", ("oxlint", "--deny-warnings", "shop/static/shop")),
    Linter("mypy", ("mypy", ".")),
)


class Command(BaseCommand):
    """Run the linters and say what each found."""

    help = "Runs every linter, or those that are named; fails if one of them finds a fault."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Which linters; all of them when none is named."""
        names = ", ".join(one.name for one in LINTERS)
        parser.add_argument("names", nargs="*", metavar="NAME", help=f"of: {names}")

    def handle(self, *args: Any, names: Sequence[str], **options: Any) -> None:
        """Run them all, even after one has failed."""
        failed = [one.name for one in chosen(names) if not self.is_clean(one)]
        if failed:
            raise CommandError(f"Not clean: {', '.join(failed)}.")

    def is_clean(self, linter: Linter) -> bool:
        """Run one; its own words are shown only where it found something."""
        program, *rest = linter.line
        path = found(program)
        if path is None:
            self.stdout.write(f"{linter.name}: '{program}' is not installed")
            return False
        done = subprocess.run(
            [path, *rest],
            cwd=settings.BASE_DIR,
            text=True,
            check=False,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
        )
        self.stdout.write(f"{linter.name}: {'failed' if done.returncode else 'clean'}")
        if done.returncode:
            self.stdout.write(done.stdout)
        self.stdout.flush()
        return not done.returncode


def chosen(names: Sequence[str]) -> list[Linter]:
    """The linters whose name begins with one of the words; all where there are no words."""
    for name in names:
        if not any(one.name.startswith(name) for one in LINTERS):
            known = ", ".join(one.name for one in LINTERS)
            raise CommandError(f"No linter is called '{name}'. There are: {known}.")
    return [one for one in LINTERS if not names or one.name.startswith(tuple(names))]


def found(program: str) -> str | None:
    """Where a program is: beside this Python, or on the path."""
    beside = shutil.which(program, path=str(Path(sys.executable).parent))
    return beside or shutil.which(program)
