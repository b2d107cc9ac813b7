"""CSV that opens right in a spreadsheet, and cannot run anything there."""

import csv
import io
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.output.csv_tables import (
    Cell,
    Column,
    Dialect,
    Table,
    TableError,
    csv_line,
    csv_text,
    harmless,
    length_cell,
    mass_cell,
    money_cell,
)

COMMA_COUNTRY = Dialect(has_decimal_comma=True)


def read_back(text: str, *, delimiter: str = ",") -> list[list[str]]:
    return list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))


def test_a_whole_file() -> None:
    table = Table(
        columns=(Column("Day"), Column("Alloy"), Column("Length", "in"), Column("Cost", "USD")),
        rows=(
            (date(2025, 6, 2), "copper, half-hard", Decimal("0.1875"), Decimal("12.05")),
            (date(2025, 6, 3), 'the "good" bar', None, Decimal("-3.10")),
        ),
    )

    assert csv_text(table) == (
        "\ufeffDay,Alloy,Length (in),Cost (USD)\r\n"
        '2025-06-02,"copper, half-hard",0.1875,12.05\r\n'
        '2025-06-03,"the ""good"" bar",,-3.10\r\n'
    )


def test_a_decimal_comma_brings_semicolons_with_it() -> None:
    assert csv_line(["steel; flat", Decimal("1.50"), 2], dialect=COMMA_COUNTRY) == (
        '"steel; flat";"1,50";2\r\n'
    )


def test_a_time_is_written_so_that_a_spreadsheet_reads_it() -> None:
    cells: list[Cell] = [datetime(2025, 6, 2, 9, 5, tzinfo=UTC), True, False]

    assert csv_line(cells) == "2025-06-02 09:05:00,yes,no\r\n"


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+1",
        "-1",
        "@SUM(A1)",
        "\t=1",
        "\r=1",
        "\n=1",
        "  =1",
        "\u00a0=1",
        "＝1",
        '=HYPERLINK("http://example.test")',
    ],
)
def test_text_that_could_be_a_formula_is_made_harmless(text: str) -> None:
    assert harmless(text) == f"'{text}"
    assert read_back(csv_line([text]))[0] == [f"'{text}"]


@pytest.mark.parametrize("text", ["", "copper", "3/16 in", "a = b", "'quoted'", "1-1/4 in"])
def test_plain_text_is_left_alone(text: str) -> None:
    assert harmless(text) == text


def test_a_number_below_zero_stays_a_number() -> None:
    assert csv_line([-5, Decimal("-0.5")]) == "-5,-0.5\r\n"


def test_a_big_decimal_is_never_written_with_an_exponent() -> None:
    assert csv_line([Decimal("1E+3"), Decimal("1E-7")]) == "1000,0.0000001\r\n"


@pytest.mark.parametrize(("digits", "text"), [(2, "12.05"), (0, "1205"), (3, "1.205")])
def test_money_has_the_decimals_of_its_currency(digits: int, text: str) -> None:
    assert csv_line([money_cell(1_205, digits=digits)]) == f"{text}\r\n"


def test_money_keeps_its_last_zero() -> None:
    assert csv_line([money_cell(1_200, digits=2)]) == "12.00\r\n"


def test_lengths_and_masses_are_plain_numbers() -> None:
    assert length_cell(4_762_500, system="inch") == Decimal("0.1875")
    assert length_cell(4_762_500, system="metric") == Decimal("4.762")
    assert mass_cell(453_592_370, system="inch") == Decimal("1.000")
    assert mass_cell(453_592_370, system="metric") == Decimal("0.454")


def test_what_is_not_known_is_an_empty_cell() -> None:
    empty = [
        money_cell(None, digits=2),
        length_cell(None, system="inch"),
        mass_cell(None, system="inch"),
    ]

    assert csv_line(empty) == ",,\r\n"


def test_a_row_with_a_cell_too_few_is_refused_by_its_number() -> None:
    with pytest.raises(TableError, match="Row 2 has 1 cells") as refusal:
        Table(columns=(Column("A"), Column("B")), rows=((1, 2), (3,)))

    assert (refusal.value.row, refusal.value.given, refusal.value.columns) == (2, 1, 2)


@given(st.lists(st.lists(st.text(), min_size=2, max_size=2), max_size=8))
def test_any_text_comes_back_whole_and_harmless(rows: Any) -> None:
    table = Table((Column("A"), Column("B")), tuple((first, second) for first, second in rows))

    back = read_back(csv_text(table).removeprefix("\ufeff"))

    assert back[1:] == [[harmless(first), harmless(second)] for first, second in rows]


@given(st.lists(st.text(), min_size=2, max_size=5))
def test_no_cell_can_begin_a_formula(cells: Any) -> None:
    for cell in read_back(csv_line(cells))[0]:
        assert not cell.lstrip().startswith(("=", "+", "-", "@"))


@given(st.integers(-(10**15), 10**15), st.sampled_from([0, 2, 3]))
def test_money_comes_back_to_the_cent(cents: int, digits: int) -> None:
    text = csv_line([money_cell(cents, digits=digits)]).strip()

    assert Decimal(text) * 10**digits == cents
