"""Typed lengths: every form that we read, and every refusal."""

import subprocess
import sys
import time
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.quantities.typed_text import whole
from stock.quantities.units import LONGEST_NM, UnitsError, length_nm, section_nm

ODD_TEXT = (
    st.text(alphabet="0123456789 ./,-'\"½⅛×x*inftmgaoz°CFe⁄−²\u00a0b:", max_size=70) | st.text()
)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("text", "expected_nm"),
    [
        ("3/16", 4_762_500),
        ("1-1/2 in", 38_100_000),
        ('1 1/2"', 38_100_000),
        ("1 1/2 in", 38_100_000),
        ("½ in", 12_700_000),
        ("1½", 38_100_000),
        ("1 ½ in.", 38_100_000),
        ("1-½″", 38_100_000),
        ("⅞ in", 22_225_000),
        ("5/4", 31_750_000),
        ("1⁄4 in", 6_350_000),
        ("10'6\"", 3_200_400_000),
        ("10 ft 6 in", 3_200_400_000),
        ("10′ 6″", 3_200_400_000),
        ("10'-6-1/2\"", 3_213_100_000),
        ("10'6", 3_200_400_000),
        ("10'6''", 3_200_400_000),
        ("5'", 1_524_000_000),
        ("2 ft.", 609_600_000),
        ("2 feet", 609_600_000),
        (".020", 508_000),
        ("0.020 inches", 508_000),
        ("20 thou", 508_000),
        ("0.5mm", 500_000),
        ("1,5 mm", 1_500_000),
        (",5 mm", 500_000),
        ("0,250 mm", 250_000),
        ("12 CM", 120_000_000),
        ("2 m", 2_000_000_000),
        ("25 µm", 25_000),
        ("  32  mm ", 32_000_000),
        ("32\u00a0mm", 32_000_000),
        ("100 m", 100_000_000_000),
    ],
)
def test_every_form_of_a_length_is_read_exactly(text: str, expected_nm: int) -> None:
    assert length_nm(text, unit="in") == expected_nm


def test_a_bare_number_takes_the_unit_of_its_field() -> None:
    assert length_nm("3", unit="in") == 76_200_000
    assert length_nm("3", unit="mm") == 3_000_000
    assert length_nm("1/2", unit="mm") == 500_000


def test_a_length_that_is_not_whole_nanometres_goes_to_the_nearest() -> None:
    # A third of 25 400 000 nm is 8 466 666.67 nm.
    assert length_nm("1/3 in", unit="mm") == 8_466_667


@pytest.mark.parametrize(
    ("text", "expected_nm"),
    [("0.0000005 mm", None), ("0.0000015 mm", 2), ("0.0000025 mm", 2), ("0.0000035 mm", 4)],
)
def test_a_half_goes_to_the_even_nanometre(text: str, expected_nm: int | None) -> None:
    if expected_nm is None:
        with pytest.raises(UnitsError, match="less than a millionth of a millimetre"):
            length_nm(text, unit="mm")
    else:
        assert length_nm(text, unit="mm") == expected_nm


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("0", "'0' is not above 0. Write a number and in, ft, thou, mm, cm or m"),
        ("0.0 mm", "'0.0 mm' is not above 0."),
        ("-3", "'-3' is below 0. Write a number and in"),
        ("−3 mm", "'−3 mm' is below 0."),
        ("-½", "'-½' is below 0."),
        ("1e9 in", "'1e9 in' is not a length we know."),
        ("nan", "'nan' is not a length we know."),
        ("inf", "'inf' is not a length we know."),
        ("9**9**9 mm", "'9**9**9 mm' is not a length we know."),
        ("", "Nothing was written. Write a number and in"),
        ("   ", "Nothing was written."),
        ("12 smoots", "'12 smoots' is not a length we know. Write a number and in"),
        ("20 mil", "'20 mil' is not a length we know."),
        ("mm", "'mm' is not a length we know."),
        ("+3", "'+3' is not a length we know."),
        ("3 - 4", "'3 - 4' is not a length we know."),
        ("1 -1/2", "'1 -1/2' is not a length we know."),
        ("1/2/3", "'1/2/3' is not a length we know."),
        ("1.5/2", "'1.5/2' is not a length we know."),
        ("½2 in", "'½2 in' is not a length we know."),
        ("½½", "'½½' is not a length we know."),
        ("10² mm", "'10² mm' is not a length we know."),
        ("1_000 mm", "'1_000 mm' is not a length we know."),
        ("١٢ mm", "'١٢ mm' is not a length we know."),
        ("0x10 mm", "'0x10 mm' is not a length we know."),
        ("1 000 mm", "'1 000 mm' is not a length we know."),
        ("1,000.5 mm", "'1,000.5 mm' is not a length we know."),
        ("1/0", "'1/0' has 0 below the line."),
        ("1 5/4 in", "'1 5/4 in' has a fraction of 1 or more after a whole number."),
        ("10 ft 14 in", "'10 ft 14 in' has 12 in or more after the feet. Write it as 10 ft 6 in"),
        ("10.5 ft 6 in", "'10.5 ft 6 in' is not a length we know."),
        ("10 ft 6 mm", "'10 ft 6 mm' is not a length we know."),
        ("100.1 m", "'100.1 m' is longer than 100 m (328 ft), the longest we take."),
        ("9" * 40, "'999999999999999999999999…' is longer than 100 m (328 ft)"),
        ("7" * 5000, "is 5000 characters long; we read up to 60."),
    ],
)
def test_what_is_no_length_is_refused_with_a_sentence(text: str, sentence: str) -> None:
    with pytest.raises(UnitsError) as refused:
        length_nm(text, unit="in")

    assert sentence in str(refused.value)
    assert refused.value.given == text


