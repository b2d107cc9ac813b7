"""Slows down guessing of passwords: after a few misses a name and an address wait a minute."""

from __future__ import annotations

from django.core.cache import cache

MISSES_ALLOWED = 8
WAIT_S = 60


def key(*, name: str, address: str) -> str:
    """What misses are counted under."""
    return f"sign-in:{address}:{name.lower()[:60]}".replace(" ", "_")


def must_wait(*, name: str, address: str) -> bool:
    """Whether this name has been missed too often from this address."""
    return int(cache.get(key(name=name, address=address), 0)) >= MISSES_ALLOWED


def count_miss(*, name: str, address: str) -> None:
    """Remember a miss for a minute."""
    name_key = key(name=name, address=address)
    cache.set(name_key, int(cache.get(name_key, 0)) + 1, WAIT_S)
