"""A page as its reader takes it in, and what is left of a piece after an act on it."""

from typing import Any

from bs4 import BeautifulSoup
from django.urls import reverse

from stock.models import Piece
from tests.kinds import Client, Response


def read(content: bytes | str) -> Any:
    """The page, to be asked for what it shows."""
    return BeautifulSoup(content, "html.parser")


def act_on(client: Client, piece: Piece, act: str, /, **typed: str) -> Response:
    """Fill in the form of an act and send it."""
    data = {f"{act}-{name}": value for name, value in typed.items()}
    return client.post(reverse("stock:piece-act", args=[piece.mark, act]), data)


def standing(piece: Piece) -> tuple[int, int]:
    """On hand and value."""
    piece.refresh_from_db()
    return piece.on_hand, piece.value_cents
