"""One way back for both databases: proved before it takes the place, and undone by one command."""

from __future__ import annotations

import itertools
import shlex
import subprocess
import tarfile
from collections.abc import Callable, Iterator
from pathlib import Path

import psycopg
import pytest

from tests.shop.running import small_shops
from tests.shop.running.small_shops import ALTER, TRIGGERS, SmallShop

Make = Callable[[], SmallShop]
KINDS = [
    pytest.param(small_shops.sqlite_shop, marks=pytest.mark.slow, id="sqlite"),
    pytest.param(small_shops.postgres_shop, marks=pytest.mark.postgres, id="postgres"),
]
COUNTER = itertools.count(1)
NEWER = (
    "INSERT INTO django_migrations (app, name, applied)"
    " VALUES ('shop', '0999_of_tomorrow', '2031-01-01')"
)
RENAME = "UPDATE shop_shopsettings SET name = '{}'"
PASSPHRASE = "anvil lantern otter quince"


@pytest.fixture(scope="module", params=KINDS)
def filled(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[SmallShop]:
    """A shop with metal, made once for each kind of database."""
    with request.param(tmp_path_factory.mktemp("filled")) as shop:
        yield shop


@pytest.fixture
def make_shop(filled: SmallShop, tmp_path: Path) -> Make:
    """Shops of a test's own, each with the same in it."""

    def build() -> SmallShop:
        number = next(COUNTER)
        folder = tmp_path / f"data {number}"
        folder.mkdir()
        return small_shops.another(filled, folder, f"shop{number}")

    return build


@pytest.fixture
def shop(make_shop: Make) -> SmallShop:
    """The shop at work."""
    return make_shop()


def text_of(path: Path) -> bytes:
    """Everything that a backup holds, as far as anybody could read it."""
    if path.suffix == ".sqlite3":
        return path.read_bytes()
    line = ["pg_restore", "--file=-", str(path)]
    return subprocess.run(line, capture_output=True, check=True).stdout


def test_a_backup_comes_back_whole_and_one_command_undoes_it(shop: SmallShop) -> None:
    copy = shop.backed_up("copy")
    entries, triggers = shop.rows("SELECT * FROM stock_entry"), shop.rows(TRIGGERS[shop.ending])
    shop.execute(RENAME.format("changed since"))

    done = shop.manage("restore", str(copy))

    assert done.returncode == 0, done.stderr
    assert "Metal and money are conserved." in done.stdout
    assert shop.name() == "Fennel Lane Forge"
    assert shop.rows("SELECT * FROM stock_entry") == entries
    assert shop.rows(TRIGGERS[shop.ending]) == triggers
    assert len(shop.beside()) == 1

    undo = shlex.split(done.stdout.strip().splitlines()[-1].partition("undo this: python3 ")[2])
    undone = shop.run(*undo)

    assert undone.returncode == 0, undone.stderr
    assert shop.name() == "changed since"


def test_a_copy_cut_off_at_nine_tenths_leaves_the_shop_untouched(shop: SmallShop) -> None:
    copy = shop.backed_up("copy")
    whole = copy.read_bytes()
    copy.write_bytes(whole[: len(whole) * 9 // 10])
    before = shop.all_of_it()

    done = shop.manage("restore", str(copy))

    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    assert shop.all_of_it() == before


def test_a_copy_with_an_altered_line_is_refused_before_it_takes_the_place(
    shop: SmallShop, make_shop: Make
) -> None:
    altered = make_shop()
    altered.execute(*ALTER[altered.ending])
    copy = altered.backed_up("altered")
    before = shop.all_of_it()

    done = shop.manage("restore", str(copy))

    assert done.returncode == 1
    assert "its entries add up to 914401000" in done.stderr
    assert "it was not put in place" in done.stderr
    assert shop.all_of_it() == before


def test_a_copy_whose_books_do_not_add_up_is_put_in_place_when_that_is_said(
    shop: SmallShop, make_shop: Make
) -> None:
    altered = make_shop()
    altered.execute(*ALTER[altered.ending], RENAME.format("altered"))
    copy = altered.backed_up("altered")

    done = shop.manage("restore", str(copy), "--with-faults")

    assert done.returncode == 0, done.stderr
    assert "its entries add up to 914401000" in done.stderr
    assert shop.name() == "altered"


def test_a_copy_of_a_newer_version_is_refused(shop: SmallShop, make_shop: Make) -> None:
    newer = make_shop()
    newer.execute(NEWER)
    copy = newer.backed_up("newer") if newer.ending == "pgdump" else newer.folder / "shop.sqlite3"
    before = shop.all_of_it()

    done = shop.manage("restore", str(copy))

    assert done.returncode == 1
    assert "written by a newer version of this app (it has shop 0999_of_tomorrow)" in done.stderr
    assert shop.all_of_it() == before


def test_words_and_files_that_are_no_copy_are_refused(shop: SmallShop, tmp_path: Path) -> None:
    notes = tmp_path / "notes.txt"
    notes.write_text("no database at all, only words " * 50)
    before = shop.all_of_it()

    refused = shop.manage("restore", str(notes))
    missing = shop.manage("restore", str(tmp_path / "nothing"))

    assert (refused.returncode, missing.returncode) == (1, 1)
    assert "Traceback" not in refused.stderr
    assert f"There is no file {tmp_path / 'nothing'}" in missing.stderr
    assert shop.all_of_it() == before


def test_a_backup_holds_no_way_in(shop: SmallShop) -> None:
    ((key,),) = shop.rows("SELECT session_key FROM django_session")
    ((token,),) = shop.rows("SELECT token FROM shop_calendarlink")

    held = text_of(shop.backed_up("copy"))

    assert b"Marrow & Daughter Steels" in held
    assert key.encode() not in held
    assert token.encode() not in held
    assert len(shop.rows("SELECT 1 FROM django_session")) == 1


def test_ways_in_of_an_older_copy_are_not_put_back(
    shop: SmallShop, filled: SmallShop, tmp_path: Path
) -> None:
    copy = filled.folder / "shop.sqlite3"
    if filled.ending == "pgdump":
        copy = tmp_path / "older.pgdump"
        line = ["pg_dump", "--format=custom", f"--file={copy}", f"--dbname={filled.url}"]
        subprocess.run(line, check=True)

    done = shop.manage("restore", str(copy))

    assert done.returncode == 0, done.stderr
    assert shop.rows("SELECT 1 FROM django_session") == []
    assert shop.rows("SELECT 1 FROM shop_calendarlink") == []


def test_a_sealed_backup_opens_with_its_passphrase_only(shop: SmallShop, tmp_path: Path) -> None:
    right, wrong = tmp_path / "right.txt", tmp_path / "wrong.txt"
    right.write_text(PASSPHRASE + "\n")
    wrong.write_text("some other words\n")
    copy = shop.backed_up("sealed", "--passphrase-file", str(right))
    shop.execute(RENAME.format("changed since"))
    before = shop.all_of_it()

    none = shop.manage("restore", str(copy))
    refused = shop.manage("restore", str(copy), "--passphrase-file", str(wrong))
    after = shop.all_of_it()
    opened = shop.manage("restore", str(copy), "--passphrase-file", str(right))

    assert b"Marrow" not in copy.read_bytes()
    with tarfile.open(copy) as sealed:
        assert sealed.getnames() == ["key.age", "copy.age"]
    assert "give --passphrase-file" in none.stderr
    assert "does not open: the passphrase is another one" in refused.stderr
    assert after == before
    assert opened.returncode == 0, opened.stderr
    assert shop.name() == "Fennel Lane Forge"


def test_nobody_else_on_the_machine_can_read_what_is_made(shop: SmallShop) -> None:
    (shop.folder / "backups").mkdir(mode=0o755)
    older = shop.folder / "backups" / "older.sqlite3"
    older.write_text("from a version that left it open")
    older.chmod(0o644)

    done = shop.manage("backup")
    restored = shop.manage("restore", str(shop.backed_up("copy")))

    assert (done.returncode, restored.returncode) == (0, 0)
    made = [path for path in shop.folder.rglob("*") if path.parent.name != "static"]
    assert len(made) >= 4
    assert [path for path in made if path.stat().st_mode & 0o077] == []


@pytest.mark.postgres
def test_an_app_that_is_connected_does_not_keep_a_restore_out(shop: SmallShop) -> None:
    if shop.ending != "pgdump":
        pytest.skip("on SQLite a running app is tried with its own file")
    copy = shop.backed_up("copy")
    shop.execute(RENAME.format("changed since"))

    working = psycopg.connect(shop.url)
    working.execute("SELECT 1")
    done = shop.manage("restore", str(copy))
    working.close()

    assert done.returncode == 0, done.stderr
    assert shop.name() == "Fennel Lane Forge"


@pytest.mark.postgres
def test_a_user_who_may_make_no_database_is_told_before_anything_is_done(shop: SmallShop) -> None:
    if shop.ending != "pgdump":
        pytest.skip("SQLite has no users")
    copy = shop.backed_up("copy")
    shop.execute("CREATE ROLE smith LOGIN")
    before = shop.all_of_it()
    as_smith = SmallShop(shop.folder, shop.url.replace("shop@", "smith@"), shop.ending)

    done = as_smith.manage("restore", str(copy))

    assert done.returncode == 1
    assert 'ALTER ROLE "smith" CREATEDB;' in done.stderr
    assert shop.all_of_it() == before
