"""What makes two presses the same one. Pure.

It leaves out keeping them (`shop.once.writing`) and answering them (`shop.once.middleware`).
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Mapping, Sequence

FIELD = "once"  # the hidden field of every form that acts
ASIDE = frozenset({FIELD, "csrfmiddlewaretoken"})
KEPT_DAYS = 30  # as long as somebody stays signed in: no older page can be sent

_TOKEN = re.compile(r"[A-Za-z0-9_-]{16,64}")
_WRITES = re.compile(r"\s*(INSERT|UPDATE|DELETE|REPLACE)\b", re.IGNORECASE)
_NO_ACT = ("django_session", "shop_press")  # tables: who is signed in, and our own notes


def key_of(
    token: str,
    *,
    person: int,
    path: str,
    given: Mapping[str, Sequence[str]],
    files: Iterable[tuple[str, str, int]] = (),
) -> str:
    """The same for the same form, sent by the same person to the same place with the same words.

    A form that is changed after going back to it is another act.

    Args:
        token: what the form was given when it was shown.
        person: number of who sends it.
        path: address that it is sent to.
        given: what was typed and which button was pressed, by field; several values in order.
        files: field, name and size [bytes] of each file that came with it.

    Returns:
        64 hexadecimal digits; empty where the token is none of ours, which guards nothing.

    >>> key_of("", person=1, path="/", given={})
    ''
    """
    if not _TOKEN.fullmatch(token):
        return ""
    told = sorted((name, list(words)) for name, words in given.items() if name not in ASIDE)
    whole = json.dumps([token, person, path, told, sorted(files)])
    return hashlib.sha256(whole.encode()).hexdigest()


def acts(sql: str) -> bool:
    """Whether a statement writes to the shop's books: looking and signing in are no acts.

    Args:
        sql: the statement, as it is sent to the database.

    Returns:
        True for one that adds, changes or takes away rows of the shop.

    >>> acts('UPDATE "stock_piece" SET ...'), acts('SELECT 1')
    (True, False)
    """
    return bool(_WRITES.match(sql)) and not any(table in sql[:120] for table in _NO_ACT)
