"""Reads pages as they were answered: a browser of the tests, and what must be on a page."""

from __future__ import annotations

import re
from typing import Any

from bs4 import BeautifulSoup, Tag
from django.test import Client

# White space in these is typed text, not the layout of a template.
AS_TYPED = re.compile(r"(<(?:textarea|pre|script)\b.*?</(?:textarea|pre|script)>)", re.DOTALL)


def on_one_line(html: str) -> str:
    """Markup with every run of white space as one space, and none before a tag ends."""
    return re.sub(r"[ \t\r\n\f]+", " ", html).replace(" >", ">")


class Browser(Client):
    """A test client that reads white space as a browser does: any run of it is one space."""

    def request(self, **request: Any) -> Any:
        """The answer, its page laid out on one line."""
        answer = super().request(**request)
        if answer.get("Content-Type", "").startswith("text/html") and not answer.streaming:
            parts = AS_TYPED.split(answer.content.decode())
            parts[::2] = [
                re.sub(r"[ \t\r\n\f]+", " ", part).replace(" >", ">") for part in parts[::2]
            ]
            answer.content = "".join(parts).encode()
        return answer


def one(page: BeautifulSoup | Tag, selector: str) -> Tag:
    """The first element that a selector finds."""
    found = page.select_one(selector)
    assert found is not None, f"nothing on the page is {selector}"
    return found


def words(page: BeautifulSoup | Tag, selector: str) -> str:
    """What a reader sees of the first element that a selector finds, on one line."""
    return " ".join(one(page, selector).text.split())
