"""Keeps two `start`s off the same data: a lock that the system lets go of when its holder ends.

However the holder ends: a machine that lost its power, or a process that was killed, leaves the
file behind and no lock on it. Servers of another kind (gunicorn) take none.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

_held: list[int] = []  # open as long as this process runs


class DataInUse(RuntimeError):
    """Another `start` serves this data."""

    def __init__(self, who: str) -> None:
        self.who = who
        super().__init__(
            f"This data is served already{f' ({who})' if who else ''}. Open that one, or stop it "
            "first; for another shop set BILLETWRIGHT_DATA to a folder of its own."
        )


def take(path: Path, *, about: str) -> None:
    """Hold the lock until this process ends.

    Args:
        path: the file of the lock; made if it is not there.
        about: what to tell another process of this one.

    Raises:
        DataInUse: another process holds it; what that one wrote of itself is told.
    """
    handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    if not is_taken_by_us(handle):
        who = os.read(handle, 200).decode(errors="replace").strip()
        os.close(handle)
        raise DataInUse(who)
    os.ftruncate(handle, 0)
    os.write(handle, about.encode())
    _held.append(handle)


if sys.platform == "win32":

    def is_taken_by_us(handle: int) -> bool:
        """Try to take the lock, on a byte far behind what is written of its holder."""
        import msvcrt

        os.lseek(handle, 1_000, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        finally:
            os.lseek(handle, 0, os.SEEK_SET)
        return True

else:

    def is_taken_by_us(handle: int) -> bool:
        """Try to take the lock; it is this process's own and no child keeps it."""
        import fcntl

        try:
            fcntl.lockf(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True


def serve_demo(argv: list[str]) -> None:
    """Start the same command again on the demo's own database.

    Args:
        argv: the command line, as this process was given it.
    """
    env = os.environ | {"BILLETWRIGHT_DEMO": "1"}
    env.pop("DATABASE_URL", None)
    os.execve(sys.executable, [sys.executable, *argv], env)
