"""Draws a page of ours in this process and reads its text back; a warning is a failure."""

from __future__ import annotations

import io
import logging

from pypdf import PdfReader

from shop.sheets.pdf_answer import SHEET_CSS
from stock.output.pdf import draw


class Warned(AssertionError):
    """The drawing logged a warning."""


class _Listener(logging.Handler):
    """Keeps what the drawing library says."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.said: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.said.append(record.getMessage())


def drawn_bytes(html: str) -> bytes:
    """The PDF of a page."""
    logger, listener = logging.getLogger("weasyprint"), _Listener()
    logger.addHandler(listener)
    try:
        pdf = draw(html, (str(SHEET_CSS),))
    finally:
        logger.removeHandler(listener)
    if listener.said:
        raise Warned("; ".join(listener.said))
    return pdf


def drawn(html: str) -> PdfReader:
    """The PDF of a page, to be read."""
    return PdfReader(io.BytesIO(drawn_bytes(html)))


def texts(html: str) -> list[str]:
    """The text of every page, in order, with single spaces."""
    return [" ".join(page.extract_text().split()) for page in drawn(html).pages]