def test_a_comma_that_can_mean_thousands_is_asked_about() -> None:
    with pytest.raises(UnitsError) as refused:
        length_nm("1,250 mm", unit="mm")

    assert str(refused.value) == "'1,250 mm' can mean 1250 or 1.250; write one of the two."


def test_nought_is_read_only_where_it_makes_sense() -> None:
    assert length_nm("0", unit="mm", zero_ok=True) == 0
    with pytest.raises(UnitsError):
        length_nm("-1", unit="mm", zero_ok=True)
    with pytest.raises(UnitsError):
        length_nm("0.0000001 mm", unit="mm", zero_ok=True)


def test_a_sentence_repeats_only_the_printable_start_of_what_was_typed() -> None:
    with pytest.raises(UnitsError) as refused:
        length_nm("zz\x00\x1b[31m" + "y" * 40, unit="in")

    assert str(refused.value).startswith("'zz [31myyyy")
    assert "\x1b" not in str(refused.value)


@given(whole_inches=st.integers(0, 300), sixty_fourths=st.integers(1, 63))
def test_a_mixed_number_is_its_inches_and_its_sixty_fourths(
    whole_inches: int, sixty_fourths: int
) -> None:
    text = f"{whole_inches}-{sixty_fourths}/64 in"

    read = length_nm(text, unit="mm")

    assert read == whole_inches * 25_400_000 + sixty_fourths * 396_875


@pytest.mark.slow
@given(text=ODD_TEXT)
def test_any_text_is_either_a_sound_length_or_refused(text: str) -> None:
    try:
        read = length_nm(text, unit="in")
    except UnitsError:
        return
    assert 0 < read <= LONGEST_NM


@pytest.mark.parametrize(
    "text", ["9**9**9 mm", "9^9^9^9", "(" * 50, "1" * 60, "1/" * 30, "x" * 10**6]
)
def test_hostile_text_is_answered_at_once(text: str) -> None:
    length_nm("1 in", unit="in")  # the registry is there
    begun = time.perf_counter()

    with pytest.raises(UnitsError):
        section_nm(text, unit="in")

    assert time.perf_counter() - begun < 0.1


@pytest.mark.parametrize(("half", "even"), [(1, 0), (3, 2), (5, 2), (7, 4), (-1, 0), (-3, -2)])
def test_rounding_takes_a_half_to_the_even_number(half: int, even: int) -> None:
    assert whole(Fraction(half, 2)) == even


@pytest.mark.slow
def test_the_registry_is_loaded_only_when_something_is_converted() -> None:
    program = (
        "import sys; import stock.quantities.units as units; assert 'pint' not in sys.modules;"
        "units.length_nm('1 in', unit='in'); assert 'pint' in sys.modules"
    )

    finished = subprocess.run([sys.executable, "-c", program], capture_output=True, check=False)

    assert finished.returncode == 0, finished.stderr
