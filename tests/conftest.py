"""Builders that tests share: an invented shop, its people, metal, layups and classes."""

from __future__ import annotations

import gc
import os
import shutil
import tempfile
from collections.abc import Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import settings

from tests import needs

if TYPE_CHECKING:
    from tests.kinds import (
        Client,
        ForgeClass,
        Layup,
        MakeClass,
        MakeLayup,
        MakeMaterial,
        MakePiece,
        Material,
        Person,
        Piece,
        Saw,
        ShopSettings,
        Supplier,
    )

# A folder for each process: test workers side by side would remove one another's.
if "billetwright-test-" in os.environ.get("BILLETWRIGHT_DATA", "billetwright-test-"):
    os.environ["BILLETWRIGHT_DATA"] = tempfile.mkdtemp(prefix="billetwright-test-")
os.environ.setdefault("BILLETWRIGHT_SECRET", "only for tests")
os.environ.setdefault("BILLETWRIGHT_TIMEZONE", "UTC")  # the same days on every machine
# The browser's driver keeps an event loop in this thread, which Django takes for async code.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "1")

# A machine that is busy with other tests must not fail an example for being slow.
settings.register_profile("shop", deadline=None)
settings.load_profile("shop")


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Leave out what this machine cannot run."""
    needs.check(item)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with the files that take longest, so that no worker is left alone with one of them."""
    heavy = [{one.path for one in items if one.get_closest_marker(mark)} for mark in HEAVIEST_FIRST]
    items.sort(key=lambda item: next((i for i, at in enumerate(heavy) if item.path in at), 9))


def pytest_collection_finish() -> None:
    """Look for rubbish less often: what was collected stays, and looking takes a tenth."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say in one line what was left out."""
    line = needs.told(terminalreporter.stats.get("skipped", []))
    if line:
        terminalreporter.write_line(line)


IN = 25_400_000
HEAVIEST_FIRST = ("postgres", "browser", "slow")
HTMX = {"HX-Request": "true"}


@pytest.fixture(scope="session", autouse=True)
def data_folder() -> Iterator[None]:
    """Remove the folder that the tests' settings named."""
    yield
    folder = os.environ["BILLETWRIGHT_DATA"]
    if "billetwright-test-" in folder:
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings_parallel_suffix: None) -> None:
    """Test on a file, as a shop does: threads on a database in memory lock each other out."""
    from django.db import connection

    if connection.vendor == "sqlite":
        folder = os.environ["BILLETWRIGHT_DATA"]
        connection.settings_dict["TEST"]["NAME"] = f"{folder}/test-{os.getpid()}.sqlite3"


@pytest.fixture(scope="session", autouse=True)
def quick_passwords() -> None:
    """Hash the invented people's passwords fast; a real hash takes a quarter of a second."""
    from django.conf import settings

    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(scope="session", autouse=True)
def books_step_aside_for_the_flush() -> Iterator[None]:
    """Let tests with real transactions empty the tables, which the books' triggers forbid."""
    from django.test import TransactionTestCase

    from stock.ledger import triggers

    tests: Any = TransactionTestCase
    flushed = tests._fixture_teardown

    def teardown(case: Any) -> None:
        triggers.drop()
        flushed(case)
        triggers.install()

    tests._fixture_teardown = teardown
    yield
    tests._fixture_teardown = flushed


@pytest.fixture
def shop_row(db: None) -> ShopSettings:
    """A shop that is set up: inches, dollars."""
    from shop.models import ShopSettings

    return ShopSettings.objects.create(name="Fennel Lane Forge", values={"system": "inch"})


@pytest.fixture
def owner(shop_row: ShopSettings) -> Person:
    """Somebody who may see money and settings."""
    from shop.models import Person

    return Person.objects.create_user(
        "orla", password="anvil-and-tongs-9", first_name="Orla", role="owner"
    )


@pytest.fixture
def helper(shop_row: ShopSettings) -> Person:
    """Somebody who works in the shop and sees no money."""
    from shop.models import Person

    return Person.objects.create_user(
        "hugo", password="anvil-and-tongs-9", first_name="Hugo", role="helper"
    )


@pytest.fixture
def client() -> Client:
    """A browser that nobody has signed in with."""
    from tests.pages import Browser

    return Browser()


