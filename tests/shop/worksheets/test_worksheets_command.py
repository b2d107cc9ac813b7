"""`manage.py worksheets`: a file, or a sentence that says what to do."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from pypdf import PdfReader

from shop.sheets import pdf_answer
from stock.output import pdf
from tests.kinds import MakeClass, MakeLayup, Settings, ShopSettings


@pytest.fixture
def no_drawing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Write the page itself, which takes no drawing."""
    monkeypatch.setattr(pdf_answer, "as_pdf", lambda html: html.encode())


@pytest.mark.slow
def test_a_class_is_written_by_its_number_or_a_part_of_its_title(
    make_class: MakeClass, shop_row: ShopSettings, tmp_path: Path, no_drawing: None
) -> None:
    row = make_class(students=1, title="Copper line weekend")

    for asked in (str(row.pk), "copper LINE weekend", "weekend"):
        out = tmp_path / "sheets.pdf"
        call_command("worksheets", asked, out=str(out), verbosity=0)
        assert "Copper line weekend" in out.read_text()
        out.unlink()


def test_paper_and_system_can_be_other_than_the_shops(
    make_class: MakeClass, shop_row: ShopSettings, tmp_path: Path, no_drawing: None
) -> None:
    row, out = make_class(students=1), tmp_path / "sheets.pdf"

    call_command("worksheets", str(row.pk), out=str(out), paper="A4", system="metric")

    assert 'class="a4 metric"' in out.read_text()
    assert "size: A4" in out.read_text()


@pytest.mark.slow
def test_codes_lead_to_the_address_that_is_set(
    planned_class: MakeClass,
    shop_row: ShopSettings,
    tmp_path: Path,
    no_drawing: None,
    settings: Settings,
) -> None:
    settings.SITE_URL = "https://forge.example/"
    row, out = planned_class(students=1), tmp_path / "sheets.pdf"

    call_command("worksheets", str(row.pk), out=str(out))

    assert "https://forge.example/billets/" in out.read_text()


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ("9999", "No class is called '9999'. There are: "),
        ("nothing like it", "No class is called 'nothing like it'."),
        ("blades", "'blades' fits 2 classes; give a number: "),
    ],
)
def test_a_class_that_is_not_clear_is_asked_for_again(
    make_class: MakeClass,
    make_layup: MakeLayup,
    shop_row: ShopSettings,
    tmp_path: Path,
    asked: str,
    sentence: str,
) -> None:
    layup = make_layup()
    make_class(layup=layup)
    make_class(layup=layup, title="More blades")

    with pytest.raises(CommandError) as refused:
        call_command("worksheets", asked, out=str(tmp_path / "sheets.pdf"))

    assert sentence in str(refused.value)
    assert list(tmp_path.iterdir()) == []


def test_without_a_class_it_says_to_name_one(db: None, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="Name the class by its number or its title"):
        call_command("worksheets", out=str(tmp_path / "sheets.pdf"))


def test_a_folder_or_a_missing_folder_is_refused(make_class: MakeClass, tmp_path: Path) -> None:
    row = make_class()

    with pytest.raises(CommandError, match="is a folder"):
        call_command("worksheets", str(row.pk), out=str(tmp_path))
    with pytest.raises(CommandError, match="There is no folder"):
        call_command("worksheets", str(row.pk), out=str(tmp_path / "no" / "sheets.pdf"))


def test_a_class_without_seats_writes_nothing(
    make_class: MakeClass, tmp_path: Path, no_drawing: None
) -> None:
    row = make_class(students=0)

    with pytest.raises(CommandError, match="has no seats yet"):
        call_command("worksheets", str(row.pk), out=str(tmp_path / "sheets.pdf"))

    assert list(tmp_path.iterdir()) == []


def test_without_pango_it_says_the_line_to_run(
    make_class: MakeClass, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing(html: str, **how: Any) -> bytes:
        raise pdf.NoPaper

    monkeypatch.setattr(pdf, "pdf", missing)
    row = make_class(students=1)

    with pytest.raises(CommandError, match="PDFs need Pango"):
        call_command("worksheets", str(row.pk), out=str(tmp_path / "sheets.pdf"))


@pytest.mark.slow
def test_the_demo_is_made_and_its_ten_seat_class_written(tmp_path: Path) -> None:
    out = tmp_path / "sheets.pdf"
    line = [sys.executable, "manage.py", "worksheets", "--demo", "--out", str(out)]
    env = {**os.environ, "BILLETWRIGHT_DATA": str(tmp_path / "data")}
    env.pop("DATABASE_URL", None)

    done = subprocess.run(
        line, cwd=settings.BASE_DIR, env=env, capture_output=True, text=True, check=False
    )

    assert done.returncode == 0, done.stderr
    pages = [" ".join(page.extract_text().split()) for page in PdfReader(out).pages]
    fronts = [page for page in pages if page.endswith("side 1 of 2")]
    cover = " ".join(page for page in pages if "instructor’s cover" in page)
    assert len(fronts) == 12  # ten students and two spares
    assert len([page for page in pages if page.endswith("side 2 of 2")]) == 12
    for front in fronts:
        mark = front.split()[0]
        assert mark in cover
        # C11000: 1065 °C less 65 and 20 °C
        assert "1796 °F 980 °C" in front
        assert "× 3/16 in" in front
        assert f"/billets/{mark}/" in front
    assert "10 students, 2 spares" in cover
