"""Copies the shop's database while it is in use.

A copy is checked before it counts: a backup that cannot be read is none. It holds no sign-in that
is still good and no private address, only its owner can read its file, and with a passphrase
nobody who does not know that.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from shop.running import sealing
from shop.running.copies import BackupError
from shop.running.databases import copies


def usual_name(now: datetime, *, is_sealed: bool = False) -> str:
    """A file name that sorts by time."""
    name = f"billetwright-{now:%Y%m%d-%H%M%S}.{copies().ending}"
    return name + sealing.ENDING if is_sealed else name


def back_up(target: Path, *, passphrase: str = "") -> None:
    """Write a whole, checked copy of the database to a new file.

    Args:
        target: the file; it is not there until the copy is whole.
        passphrase: what the copy is sealed with; nothing leaves it open.

    Raises:
        BackupError: the file is there already, the passphrase is too short, or the copy failed.
    """
    if target.exists():
        raise BackupError(f"{target} is there already. Give another name; nothing was written.")
    if passphrase:
        sealing.refuse_short(passphrase)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with TemporaryDirectory(prefix="backing-up-", dir=target.parent) as folder:
            whole = Path(folder) / "copy"
            copies().write(whole)
            if passphrase:
                sealing.seal(whole, passphrase=passphrase)
            whole.chmod(0o600)
            whole.replace(target)
    except OSError as error:
        raise BackupError(
            f"{target} cannot be made ({error.strerror}). Give another file."
        ) from error
