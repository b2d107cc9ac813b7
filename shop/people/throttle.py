"""Slows down guessing of passwords: after a few misses a name and an address wait a minute.

So does an address after many misses over many names. Names are taken as the sign-in takes them,
or another spelling of the same name would have tries of its own.
"""

from __future__ import annotations

import hashlib
import unicodedata

from django.core.cache import cache

MISSES_ALLOWED = 8
MISSES_OF_ALL_NAMES = 60  # from one address, which may be a proxy that the whole shop is behind
WAIT_S = 60


def name_key(*, name: str, address: str) -> str:
    """What the misses of one name are counted under."""
    plain = unicodedata.normalize("NFKC", name).strip().lower()[:60]
    digest = hashlib.sha256(plain.encode(errors="replace")).hexdigest()
    return f"sign-in:{address}:{digest}"


def address_key(address: str) -> str:
    """What the misses of all names are counted under."""
    return f"sign-in:{address}"


def must_wait(*, name: str, address: str) -> bool:
    """Whether this name, or any, has been missed too often from this address."""
    missed = int(cache.get(name_key(name=name, address=address), 0))
    missed_any = int(cache.get(address_key(address), 0))
    return missed >= MISSES_ALLOWED or missed_any >= MISSES_OF_ALL_NAMES


def count_miss(*, name: str, address: str) -> None:
    """Remember a miss for a minute."""
    for key in (name_key(name=name, address=address), address_key(address)):
        cache.set(key, int(cache.get(key, 0)) + 1, WAIT_S)
