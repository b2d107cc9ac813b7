"""A browser and a demo shop to point it at: served as a user would start it."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from shop.demo import HELPER, OWNER, PASSWORD
from tests import needs

ROOT = Path(__file__).resolve().parents[2]
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 900}
PATIENCE_S = 240  # a demo is made first, measured, beside others on two cores


@pytest.fixture(scope="module")
def browser_app() -> Iterator[Browser]:
    """A Chromium for the tests of a module; left open, it would slow down all that come after."""
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=needs.chromium_path(), args=FLAGS)
        yield browser
        browser.close()


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """`manage.py start --demo` on a port of its own; gives its address."""
    yield from served(tmp_path_factory.mktemp("demo"), "--demo")


@dataclass(frozen=True)
class WrittenSite:
    """A demo shop that tests may write to as they like, each putting back what was there."""

    url: str
    database: Path


@pytest.fixture(scope="session")
def written_site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[WrittenSite]:
    """A second demo shop: what is pressed here must not be missing in the first."""
    folder = tmp_path_factory.mktemp("written")
    for url in served(folder, "--demo"):
        yield WrittenSite(url, folder / "demo.sqlite3")


@pytest.fixture
def empty_site(tmp_path: Path) -> Iterator[str]:
    """`manage.py start` of a shop that is not set up; gives its address."""
    yield from served(tmp_path)


def served(folder: Path, *words: str) -> Iterator[str]:
    """The app on a port and a data folder of its own, until it is no longer needed."""
    port = free_port()
    env = os.environ | {"BILLETWRIGHT_DATA": str(folder)}
    env.pop("DATABASE_URL", None)
    # Not measured: tests without a browser measure what pages run, and it halves the pace.
    env.pop("COVERAGE_PROCESS_CONFIG", None)
    line = [sys.executable, "manage.py", "start", *words, "--port", str(port)]
    log = (folder / "server.log").open("w")
    server = subprocess.Popen(line, cwd=ROOT, env=env, stdout=log, stderr=log)
    url = f"http://127.0.0.1:{port}"
    try:
        wait_for(url, server, folder / "server.log")
        yield url
    finally:
        server.terminate()
        server.wait(10)
        log.close()


def wait_for(url: str, server: subprocess.Popen[bytes], log: Path) -> None:
    """Wait until the app says that it is alive."""
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        assert server.poll() is None, log.read_text()
        try:
            with urllib.request.urlopen(f"{url}/alive/", timeout=2):
                return
        except OSError:
            time.sleep(0.2)
    raise AssertionError(f"no answer in {PATIENCE_S} s: {log.read_text()}")


Opener = Callable[..., Page]


@pytest.fixture
def open_page(browser_app: Browser, demo_site: str) -> Iterator[Opener]:
    """Opens the demo shop signed in, on a phone or a desk, with scripts or without."""
    contexts: list[BrowserContext] = []

    def opener(
        *, size: dict[str, int] = PHONE, scripts: bool = True, who: str = OWNER, path: str = "/"
    ) -> Page:
        context = browser_app.new_context(
            viewport={"width": size["width"], "height": size["height"]},
            java_script_enabled=scripts,
            base_url=demo_site,
        )
        contexts.append(context)
        page = context.new_page()
        page.goto("/sign-in/")
        page.fill("[name=username]", who)
        page.fill("[name=password]", PASSWORD)
        page.click("main button[type=submit]")
        page.goto(path)
        return page

    yield opener
    for context in contexts:
        context.close()


__all__ = ["DESK", "HELPER", "PHONE", "Opener", "WrittenSite"]
