"""Slows down guessing of passwords: after a few misses a name and an address wait a minute.

So does an address after many misses over many names. Names are taken as the sign-in takes them,
or another spelling of the same name would have tries of its own.

A device that somebody signed in with before has tries of its own at that name: a stranger behind
the same proxy, whose address is then the same, cannot keep its owner out.
"""

from __future__ import annotations

import hashlib
import secrets
import unicodedata

from django.conf import settings
from django.core.cache import cache
from django.http import HttpRequest, HttpResponse

MISSES_ALLOWED = 8
MISSES_OF_ALL_NAMES = 60  # from one address, which may be a proxy that the whole shop is behind
WAIT_S = 60
DEVICE_COOKIE = "known_device"
DEVICE_KEPT_S = 60 * 60 * 24 * 365


def name_digest(name: str) -> str:
    """A name as the sign-in takes it, of a length that can be a key."""
    plain = unicodedata.normalize("NFKC", name).strip().lower()[:60]
    return hashlib.sha256(plain.encode(errors="replace")).hexdigest()


def name_key(*, name: str, address: str) -> str:
    """What the misses of one name are counted under."""
    return f"sign-in:{address}:{name_digest(name)}"


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
        cache.add(key, 0, WAIT_S)
        try:
            cache.incr(key)
        except ValueError:  # the minute ended between the two
            cache.add(key, 1, WAIT_S)


def came_from(request: HttpRequest, *, name: str) -> str:
    """What tries at a name are counted by: the device if that name used it, else the address."""
    known = request.get_signed_cookie(DEVICE_COOKIE, default="", max_age=DEVICE_KEPT_S) or ""
    device, _, whose = known.partition(":")
    if device and whose == name_digest(name):
        return f"device:{device}"
    return str(request.META.get("REMOTE_ADDR", ""))


def know_device(response: HttpResponse, *, name: str) -> None:
    """Let the browser show, next time, that this name has signed in with it."""
    response.set_signed_cookie(
        DEVICE_COOKIE,
        f"{secrets.token_hex(16)}:{name_digest(name)}",
        max_age=DEVICE_KEPT_S,
        httponly=True,
        samesite="Lax",
        secure=settings.SESSION_COOKIE_SECURE,
    )
