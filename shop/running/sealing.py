"""Seals a backup with a passphrase, and opens it again.

A sealed file is a tar of two age files (age-encryption.org/v1): `key.age`, a key that the
passphrase opens, and `copy.age`, the copy that the key opens. So a large copy needs no more memory
than a small one, and other programs open them too, should this app be gone: `tar xf FILE`, then
`age -d -i key.age copy.age > copy`. Turning the passphrase into a key takes about a second and, on
a fast machine, up to 1 GB for that second: that is what makes trying many of them dear.
"""

from __future__ import annotations

import tarfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import pyrage
from pyrage import passphrase as by_passphrase

from shop.running.copies import BackupError

ENDING = ".sealed.tar"
KEY, COPY = "key.age", "copy.age"
BEGINNING = KEY.encode() + b"\0"  # a tar begins with its first file's name
LEAST_CHARACTERS = 12  # two or three words that do not belong together


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
    key = pyrage.x25519.Identity.generate()
    with TemporaryDirectory(prefix="sealing-", dir=path.parent) as folder:
        parts = {name: Path(folder) / name for name in (KEY, COPY)}
        parts[KEY].write_bytes(by_passphrase.encrypt(f"{key}\n".encode(), passphrase))
        pyrage.encrypt_file(str(path), str(parts[COPY]), [key.to_public()])
        whole = Path(folder) / "whole"
        with tarfile.open(whole, "w", format=tarfile.GNU_FORMAT) as tar:
            for name, part in parts.items():
                tar.add(part, arcname=name)
                part.unlink()
        whole.replace(path)


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
    with TemporaryDirectory(prefix="opened-", dir=beside) as folder:
        whole = Path(folder) / path.name.removesuffix(ENDING)
        try:
            open_into(whole, path, passphrase)
        except (pyrage.DecryptError, pyrage.IdentityError, tarfile.TarError, KeyError) as error:
            raise BackupError(
                f"{path} does not open: the passphrase is another one, or the file is damaged "
                f"({error}). Nothing was changed."
            ) from error
        yield whole


def open_into(whole: Path, sealed: Path, passphrase: str) -> None:
    """Write what is in a sealed file to an open one."""
    with tarfile.open(sealed, "r:") as tar:
        locked, copy = tar.extractfile(KEY), tar.extractfile(COPY)
        if locked is None or copy is None:
            raise KeyError(COPY)
        words = by_passphrase.decrypt(locked.read(), passphrase).decode().strip()
        key = pyrage.x25519.Identity.from_str(words)
        with whole.open("wb") as file:
            try:
                pyrage.decrypt_io(copy, file, [key])
            except OSError as error:
                if error.errno is not None:  # a full disk, say
                    raise
                raise pyrage.DecryptError(str(error)) from error
