"""Typed counts, money and seconds: every form that we read, and every refusal."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.quantities.units import UnitsError, count, money_cents, seconds


def test_a_count_is_digits() -> None:
    assert count(" 12 ") == 12
    assert count("0", zero_ok=True) == 0


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("0", "'0' is not above 0. Write a whole number, such as 12."),
        ("-1", "'-1' is not above 0."),
        ("12.0", "'12.0' is not a whole number."),
        ("1e3", "'1e3' is not a whole number."),
        ("a dozen", "'a dozen' is not a whole number."),
        ("٣", "'٣' is not a whole number."),
        ("100001", "'100001' is above 100,000, the most we count. Check the number."),
        ("", "Nothing was written."),
    ],
)
def test_what_is_no_count_is_refused_with_a_sentence(text: str, sentence: str) -> None:
    with pytest.raises(UnitsError) as refused:
        count(text)

    assert sentence in str(refused.value)


@pytest.mark.parametrize(
    ("text", "expected_cents"),
    [
        ("12.50", 1250),
        ("12,50", 1250),
        ("12.5", 1250),
        (".5", 50),
        ("12", 1200),
        ("1,250.00", 125_000),
        ("1.250,00", 125_000),
        ("1 250,00", 125_000),
        ("1\u202f250,00", 125_000),
        ("1'250.00", 125_000),
        ("1,250", 125_000),
        ("1,250,000", 125_000_000),
        ("0", 0),
    ],
)
def test_every_form_of_money_is_read(text: str, expected_cents: int) -> None:
    assert money_cents(text) == expected_cents


@pytest.mark.parametrize(
    ("text", "digits", "decimal", "expected"),
    [
        ("1250", 0, ".", 1250),
        ("1,250", 0, ".", 1250),
        ("1.250", 0, ",", 1250),
        ("1.250", 3, ".", 1250),
        ("1,250", 3, ".", 1_250_000),
        ("1,250", 3, ",", 1250),
        ("1.250", 2, ",", 125_000),
    ],
)
def test_money_follows_the_decimals_and_the_mark_of_the_shop(
    text: str, digits: int, decimal: str, expected: int
) -> None:
    assert money_cents(text, digits=digits, decimal=decimal) == expected


def test_the_shops_own_currency_sign_may_be_typed_too() -> None:
    assert money_cents("$12.50", sign="$") == 1250
    assert money_cents("12,50 €", sign="€") == 1250
    with pytest.raises(UnitsError, match="is not an amount we know"):
        money_cents("$12.50", sign="€")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("1.250", "'1.250' has more decimals than the 2 of this currency. Write the amount alone"),
        ("0,500", "'0,500' has more decimals than the 2 of this currency."),
        ("12.", "'12.' is not an amount we know. Write the amount alone, such as 12.50."),
        ("1,250,00", "'1,250,00' is not an amount we know."),
        ("1,25,000", "'1,25,000' is not an amount we know."),
        (",", "',' is not an amount we know."),
        ("nan", "'nan' is not an amount we know."),
        ("1e5", "'1e5' is not an amount we know."),
        ("-3", "'-3' is below 0."),
        ("100000001", "'100000001' is above 100,000,000, the most we take."),
        ("", "Nothing was written."),
    ],
)
def test_what_is_no_money_is_refused_with_a_sentence(text: str, sentence: str) -> None:
    with pytest.raises(UnitsError) as refused:
        money_cents(text)

    assert sentence in str(refused.value)


@given(cents=st.integers(0, 9_999_999_999))
def test_money_with_its_thousands_marked_reads_back_to_the_cent(cents: int) -> None:
    english = f"{cents // 100:,}.{cents % 100:02d}"
    german = english.translate(str.maketrans(",.", ".,"))

    assert money_cents(english) == cents
    assert money_cents(german, decimal=",") == cents


@pytest.mark.parametrize(
    ("text", "expected_s"),
    [
        ("90", 90),
        ("90 s", 90),
        ("1:30", 90),
        ("1-1/2 min", 90),
        ("1½ min", 90),
        ("2 minutes", 120),
        ("½ h", 1800),
        ("1 h 30 min", 5400),
        ("1h30m", 5400),
        ("1 min. 5 sec.", 65),
        ("1:05:00", 3900),
        ("100 h", 360_000),
        ("1/7 min", 9),  # 8.57 s
    ],
)
def test_every_form_of_a_time_is_read(text: str, expected_s: int) -> None:
    assert seconds(text) == expected_s


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("0", "'0' is not above 0. Write a number and s, min or h"),
        ("0.4 s", "'0.4 s' is not above 0."),
        ("-5", "'-5' is below 0."),
        ("1:75", "'1:75' has 60 or more after a colon."),
        ("9:99:00", "'9:99:00' has 60 or more after a colon."),
        ("90 s 1 h", "'90 s 1 h' is not a time we know."),
        ("2 min 2 min", "'2 min 2 min' is not a time we know."),
        ("1h30", "'1h30' is not a time we know."),
        ("5 fortnights", "'5 fortnights' is not a time we know."),
        ("101 h", "'101 h' is longer than 100 h."),
        ("", "Nothing was written."),
    ],
)
def test_what_is_no_time_is_refused_with_a_sentence(text: str, sentence: str) -> None:
    with pytest.raises(UnitsError) as refused:
        seconds(text)

    assert sentence in str(refused.value)


@given(text=st.text(alphabet="0123456789 .,':hmins-½$", max_size=70) | st.text())
def test_any_text_is_either_sound_or_refused(text: str) -> None:
    for reader, most in ((count, 100_000), (money_cents, 10_000_000_099), (seconds, 360_000)):
        try:
            read = reader(text)
        except UnitsError:
            continue
        assert 0 <= read <= most
