"""Seals a backup with a passphrase, and opens it again.

The file is an age file (age-encryption.org/v1) with a passphrase, so other programs that read
those open it too, should this app be gone. It is sealed in memory: as much as three times the
copy's size is needed for a moment.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from pyrage import DecryptError
from pyrage import passphrase as age

from shop.running.copies import BackupError

ENDING = ".age"
BEGINNING = b"age-encryption.org/v1\n-> scrypt "
LEAST_CHARACTERS = 12  # four or five words, or what a password manager makes


def refuse_short(passphrase: str) -> None:
    """A file can be tried at any speed, so its passphrase must be longer than a password.

    Raises:
        BackupError: it is too short.
    """
    if len(passphrase) < LEAST_CHARACTERS:
        raise BackupError(
            f"That passphrase has {len(passphrase)} characters; it needs {LEAST_CHARACTERS}. Four "
            "or five words that do not belong together are easy to keep."
        )


def is_sealed(path: Path) -> bool:
    """Whether a file is a sealed one."""
    with path.open("rb") as file:
        return file.read(len(BEGINNING)) == BEGINNING


def seal(path: Path, *, passphrase: str) -> None:
    """Put the sealed copy in the place of the open one."""
    path.write_bytes(age.encrypt(path.read_bytes(), passphrase))


@contextmanager
def opened(path: Path, *, passphrase: str, beside: Path) -> Iterator[Path]:
    """The file as it was before it was sealed, for as long as it is needed.

    Args:
        path: a file, sealed or not.
        passphrase: what it was sealed with.
        beside: folder in which the open copy is kept meanwhile.

    Raises:
        BackupError: the passphrase is missing or does not open it, or the file is damaged.
    """
    if not is_sealed(path):
        yield path
        return
    if not passphrase:
        raise BackupError(f"{path} is sealed with a passphrase. Give it, to open the file.")
    try:
        plain = age.decrypt(path.read_bytes(), passphrase)
    except DecryptError as error:
        raise BackupError(
            f"{path} does not open: the passphrase is another one, or the file is damaged "
            f"({error}). Nothing was changed."
        ) from error
    with TemporaryDirectory(prefix="opened-", dir=beside) as folder:
        whole = Path(folder) / path.name.removesuffix(ENDING)
        whole.write_bytes(plain)
        yield whole
