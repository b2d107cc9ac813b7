"""What keeps a command from running is said in one sentence, without a traceback."""

from __future__ import annotations

import ast
import os
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured

import manage as manage_py
from shop.settings import kept_secret


def manage(folder: Path, *words: str, **env: str) -> subprocess.CompletedProcess[str]:
    """Run a command of ours on a data folder of its own."""
    about = os.environ | {"BILLETWRIGHT_DATA": str(folder), "BILLETWRIGHT_DEMO": "0"}
    about.pop("DATABASE_URL", None)
    line = [sys.executable, str(settings.BASE_DIR / "manage.py"), *words]
    return subprocess.run(
        line, env=about | env, capture_output=True, text=True, check=False, timeout=60
    )


@pytest.mark.slow
@pytest.mark.parametrize(
    ("env", "told"),
    [
        ({"DATABASE_URL": "banana"}, "DATABASE_URL cannot be read."),
        ({"DATABASE_URL": "mysql://a:secret@b/c"}, "a kind of database that this app does not"),
        ({"BILLETWRIGHT_TIMEZONE": "Mars/North"}, "'Mars/North', which is no time zone here"),
        ({"BILLETWRIGHT_DEBUG": "maybe"}, "BILLETWRIGHT_DEBUG is 'maybe'; set it to 0 or 1."),
    ],
)
def test_a_setting_that_cannot_be_is_told(tmp_path: Path, env: dict[str, str], told: str) -> None:
    done = manage(tmp_path, "check_ledger", **env)

    assert done.returncode == 1
    assert told in done.stderr
    assert "Traceback" not in done.stderr
    assert "secret" not in done.stderr


@pytest.mark.slow
def test_a_data_folder_that_is_a_file_is_told(tmp_path: Path) -> None:
    path = tmp_path / "notes"
    path.write_text("not a folder")

    done = manage(path, "check_ledger")

    assert done.returncode == 1
    assert f"The data folder {path} cannot be used: File exists." in done.stderr


@pytest.mark.slow
def test_a_shop_that_was_never_set_up_is_led_to_start(tmp_path: Path) -> None:
    done = manage(tmp_path, "check_ledger")

    assert done.returncode == 1
    assert "`python3 manage.py start` brings it up to date" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.slow
def test_a_file_that_is_no_database_is_told_at_the_start(tmp_path: Path) -> None:
    (tmp_path / "shop.sqlite3").write_text("no database at all, only words")

    done = manage(tmp_path, "start", "--port", "18361")

    assert done.returncode == 1
    assert "file is not a database" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--port", "99999"), "Port 99999 is none; write one from 1 to 65535"),
        (("--port", "0"), "Port 0 is none"),
        (("--threads", "0"), "0 threads will not do; write 1 to 64."),
        (("--host", "no.such.invalid"), "'no.such.invalid' is no address of this machine."),
    ],
)
def test_a_start_that_cannot_be_is_refused(
    tmp_path: Path, words: tuple[str, ...], told: str
) -> None:
    done = manage(tmp_path, "start", *words)

    assert done.returncode == 1
    assert told in done.stderr


@pytest.mark.slow
def test_a_port_that_is_taken_is_told_with_the_next_one(tmp_path: Path) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]

        done = manage(tmp_path, "start", "--port", str(port))

    assert done.returncode == 1
    assert f"Port {port} on 127.0.0.1 cannot be used" in done.stderr
    assert f"Try --port {port + 1}." in done.stderr


@pytest.mark.slow
def test_a_browser_behind_a_proxy_is_not_taken_for_one_at_this_machine(tmp_path: Path) -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    about = os.environ | {"BILLETWRIGHT_DATA": str(tmp_path), "BILLETWRIGHT_DEMO": "0"}
    about.pop("DATABASE_URL", None)
    line = [sys.executable, str(settings.BASE_DIR / "manage.py"), "start", "--port", str(port)]
    with subprocess.Popen(line, env=about, stdout=subprocess.DEVNULL) as server:
        try:
            at_the_machine = first_page(port)
            through_a_proxy = first_page(port, **{"X-Forwarded-For": "203.0.113.9"})
        finally:
            server.terminate()

    assert 'name="code"' not in at_the_machine
    assert 'name="code"' in through_a_proxy


def first_page(port: int, **headers: str) -> str:
    """The first-run page, as soon as the server answers."""
    asked = urllib.request.Request(f"http://127.0.0.1:{port}/first-run/", headers=headers)
    for _ in range(120):
        try:
            with urllib.request.urlopen(asked, timeout=10) as answer:
                return str(answer.read().decode())
        except OSError:
            time.sleep(0.5)
    raise AssertionError("the server did not answer within a minute")


def test_a_key_that_was_not_written_to_its_end_is_made_again(tmp_path: Path) -> None:
    path = tmp_path / "secret.txt"
    path.write_text("")

    made = kept_secret(tmp_path)

    assert len(made) > 50
    assert path.read_text() == made == kept_secret(tmp_path)
    assert path.stat().st_mode & 0o777 == 0o600
    assert list(tmp_path.iterdir()) == [path]


def test_a_key_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    (tmp_path / "secret.txt").mkdir()

    with pytest.raises(ImproperlyConfigured, match=r"secret.txt cannot be used: Is a directory"):
        kept_secret(tmp_path)


def test_an_older_python_is_told_which_one_is_needed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 8, 18))

    with pytest.raises(SystemExit, match=r"needs Python 3.11 or newer; this is Python 3.8"):
        manage_py.main()


def test_what_an_older_python_reads_first_is_plain_enough_for_it() -> None:
    source = (settings.BASE_DIR / "manage.py").read_text()

    tree = ast.parse(source, feature_version=(3, 6))

    early = [node for node in ast.walk(tree) if isinstance(node, (ast.Import, ast.ImportFrom))]
    assert [ast.unparse(node) for node in early[:2]] == ["import os", "import sys"]
    assert ast.unparse(tree).index("version_info") < ast.unparse(tree).index("bootstrap")
