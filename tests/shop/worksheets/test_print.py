"""Any page on paper: laid out as on a wide screen, without what only a hand can use."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import shop

STYLES = Path(shop.__file__).parent / "static" / "shop"


@pytest.mark.parametrize("sheet", sorted(STYLES.glob("*.css")), ids=lambda path: path.name)
def test_paper_is_never_laid_out_as_a_phone(sheet: Path) -> None:
    """A4 without its margins is narrower than the phone's limit."""
    queries = re.findall(r"@media ([^{]*max-width[^{]*)\{", sheet.read_text())

    assert [one for one in queries if not one.startswith("screen")] == []


def test_buttons_closed_folds_and_filters_stay_off_the_paper() -> None:
    print_css = (STYLES / "print.css").read_text()

    hidden = next(rule for rule in print_css.split("}") if "display: none" in rule)
    for selector in (".acts", ".filters", ".no-print", ".booked form", "details:not([open])"):
        assert selector in hidden
