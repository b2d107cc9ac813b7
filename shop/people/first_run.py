"""The one-time code of a shop that is not set up yet, and the setting up itself.

The code stands in a file in the data folder and is printed by `manage.py start`; the page asks
for it wherever the browser is, since a page or a proxy elsewhere can look as if it were here.
"""

from __future__ import annotations

import secrets
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import transaction

from shop.models import Person, ShopSettings
from stock.models import Saw

ALPHABET = "ACDEFGHJKMNPQRTUVWXY34679"
INCH_VALUES = {  # near the metric ones of `House`, in figures that an inch shop would write
    "line_min_nm": 101_600,  # 0.004 in
    "line_max_nm": 508_000,  # 0.020 in
    "drift_allowance_nm": 203_200,  # 0.008 in
    "edge_thickness_nm": 254_000,  # 0.010 in
    "scale_per_heat_nm": 25_400,  # 0.001 in
    "bead_leg_nm": 3_968_750,  # 5/32 in
}
INCH_KERF_NM, METRIC_KERF_NM = 1_190_625, 1_000_000  # 3/64 in; common practice for a bandsaw


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


@transaction.atomic
def set_up(
    *, name: str, values: dict[str, Any], username: str, first_name: str, password: str
) -> Person:
    """Make the shop, its owner and one usual saw.

    Raises:
        AlreadySetUp: it was made before.
    """
    if is_set_up():
        raise AlreadySetUp
    is_inch = values.get("system") == "inch"
    usual = INCH_VALUES if is_inch else {}
    ShopSettings.objects.create(pk=1, name=name, values=usual | values)
    owner = Person.objects.create_user(
        username, password=password, first_name=first_name, role=Person.Role.OWNER
    )
    Saw.objects.create(
        name="bandsaw", kerf_nm=INCH_KERF_NM if is_inch else METRIC_KERF_NM, is_usual=True
    )
    Saw.objects.create(name="shears", kerf_nm=0)
    code_path().unlink(missing_ok=True)
    return owner
