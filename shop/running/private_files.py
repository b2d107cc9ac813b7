"""Keeps the shop's files from the other accounts of the machine.

Where the system knows no such rights (Windows), the folder's own hold.
"""

import os
from contextlib import suppress
from pathlib import Path

NOBODY_ELSE = 0o077
OURS = (
    "*.sqlite3",
    "*.sqlite3-*",
    "secret*.txt",
    "first-run-code.txt",
    "backups",
    "backups/*",
)


def close_from_now_on() -> None:
    """Let everything that this process makes be its owner's only."""
    os.umask(NOBODY_ELSE)


def close_what_is_there(folder: Path) -> None:
    """Take other accounts' rights off what an older version made in the data folder.

    Files of another owner are left: that one has to do it.

    Args:
        folder: the data folder.
    """
    for pattern in OURS:
        for path in folder.glob(pattern):
            with suppress(OSError):
                mode = path.stat().st_mode
                if mode & NOBODY_ELSE and not path.is_symlink():
                    path.chmod(mode & ~NOBODY_ELSE)
