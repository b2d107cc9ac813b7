"""Tables that leave the app as CSV: right in a spreadsheet, and safe in one.

RFC 4180 line ends and quotes. Text that a spreadsheet would run as a formula is made harmless
with a leading apostrophe; numbers are written as numbers, never guarded. It leaves out what
the reports contain and who may see them.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from stock.quantities.money import UG_PER_KG, UG_PER_LB

LINE_END = "\r\n"  # RFC 4180, section 2.1
BYTE_ORDER_MARK = "\ufeff"  # without it spreadsheets read UTF-8 as their old code page
# What spreadsheets take for a formula at the start of a cell, and the wide forms of it that
# some of them turn into it (OWASP, "CSV Injection").
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
NANOMETRES_PER_INCH = 25_400_000
NANOMETRES_PER_MM = 1_000_000

Cell = str | int | Decimal | date | datetime | bool | None


class TableError(ValueError):
    """A table that cannot be written; facts: `row` (1 is the first), `given`, `columns`."""

    def __init__(self, *, row: int, given: int, columns: int) -> None:
        super().__init__(
            f"Row {row} has {given} cells where the table has {columns} columns; "
            "give each column one cell."
        )
        self.row, self.given, self.columns = row, given, columns


@dataclass(frozen=True)
class Dialect:
    """How numbers and cells are told apart. The plain one is RFC 4180.

    Spreadsheets of a country with a decimal comma expect semicolons between the cells; that
    leaves the RFC, which knows only commas.
    """

    has_decimal_comma: bool = False

    @property
    def delimiter(self) -> str:
        """What stands between two cells."""
        return ";" if self.has_decimal_comma else ","

    @property
    def decimal(self) -> str:
        """What stands before the decimals."""
        return "," if self.has_decimal_comma else "."


PLAIN = Dialect()


@dataclass(frozen=True)
class Column:
    """One column: its heading, with the unit of all its numbers."""

    name: str
    unit: str = ""

    @property
    def heading(self) -> str:
        """What stands in the first row."""
        return f"{self.name} ({self.unit})" if self.unit else self.name


@dataclass(frozen=True)
class Table:
    """A report as rows; a page shows it and a file carries it."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def __post_init__(self) -> None:
        for number, row in enumerate(self.rows, start=1):
            if len(row) != len(self.columns):
                raise TableError(row=number, given=len(row), columns=len(self.columns))


def csv_text(table: Table, *, dialect: Dialect = PLAIN) -> str:
    """The whole file, with the mark by which spreadsheets know UTF-8.

    Args:
        table: columns and rows.
        dialect: plain, or with a decimal comma.

    Returns:
        Text to be sent as UTF-8; every line ends in CR LF.

    Source:
        RFC 4180.
    """
    return BYTE_ORDER_MARK + "".join(csv_lines(table, dialect=dialect))


def csv_lines(table: Table, *, dialect: Dialect = PLAIN) -> Iterator[str]:
    """The file line by line, for a long one that is streamed.

    Args:
        table: columns and rows.
        dialect: plain, or with a decimal comma.

    Returns:
        The heading, then each row; a line break inside a cell stays inside its quotes.

    Source:
        RFC 4180.
    """
    yield csv_line([column.heading for column in table.columns], dialect=dialect)
    for row in table.rows:
        yield csv_line(row, dialect=dialect)


def csv_line(cells: Iterable[Cell], *, dialect: Dialect = PLAIN) -> str:
    """One row.

    Args:
        cells: what stands in it.
        dialect: plain, or with a decimal comma.

    Returns:
        The line with its end.

    Source:
        RFC 4180, section 2.

    >>> csv_line(["bar, flat", 3, None])
    '"bar, flat",3,\\r\\n'
    """
    return dialect.delimiter.join(_quoted(_text(cell, dialect)) for cell in cells) + LINE_END


def harmless(text: str) -> str:
    """Text that no spreadsheet runs as a formula.

    Args:
        text: any text.

    Returns:
        The text, with an apostrophe before it when its first character, blanks apart, could
        begin a formula.

    Source:
        OWASP, "CSV Injection".

    >>> harmless("=1+1")
    "'=1+1"
    """
    is_formula = any(begins.startswith(FORMULA_STARTS) for begins in (text, text.lstrip()))
    return f"'{text}" if is_formula else text


def money_cell(cents: int | None, *, digits: int) -> Decimal | None:
    """Money as a number with the decimals of its currency.

    Args:
        cents: whole minor units, of either sign; None for an empty cell.
        digits: decimals of the currency, 0 or more.

    Returns:
        The exact amount in whole units.

    >>> money_cell(-1205, digits=2)
    Decimal('-12.05')
    """
    return None if cents is None else Decimal(cents).scaleb(-digits)


def length_cell(length_nm: int | None, *, system: str) -> Decimal | None:
    """A length as a plain number; "3/16" would open as the sixteenth of March.

    Args:
        length_nm: the length [nm]; None for an empty cell.
        system: "inch" gives inches to 0.0001, anything else millimetres to 0.001.

    Returns:
        The number, rounded half to even.

    Source:
        1 in = 25.4 mm, exact by definition.

    >>> length_cell(4_762_500, system="inch")
    Decimal('0.1875')
    """
    if length_nm is None:
        return None
    if system == "inch":
        return (Decimal(length_nm) / NANOMETRES_PER_INCH).quantize(Decimal("0.0001"))
    return (Decimal(length_nm) / NANOMETRES_PER_MM).quantize(Decimal("0.001"))


def mass_cell(mass_ug: int | None, *, system: str) -> Decimal | None:
    """A mass as a plain number.

    Args:
        mass_ug: the mass [µg]; None for an empty cell.
        system: "inch" gives pounds, anything else kilograms, to 0.001.

    Returns:
        The number, rounded half to even.

    Source:
        1 lb = 453.592 37 g, exact by definition.
    """
    if mass_ug is None:
        return None
    return (Decimal(mass_ug) / (UG_PER_LB if system == "inch" else UG_PER_KG)).quantize(
        Decimal("0.001")
    )


def _text(cell: Cell, dialect: Dialect) -> str:
    match cell:
        case None:
            return ""
        case bool():
            return "yes" if cell else "no"
        case int():
            return str(cell)
        case Decimal():
            return f"{cell:f}".replace(".", dialect.decimal)
        case datetime():
            return f"{cell:%Y-%m-%d %H:%M:%S}"
        case date():
            return cell.isoformat()
        case _:
            return harmless(cell)


def _quoted(text: str) -> str:
    needs_quotes: Sequence[str] = (",", ";", '"', "\r", "\n")
    if text != text.strip() or any(mark in text for mark in needs_quotes):
        return '"' + text.replace('"', '""') + '"'
    return text
