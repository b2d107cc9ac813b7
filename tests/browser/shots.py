"""Makes the pictures of the README from a demo that is being served.

    python3 manage.py start --demo --port 8000
    .venv/bin/python -m tests.browser.shots http://127.0.0.1:8000

It leaves out the picture of a sheet, which comes from the PDF.
"""

from __future__ import annotations

import sys
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from shop.demo import OWNER, PASSWORD
from tests import needs
from tests.browser.conftest import FLAGS

SHOTS = Path(__file__).parent / "shots"
LAYUP = "Nine layers, two lines a side"
MOST_BYTES = 200_000


def signed_in(browser: Browser, address: str, *, width: int, height: int, scale: float) -> Page:
    """A page of the demo, light, as its owner sees it."""
    page = browser.new_page(
        viewport={"width": width, "height": height}, device_scale_factor=scale, base_url=address
    )
    page.goto("/sign-in/")
    page.fill("[name=username]", OWNER)
    page.fill("[name=password]", PASSWORD)
    page.click("main button[type=submit]")
    return page


def open_layup(page: Page) -> None:
    """The layup of the pictures."""
    page.goto("/layups/")
    page.get_by_role("link", name=LAYUP).click()
    page.wait_for_selector("#blade[data-bevel]")


def shoot_blade(browser: Browser, address: str) -> None:
    """One face from the side with its sliders, the section, the other face.

    The window is taller than the page, so that the sliders stay at its top.
    """
    page = signed_in(browser, address, width=1100, height=6000, scale=1)
    open_layup(page)
    page.locator("#blade").screenshot(path=SHOTS / "blade.png")


def shoot_layup(browser: Browser, address: str) -> None:
    """A finding and the stack on a phone, while a core that is too thin is being typed."""
    page = signed_in(browser, address, width=390, height=844, scale=1.5)
    open_layup(page)
    page.fill("[name='layer-4-thickness']", "1/16")
    page.wait_for_selector("#before .findings .care")
    page.evaluate("document.getElementById('before').scrollIntoView()")
    page.screenshot(path=SHOTS / "layup-phone.png")


def shoot_rack(browser: Browser, address: str) -> None:
    """One alloy of the rack on a desk: whole bars, one partly set aside, offcuts."""
    page = signed_in(browser, address, width=1100, height=900, scale=1.25)
    page.goto("/rack/?alloy=1095")
    page.screenshot(path=SHOTS / "rack.png")


def main(address: str) -> None:
    """All three; a picture that grew too large for a README is said."""
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=needs.chromium_path(), args=FLAGS)
        for shoot in (shoot_blade, shoot_layup, shoot_rack):
            shoot(browser, address)
        browser.close()
    for path in sorted(SHOTS.glob("*.png")):
        size = path.stat().st_size
        print(f"{path.name}: {size // 1000} kB{' (too large)' if size > MOST_BYTES else ''}")


if __name__ == "__main__":
    main(sys.argv[1])
