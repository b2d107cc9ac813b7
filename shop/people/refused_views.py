"""What is answered to a request that cannot be read at all: too much of it, or a strange host."""

from __future__ import annotations

from django.core.exceptions import (
    DisallowedHost,
    RequestDataTooBig,
    TooManyFieldsSent,
    TooManyFilesSent,
)
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

TOO_MUCH = (
    "What was sent is longer than this app reads at once: 2.5 MB, 5000 fields. Nothing was "
    "saved. Go back and send less, in two parts if need be."
)
STRANGE_HOST = (
    "This app does not answer to the name in the address. Use the address that the terminal "
    "shows, or add the name to BILLETWRIGHT_HOSTS and start again."
)
UNREADABLE = (
    "What was sent arrived broken, so nothing was saved. Go back, load the page again, and send "
    "it once more."
)


def unreadable(request: HttpRequest, exception: Exception) -> HttpResponse:
    """One plain sentence on a page that needs neither sign-in nor settings."""
    return render(None, "400.html", {"sentence": sentence(exception)}, status=400)


def sentence(exception: Exception) -> str:
    """Why a request was not read, and what to do."""
    if isinstance(exception, DisallowedHost):
        return STRANGE_HOST
    if isinstance(exception, (RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent)):
        return TOO_MUCH
    return UNREADABLE
