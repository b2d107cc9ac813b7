"""PDFs come from one worker process; what goes wrong is a sentence, never a crash."""

from __future__ import annotations

import io
import sys
from concurrent.futures import Future, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from stock.output import pdf as paper

PAGE = (
    '<!doctype html><html lang="en"><head><title>Page</title></head><body><p>{}</p></body></html>'
)


class Failing:
    """A pool whose work always ends in the same error."""

    def __init__(self, error: BaseException) -> None:
        self.error = error

    def submit(self, *args: Any) -> Future[bytes]:
        """Work that has failed already."""
        future: Future[bytes] = Future()
        future.set_exception(self.error)
        return future


def text_of(pdf: bytes) -> str:
    """The text of a PDF."""
    return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)


@pytest.mark.slow
def test_a_page_becomes_a_pdf_that_can_be_read_back() -> None:
    drawn = paper.pdf(PAGE.format("Anvil"))

    assert drawn.startswith(b"%PDF-")
    assert text_of(drawn) == "Anvil"


@pytest.mark.slow
def test_pages_asked_for_at_once_are_drawn_one_after_the_other() -> None:
    with ThreadPoolExecutor(4) as threads:
        drawn = list(threads.map(lambda word: paper.pdf(PAGE.format(word)), "abcd"))

    assert [text_of(pdf) for pdf in drawn] == ["a", "b", "c", "d"]


@pytest.mark.slow
def test_style_sheets_of_ours_reach_the_page(tmp_path: Path) -> None:
    style = tmp_path / "wide.css"
    style.write_text("@page { size: 300mm 100mm }")

    drawn = paper.pdf(PAGE.format("Anvil"), stylesheets=(style,))

    box = PdfReader(io.BytesIO(drawn)).pages[0].mediabox
    assert (round(box.width), round(box.height)) == (850, 283)  # 300 and 100 mm in points


@pytest.mark.slow
def test_a_letter_that_no_font_has_becomes_a_box_and_leaves_the_rest_readable(
    caplog: pytest.LogCaptureFixture,
) -> None:
    drawn = paper.draw(PAGE.format("Ana \U0010fffd Feld"), ())

    assert text_of(drawn) == "Ana □ Feld"
    assert caplog.messages == []


def test_without_pango_the_line_to_install_it_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(paper, "pool", lambda: Failing(ImportError("no pango")))
    monkeypatch.setattr(sys, "platform", "linux")

    with pytest.raises(paper.NoPaper, match="apt-get install") as refused:
        paper.pdf(PAGE.format("Anvil"))

    assert "Pango" in str(refused.value)


def test_a_system_that_is_not_named_is_told_the_line_for_windows(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sys, "platform", "win32")

    assert "MSYS2" in str(paper.NoPaper())


@pytest.mark.slow
@pytest.mark.parametrize(
    ("error", "sentence"),
    [(BrokenProcessPool("gone"), "ended early"), (TimeoutError(), "longer than two minutes")],
)
def test_a_worker_that_fails_is_replaced_and_the_failure_told(
    monkeypatch: pytest.MonkeyPatch, error: BaseException, sentence: str
) -> None:
    with monkeypatch.context() as patched:
        patched.setattr(paper, "pool", lambda: Failing(error))
        with pytest.raises(paper.BrokenPage, match=sentence):
            paper.pdf(PAGE.format("Anvil"))

    assert text_of(paper.pdf(PAGE.format("again"))) == "again"
