"""What the tests of one page share."""

from typing import Any

from django.urls import reverse

from tests.conftest import IN
from tests.kinds import Billet, Client


def url(name: str, *args: Any) -> str:
    """Address of a page of this floor."""
    return reverse(f"billets:{name}", args=args)


def post(
    client: Client, name: str, billet: Billet, data: dict[str, str] | None = None, **more: Any
) -> Any:
    """Send one of a billet's forms."""
    return client.post(url(name, billet.mark), data or {}, **more)


SIZE = {"length_nm": "10", "width_nm": "1-7/16", "thickness_nm": "3/16", "heats": "7"}


STEELS = [("1084", IN // 8, "core"), ("15n20", IN // 16, "jacket"), ("1084", IN // 8, "core")]


BAR = {"name": "Folded", "thickness_nm": "3/16", "width_nm": "1-1/4", "length_nm": "10"}
