"""Turns a page into a PDF, in one worker process, since the PDF library serves one thread only.

Everything but PDFs works without the system's Pango; then `pdf` raises `NoPaper` with the one
line that installs it. Stylesheets are read from files of ours; nothing is fetched.

PaperError
├── NoPaper      the system library is missing
└── BrokenPage   the page could not be drawn
"""

from __future__ import annotations

import atexit
import logging
import os
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context, parent_process
from pathlib import Path

INSTALL_LINES = {
    "linux": "apt-get install -y --no-install-recommends "
    "libpangoft2-1.0-0 libharfbuzz-subset0 fonts-dejavu-core",
    "darwin": "brew install pango",
}
WINDOWS_LINE = "install MSYS2, then: pacman -S mingw-w64-x86_64-pango"
PATIENCE_S = 120
NO_LETTER = "□"

_lock = threading.Lock()
_pools: list[ProcessPoolExecutor] = []  # none or one


class PaperError(RuntimeError):
    """No PDF came of it."""


class NoPaper(PaperError):
    """The system library that draws text is missing."""

    def __init__(self) -> None:
        line = INSTALL_LINES.get(sys.platform, WINDOWS_LINE)
        super().__init__(
            f"PDFs need Pango, which is not installed here. Run: {line} — then start the app again."
        )


class BrokenPage(PaperError):
    """The page could not be drawn."""


def pdf(html: str, *, stylesheets: tuple[Path, ...] = ()) -> bytes:
    """A page as a PDF.

    Args:
        html: the whole page, with its pictures in it.
        stylesheets: files of ours, in order.

    Returns:
        The PDF file.

    Raises:
        NoPaper: Pango is not installed.
        BrokenPage: the drawing process failed or took longer than two minutes.
    """
    try:
        answer = pool().submit(draw, html, tuple(str(one) for one in stylesheets))
        return answer.result(timeout=PATIENCE_S)
    except ImportError as error:
        raise NoPaper from error
    except BrokenProcessPool as error:
        close()
        raise BrokenPage("The PDF process ended early. Try again.") from error
    except TimeoutError as error:
        close()
        raise BrokenPage("The PDF took longer than two minutes and was stopped.") from error


def pool() -> ProcessPoolExecutor:
    """The one worker process; started when first needed."""
    with _lock:
        if not _pools:
            context = get_context("spawn")
            _pools.append(
                ProcessPoolExecutor(
                    1, mp_context=context, max_tasks_per_child=200, initializer=end_with_the_app
                )
            )
        return _pools[0]


def end_with_the_app() -> None:
    """In the worker: end when the app does, even when that was killed and could not say so."""
    app = parent_process()
    if app is not None:
        threading.Thread(target=wait_for_the_end, args=(app.join,), daemon=True).start()


def wait_for_the_end(join: Callable[[], None]) -> None:
    """Wait until the app has ended; nobody waits for a page then."""
    join()
    os._exit(1)


@atexit.register
def close() -> None:
    """End the worker; the next page starts a new one."""
    with _lock:
        while _pools:
            _pools.pop().shutdown(wait=False, cancel_futures=True)


def draw(html: str, stylesheets: tuple[str, ...]) -> bytes:
    """In the worker: draw the page; letters that no font of this machine has become boxes."""
    missing = MissingLetters()
    drawn = draw_once(html, stylesheets, missing=missing)
    if missing.codes:
        # Left in, one of them would garble the text that can be copied from the whole page.
        html = html.translate(dict.fromkeys(missing.codes, NO_LETTER))
        drawn = draw_once(html, stylesheets, missing=MissingLetters())
    return drawn


class MissingLetters(logging.Filter):
    """Keeps the letters that the drawing found no font for, and their warnings from the log."""

    def __init__(self) -> None:
        super().__init__()
        self.codes: set[int] = set()

    def filter(self, record: logging.LogRecord) -> bool:
        """Whether a line goes to the log."""
        if not str(record.msg).startswith(".notdef glyph") or not isinstance(record.args, tuple):
            return True
        self.codes |= {code for code in record.args if isinstance(code, int)}
        return False


def draw_once(html: str, stylesheets: tuple[str, ...], *, missing: MissingLetters) -> bytes:
    """The page as it stands."""
    try:
        import weasyprint
        from weasyprint.text.fonts import FontConfiguration
    except OSError as error:  # how a missing Pango shows itself
        raise ImportError(str(error)) from error
    logger = logging.getLogger("weasyprint")
    logger.addFilter(missing)
    try:
        fonts = FontConfiguration()
        sheets = [weasyprint.CSS(filename=name, font_config=fonts) for name in stylesheets]
        page = weasyprint.HTML(string=html, base_url=str(Path(__file__).parent))
        drawn = page.write_pdf(stylesheets=sheets, font_config=fonts, pdf_variant="pdf/ua-1")
    finally:
        logger.removeFilter(missing)
    assert isinstance(drawn, bytes)
    return drawn
