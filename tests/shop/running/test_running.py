"""What keeps a command from running is said in one sentence, without a traceback."""

from __future__ import annotations

import ast
import os
import platform
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import ExitStack
from pathlib import Path
from types import SimpleNamespace

import pytest
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured

import manage as manage_py
from shop.management.commands import start
from shop.running import own_hosts
from shop.settings import kept_secret
from tests.kinds import Settings


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
def test_a_served_shop_answers_to_the_machines_names_only(tmp_path: Path) -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    about = os.environ | {"BILLETWRIGHT_DATA": str(tmp_path), "BILLETWRIGHT_DEMO": "0"}
    about.pop("DATABASE_URL", None)
    line = [sys.executable, str(settings.BASE_DIR / "manage.py"), "start", "--port", str(port)]
    with subprocess.Popen(line, env=about, stdout=subprocess.PIPE, text=True) as server:
        try:
            own = first_page(port)
            of_the_machine = first_page(port, Host=platform.node())
            strange = first_page(port, Host="rebound.example")
        finally:
            server.terminate()
        said = server.stdout.read() if server.stdout else ""

    code = (tmp_path / "first-run-code.txt").read_text()
    assert f"It asks for this code: {code}" in said
    assert 'name="code"' in own
    assert 'name="code"' in of_the_machine
    assert "does not answer to the name in the address" in strange
    assert [path for path in tmp_path.glob("*.*") if path.stat().st_mode & 0o077] == []


@pytest.mark.slow
def test_requests_that_are_begun_and_never_ended_keep_nobody_out(tmp_path: Path) -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    about = os.environ | {"BILLETWRIGHT_DATA": str(tmp_path), "BILLETWRIGHT_DEMO": "0"}
    about.pop("DATABASE_URL", None)
    line = [sys.executable, str(settings.BASE_DIR / "manage.py"), "start", "--port", str(port)]
    with ExitStack() as held, subprocess.Popen(line, env=about, stdout=subprocess.DEVNULL) as app:
        try:
            first_page(port)
            for _ in range(130):
                half = held.enter_context(socket.create_connection(("127.0.0.1", port)))
                half.sendall(b"POST /first-run/ HTTP/1.1\r\nHost: localhost\r\nContent-Le")
            time.sleep(1)
            asked = f"http://127.0.0.1:{port}/alive/"
            with urllib.request.urlopen(asked, timeout=10) as answer:
                said = answer.read()
        finally:
            app.terminate()

    assert said == b"alive\n"


def first_page(port: int, **headers: str) -> str:
    """The first-run page, as soon as the server answers."""
    asked = urllib.request.Request(f"http://127.0.0.1:{port}/first-run/", headers=headers)
    for _ in range(120):
        try:
            with urllib.request.urlopen(asked, timeout=10) as answer:
                return str(answer.read().decode())
        except urllib.error.HTTPError as refused:
            return str(refused.read().decode())
        except OSError:
            time.sleep(0.5)
    raise AssertionError("the server did not answer within a minute")


def test_the_machines_own_names_and_addresses_are_known() -> None:
    hosts = own_hosts.own_hosts()

    assert hosts[:3] == ["localhost", "127.0.0.1", "[::1]"]
    assert platform.node().lower() in hosts
    assert "*" not in hosts
    assert len(hosts) == len(set(hosts))


def test_addresses_are_written_as_in_an_address_line(monkeypatch: pytest.MonkeyPatch) -> None:
    def ip(value: object) -> SimpleNamespace:
        return SimpleNamespace(ip=value)

    found = [ip("192.0.2.7"), ip(("2001:db8::7", 0, 0)), ip(("fe80::7", 0, 2)), ip("169.254.1.2")]
    monkeypatch.setattr("ifaddr.get_adapters", lambda: [SimpleNamespace(ips=found)])

    assert own_hosts.own_addresses() == ["192.0.2.7", "[2001:db8::7]"]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("env", "expected"),
    [
        ({"BILLETWRIGHT_HOSTS": "forge.example, 192.0.2.9"}, "['forge.example', '192.0.2.9']"),
        ({"BILLETWRIGHT_ORIGINS": "https://forge.example"}, "'forge.example', "),
        ({}, "['localhost', '127.0.0.1', '[::1]', "),
    ],
)
def test_hosts_that_are_set_are_the_only_ones(
    tmp_path: Path, env: dict[str, str], expected: str
) -> None:
    about = os.environ | {"BILLETWRIGHT_DATA": str(tmp_path)} | env
    line = "from shop import settings; print([*settings.ALLOWED_HOSTS, ''])"
    done = subprocess.run(
        [sys.executable, "-c", line],
        cwd=settings.BASE_DIR,
        env=about,
        capture_output=True,
        text=True,
        check=True,
    )

    assert expected.removesuffix("]") in done.stdout
    assert "'*'" not in done.stdout


def test_a_name_that_the_start_was_given_is_answered_to(settings: Settings) -> None:
    settings.ALLOWED_HOSTS = ["localhost"]

    for host in ("0.0.0.0", "::", "Forge.Lan", "2001:db8::7"):
        start.answer_to(host)

    assert settings.ALLOWED_HOSTS == ["localhost", "forge.lan", "[2001:db8::7]"]


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
