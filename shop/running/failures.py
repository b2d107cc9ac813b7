"""Runs a command and says in a sentence what keeps it from running: settings, folder, database."""

from __future__ import annotations

from collections.abc import Sequence

from django.core.exceptions import ImproperlyConfigured
from django.core.management import execute_from_command_line
from django.db import DatabaseError

NOT_READY = (
    "The database does not answer as it should: {}. If it was never set up, or is from an older "
    "version, `python3 manage.py start` brings it up to date."
)


def run(argv: Sequence[str]) -> None:
    """Run one command; a trouble that has a sentence ends with it, not with a traceback."""
    try:
        execute_from_command_line(list(argv))
    except ImproperlyConfigured as error:
        raise SystemExit(str(error)) from error
    except DatabaseError as error:
        raise SystemExit(NOT_READY.format(str(error).strip())) from error
