"""The one-time code of a shop that is not set up yet.

The code stands in a file in the data folder and is printed by `manage.py start`; the page asks
for it from everywhere but the machine itself.
"""

from __future__ import annotations

import secrets
from pathlib import Path

from django.conf import settings

from shop.models import ShopSettings

ALPHABET = "ACDEFGHJKMNPQRTUVWXY34679"
LOOPBACK = ("127.0.0.1", "::1")


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
        path.write_text("".join(secrets.choice(ALPHABET) for _ in range(8)))
        path.chmod(0o600)
    return path.read_text().strip()


def is_right_code(given: str) -> bool:
    """Whether somebody typed the code that the terminal shows."""
    typed = given.strip().upper().replace("-", "").replace(" ", "")
    return secrets.compare_digest(typed.encode(), code().encode())


def is_set_up() -> bool:
    """Whether the shop has its settings and an owner."""
    return ShopSettings.objects.exists()