@pytest.fixture
def as_owner(client: Client, owner: Person) -> Client:
    """A browser signed in as the owner."""
    client.force_login(owner)
    return client


@pytest.fixture
def as_helper(client: Client, helper: Person) -> Client:
    """A browser signed in as a helper."""
    client.force_login(helper)
    return client


@pytest.fixture
def supplier(db: None) -> Supplier:
    """Somebody who sells metal."""
    from stock.models import Supplier

    return Supplier.objects.create(name="Marrow & Daughter Steels", days_to_deliver=5)


@pytest.fixture
def saw(db: None) -> Saw:
    """The usual saw, 1 mm kerf."""
    from stock.models import Saw

    return Saw.objects.create(name="bandsaw", kerf_nm=1_000_000, is_usual=True)


@pytest.fixture
def make_material(db: None) -> MakeMaterial:
    """A material; a flat bar of 1084, 1/8 x 1-1/4 in, unless told otherwise."""
    from stock.models import Material

    def build(**changes: Any) -> Material:
        about: dict[str, Any] = {
            "form": "flat",
            "alloy": "1084",
            "thickness_nm": IN // 8,
            "width_nm": IN + IN // 4,
        } | changes
        return Material.objects.get_or_create(**about)[0]

    return build


@pytest.fixture
def make_piece(make_material: MakeMaterial, supplier: Supplier, owner: Person) -> MakePiece:
    """A piece bought and received, with its first entry in the ledger."""
    from stock.ledger import receiving

    def build(
        *,
        length_nm: int = 0,
        width_nm: int = 0,
        mass_ug: int = 0,
        count: int = 1,
        price_cents: int = 0,
        material: Material | None = None,
        heat_lot: str = "",
        place: str = "",
        **about: Any,
    ) -> Piece:
        line = receiving.Line(
            material=material or make_material(**about),
            count=count,
            price_cents=price_cents,
            length_nm=length_nm,
            width_nm=width_nm,
            mass_ug=mass_ug,
            heat_lot=heat_lot,
            place=place,
        )
        pieces = receiving.buy(
            supplier=supplier, lines=[line], delivery_cents=0, on=date(2026, 3, 2), by=owner
        )
        pieces[0].refresh_from_db()
        return pieces[0]

    return build


@pytest.fixture
def make_bar(make_piece: MakePiece) -> MakePiece:
    """A flat bar on the rack, 36 in for 24.00 unless told otherwise."""

    def build(*, length_nm: int = 36 * IN, price_cents: int = 2400, **about: Any) -> Piece:
        return make_piece(length_nm=length_nm, price_cents=price_cents, **about)

    return build


@pytest.fixture
def make_layup(db: None) -> MakeLayup:
    """A sound five-layer layup of copper between 1084 cladding and a 1095 core."""
    from billets.models import Layer, Layup

    def build(
        *,
        name: str = "Five layers",
        layers: Sequence[tuple[str, int, str]] | None = None,
        **changes: Any,
    ) -> Layup:
        layup = Layup.objects.create(name=name, **changes)
        stack = layers or [
            ("1084", IN // 8, "cladding"),
            ("c10200", IN // 50, "line"),
            ("1095", IN * 3 // 16, "core"),
            ("c10200", IN // 50, "line"),
            ("1084", IN // 8, "cladding"),
        ]
        for position, (alloy, thickness_nm, role) in enumerate(stack):
            Layer.objects.create(
                layup=layup, position=position, alloy=alloy, thickness_nm=thickness_nm, role=role
            )
        return layup

    return build


@pytest.fixture
def make_class(make_layup: MakeLayup) -> MakeClass:
    """A class with so many students and spares."""
    from shop.models import ForgeClass, Seat

    def build(
        *, students: int = 2, spares: int = 0, layup: Layup | None = None, **changes: Any
    ) -> ForgeClass:
        about = {
            "title": "Copper blades",
            "starts_on": date(2026, 5, 9),
            "ends_on": date(2026, 5, 10),
            "seat_count": students,
            "spares": spares,
        } | changes
        row = ForgeClass.objects.create(layup=layup or make_layup(), **about)
        for number in range(1, students + spares + 1):
            Seat.objects.create(
                forge_class=row,
                number=number,
                student=f"Student {number}" if number <= students else "",
                is_spare=number > students,
            )
        return row

    return build
