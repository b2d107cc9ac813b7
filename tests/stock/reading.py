"""A page as its reader takes it in."""

from typing import Any

from bs4 import BeautifulSoup


def read(content: bytes | str) -> Any:
    """The page, to be asked for what it shows."""
    return BeautifulSoup(content, "html.parser")
