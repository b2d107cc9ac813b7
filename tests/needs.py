"""What some tests need from the system, and the one line at the end when it is not there.

Left out on a machine of one's own; with CI=true a missing thing is a failure.
"""

from __future__ import annotations

import os
import shutil
from collections import Counter
from collections.abc import Callable

import pytest

from tests import postgres


def chromium_path() -> str | None:
    """Chromium or Chrome, if one is installed."""
    names = ("chromium", "chromium-browser", "google-chrome")
    return next((path for name in names if (path := shutil.which(name))), None)


MISSING: dict[str, Callable[[], str | None]] = {
    "browser": lambda: None if chromium_path() else "no Chromium",
    "postgres": lambda: None if postgres.programs() else "no PostgreSQL server",
}


def check(item: pytest.Item) -> None:
    """Leave a test out, or fail it in CI, when what its marker asks for is missing."""
    for marker, missing in MISSING.items():
        why = missing() if item.get_closest_marker(marker) else None
        if why and os.environ.get("CI") == "true":
            pytest.fail(f"{marker} test cannot run: {why}", pytrace=False)
        elif why:
            pytest.skip(f"left out: {why}")


def told(reports: list[pytest.TestReport]) -> str:
    """One line on what was left out, or nothing."""
    counts: Counter[str] = Counter()
    for report in reports:
        text = str(report.longrepr)
        if "left out: " in text:
            counts[text.rsplit("left out: ", 1)[1].rstrip("')")] += 1
    return "; ".join(f"left out: {count} tests ({why})" for why, count in counts.items())
