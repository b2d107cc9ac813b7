"""The only writer of the shop's settings and its people, from the setting up on."""

from __future__ import annotations

from typing import Any

from django.db import transaction

from shop.models import Person, ShopSettings
from shop.people import first_run
from stock.models import Saw

INCH_VALUES = {  # near the metric ones of `House`, in figures that an inch shop would write
    "line_min_nm": 101_600,  # 0.004 in
    "line_max_nm": 508_000,  # 0.020 in
    "drift_allowance_nm": 203_200,  # 0.008 in
    "edge_thickness_nm": 254_000,  # 0.010 in
    "scale_per_heat_nm": 25_400,  # 0.001 in
    "bead_leg_nm": 3_968_750,  # 5/32 in
}
INCH_KERF_NM, METRIC_KERF_NM = 1_190_625, 1_000_000  # 3/64 in; common practice for a bandsaw


@transaction.atomic
def set_up(
    *, name: str, values: dict[str, Any], username: str, first_name: str, password: str
) -> Person:
    """Make the shop, its owner and one usual saw.

    Raises:
        AlreadySetUp: it was made before.
    """
    if first_run.is_set_up():
        raise first_run.AlreadySetUp
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
    first_run.code_path().unlink(missing_ok=True)
    return owner


@transaction.atomic
def keep_settings(*, name: str, values: dict[str, Any]) -> None:
    """The shop's name and what its owner chose; what stands beside it stays."""
    row = ShopSettings.objects.get()
    row.name, row.values = name, row.values | values
    row.save()


def keep_person(person: Person, *, password: str = "") -> Person:
    """Somebody who may sign in, new or changed; without a password they keep the one they have."""
    if password:
        person.set_password(password)
    person.save()
    return person
