"""Asks for a passphrase in the terminal, or reads it from a file; never from the command line.

What stands on a command line can be read by every account of the machine.
"""

from __future__ import annotations

import getpass
import sys
from argparse import ArgumentParser
from pathlib import Path

from shop.running.copies import BackupError


def add_file_argument(parser: ArgumentParser) -> None:
    """Let a command that nobody sits at read the passphrase from a file."""
    parser.add_argument(
        "--passphrase-file", type=Path, help="file whose first line is the passphrase"
    )


def passphrase(file: Path | None, *, is_new: bool) -> str:
    """The passphrase; a new one is asked for twice.

    Raises:
        BackupError: there is none to be had, or the two are not the same.
    """
    if file is not None:
        return first_line(file)
    if not sys.stdin.isatty():
        raise BackupError("There is no terminal to ask for the passphrase: give --passphrase-file.")
    given = getpass.getpass("Passphrase of the backup: ")
    if is_new and getpass.getpass("Once more: ") != given:
        raise BackupError("The two passphrases are not the same, so nothing was written.")
    return given


def first_line(file: Path) -> str:
    """What a file begins with.

    Raises:
        BackupError: it cannot be read, or begins with nothing.
    """
    try:
        given = file.read_text().partition("\n")[0].strip()
    except (OSError, UnicodeDecodeError) as error:
        raise BackupError(f"The passphrase cannot be read from {file}: {error}") from error
    if not given:
        raise BackupError(f"The first line of {file} is empty; write the passphrase there.")
    return given
