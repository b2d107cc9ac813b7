"""`manage.py worksheets`: the sheets of a class with the instructor's cover, into a PDF file."""

from __future__ import annotations

import sys
import time
from argparse import ArgumentParser
from dataclasses import replace
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError

from shop.models import ForgeClass, ShopSettings
from shop.running.serving import serve_demo
from shop.sheets import pdf_answer
from shop.worksheets import pages
from stock.house import House
from stock.output.pdf import PaperError

SHOWN = 8  # classes named when the one that was asked for is not there


class Command(BaseCommand):
    """Write a class's worksheets."""

    help = "Writes the worksheets of a class, with the instructor's cover, into a PDF file."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Which class, where to, how."""
        parser.add_argument(
            "class_name", metavar="CLASS", nargs="?", help="its number or its title"
        )
        parser.add_argument("--demo", action="store_true", help="a class of the invented demo shop")
        parser.add_argument("--out", required=True, metavar="FILE.pdf", help="the file to write")
        parser.add_argument("--paper", choices=("A4", "Letter"), help="other than the shop's")
        parser.add_argument("--system", choices=("inch", "metric"), help="other than the shop's")
        parser.add_argument("--cuts", action="store_true", help="the cut sheet instead")

    def handle(self, *args: Any, **options: Any) -> None:
        """Do it."""
        if options["demo"] and not settings.IS_DEMO:
            serve_demo(sys.argv)
        if options["demo"]:
            call_command("migrate", verbosity=0)
            call_command("demo", stdout=self.stdout)
        elif not options["class_name"]:
            raise CommandError("Name the class by its number or its title, or use --demo.")
        out = writable(Path(options["out"]))
        row, house = self.asked(options), house_of(options)
        self.stdout.write(f"Drawing the sheets of {row} …")
        self.stdout.flush()
        begun = time.monotonic()
        drawn = drawn_pdf(row, house=house, is_cuts=options["cuts"])
        write(out, drawn)
        seconds = time.monotonic() - begun
        self.stdout.write(f"{out}: {len(drawn) / 1000:.0f} kB in {seconds:.1f} s")

    def asked(self, options: dict[str, Any]) -> ForgeClass:
        """The class that was named; the demo's largest planned one where none was."""
        try:
            return demo_class() if not options["class_name"] else class_of(options["class_name"])
        except DatabaseError as error:
            raise CommandError(
                f"The database cannot be read ({error}). Run `manage.py start` once first."
            ) from error


def class_of(asked: str) -> ForgeClass:
    """A class by its number, or by its title or a part of that; any case will do."""
    rows = ForgeClass.objects.select_related("layup")
    if asked.isascii() and asked.isdigit():
        found = list(rows.filter(pk=int(asked[:18])))
    else:
        found = list(rows.filter(title__iexact=asked)) or list(rows.filter(title__icontains=asked))
    if len(found) == 1:
        return found[0]
    known = found or list(rows[:SHOWN])
    names = "; ".join(f"{row.pk} {row.title} ({row.starts_on})" for row in known[:SHOWN])
    if found:
        raise CommandError(f"'{asked}' fits {len(found)} classes; give a number: {names}.")
    raise CommandError(f"No class is called '{asked}'. There are: {names or 'none yet'}.")


def demo_class() -> ForgeClass:
    """The demo's class that is planned and has the most seats."""
    rows = ForgeClass.objects.filter(state=ForgeClass.State.PLANNED).select_related("layup")
    found = rows.order_by("-seat_count", "pk").first()
    if found is None:
        raise CommandError("The demo has no planned class any more; name one.")
    return found


def house_of(options: dict[str, Any]) -> House:
    """The shop's settings with what the command line asks for instead."""
    row = ShopSettings.objects.first()
    house = row.house() if row else House()
    changes = {name: options[name] for name in ("paper", "system") if options[name]}
    return replace(house, **changes)


def drawn_pdf(row: ForgeClass, *, house: House, is_cuts: bool) -> bytes:
    """The PDF, or the sentence that says why there is none."""
    try:
        if is_cuts:
            return pdf_answer.as_pdf(pages.cuts_html(row, house=house))
        page = pages.class_html(row, house=house, address=pages.site_address)
        return pdf_answer.as_pdf(page)
    except (pdf_answer.NothingToPrint, PaperError) as error:
        raise CommandError(str(error)) from error


def writable(path: Path) -> Path:
    """A path that a file can be written to."""
    if path.is_dir():
        raise CommandError(f"{path} is a folder; give a file in it, such as {path / 'sheets.pdf'}.")
    if not path.parent.is_dir():
        raise CommandError(f"There is no folder {path.parent}; make it, or choose another.")
    return path


def write(path: Path, data: bytes) -> None:
    """The whole file, or none of it."""
    partial = path.with_name(f".{path.name}.part")
    try:
        partial.write_bytes(data)
        partial.replace(path)
    except OSError as error:
        partial.unlink(missing_ok=True)
        raise CommandError(f"{path} cannot be written: {error.strerror}.") from error
