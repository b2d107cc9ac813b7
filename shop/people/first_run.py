"""The one-time code of a shop that is not set up yet.

The code stands in a file in the data folder and is printed by `manage.py start`; the page asks
for it wherever the browser is, since a page or a proxy elsewhere can look as if it were here.
"""

from __future__ import annotations

import secrets
from pathlib import Path

from django.conf import settings

from shop.models import ShopSettings

ALPHABET = "ACDEFGHJKMNPQRTUVWXY34679"


class AlreadySetUp(ValueError):
    """The page works once only."""

    def __init__(self) -> None:
        super().__init__("This shop is set up already. Sign in instead.")


def code_path() -> Path:
    """Where the code is kept until it is used."""
    return Path(settings.DATA_DIR) / "first-run-code.txt"


def code() -> str:
    """The code; made when first asked for."""
    path = code_path()
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        beside = path.with_name(f"first-run-code-{secrets.token_hex(4)}.txt")
        beside.write_text("".join(secrets.choice(ALPHABET) for _ in range(8)))
        beside.chmod(0o600)
        beside.replace(path)  # whole, or two that begin at once would read half of it
    return path.read_text().strip()


def is_right_code(given: str) -> bool:
    """Whether somebody typed the code that the terminal shows."""
    typed = given.strip().upper().replace("-", "").replace(" ", "")
    return secrets.compare_digest(typed.encode(), code().encode())


def is_set_up() -> bool:
    """Whether the shop has its settings and an owner."""
    return ShopSettings.objects.exists()
