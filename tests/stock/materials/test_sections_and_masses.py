"""Typed sections, masses and temperatures: every form that we read, and every refusal."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.quantities.units import UnitsError, mass_ug, section_nm, temperature_mdegc

ODD_TEXT = st.text(alphabet="0123456789 ./,-'\"½×x*infmgaozlbkg°CF−:", max_size=70) | st.text()


@pytest.mark.parametrize(
    ("text", "expected_nm"),
    [
        ("1/8 x 1-1/4", (3_175_000, 31_750_000)),
        ("1/8 x 1-1/4 in", (3_175_000, 31_750_000)),
        ('1/8" × 1-1/4" × 10\'', (3_175_000, 31_750_000, 3_048_000_000)),
        ("3.2 × 32 mm", (3_200_000, 32_000_000)),
        ("3.2mmx32mm", (3_200_000, 32_000_000)),
        ("3,2 * 32 mm", (3_200_000, 32_000_000)),
        ("20 thou x 6 in", (508_000, 152_400_000)),
        ("20 thou x 6", (508_000, 152_400_000)),
        ("1/4 by 2", (6_350_000, 50_800_000)),
        ("2 x 10'6\"", (50_800_000, 3_200_400_000)),
        ("1/4", (6_350_000,)),
        ("12 mm", (12_000_000,)),
    ],
)
def test_every_form_of_a_section_is_read(text: str, expected_nm: tuple[int, ...]) -> None:
    assert section_nm(text, unit="in") == expected_nm


def test_a_weight_of_copper_sheet_is_a_size_in_a_section() -> None:
    sizes = section_nm("16 oz x 12", unit="in", gauge="copper-oz")

    assert sizes == (548_640, 304_800_000)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("3 mm x 20", "'20' has no unit in '3 mm x 20', which could be in or mm."),
        ("1/8 x 30 mm", "'1/8' has no unit in '1/8 x 30 mm', which could be in or mm."),
        ("9**9**9 mm", "'9**9**9 mm' is not a section we know. Write sizes with x between"),
        ("x", "'x' is not a section we know."),
        ("3 x", "'3 x' is not a section we know."),
        ("1 x 2 x 3 x 4", "'1 x 2 x 3 x 4' is not a section we know."),
        ("0 x 10", "'0 x 10' is not above 0."),
        ("2 x -3", "'2 x -3' is below 0."),
        ("2 x 3 smoots", "'2 x 3 smoots' is not a length we know."),
        ("", "Nothing was written. Write sizes with x"),
    ],
)
def test_what_is_no_section_is_refused_with_a_sentence(text: str, sentence: str) -> None:
    with pytest.raises(UnitsError) as refused:
        section_nm(text, unit="in")

    assert sentence in str(refused.value)


@pytest.mark.parametrize(
    ("text", "expected_ug"),
    [
        ("2 lb 6 oz", 1_077_281_879),  # 38 oz of 28 349 523.125 µg: 1 077 281 878.75
        ("2lb6oz", 1_077_281_879),
        ("2 lbs. 6 oz.", 1_077_281_879),
        ("1", 453_592_370),
        ("1½ lb", 680_388_555),
        ("16 oz", 453_592_370),
        ("0.5 kg", 500_000_000),
        ("430 g", 430_000_000),
        ("250 mg", 250_000),
    ],
)
def test_every_form_of_a_mass_is_read(text: str, expected_ug: int) -> None:
    assert mass_ug(text, unit="lb") == expected_ug


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("2 lb 17 oz", "'2 lb 17 oz' is not a mass we know. Write a number and lb, oz, kg or g"),
        ("2 lb 6", "'2 lb 6' is not a mass we know."),
        ("2 kg 3 oz", "'2 kg 3 oz' is not a mass we know."),
        ("3 stone", "'3 stone' is not a mass we know."),
        ("0", "'0' is not above 0."),
        ("-2 lb", "'-2 lb' is below 0."),
        ("10001 kg", "'10001 kg' is above 10 t (22,046 lb), the heaviest we take."),
        ("", "Nothing was written."),
    ],
)
def test_what_is_no_mass_is_refused_with_a_sentence(text: str, sentence: str) -> None:
    with pytest.raises(UnitsError) as refused:
        mass_ug(text, unit="lb")

    assert sentence in str(refused.value)


def test_an_empty_spool_may_weigh_nothing() -> None:
    assert mass_ug("0 g", unit="lb", zero_ok=True) == 0


@pytest.mark.parametrize(
    ("text", "expected_mdegc"),
    [
        ("1800 F", 982_222),
        ("1800", 982_222),
        ("1,800 °F", 982_222),
        ("1800 deg F", 982_222),
        ("1800°", 982_222),
        ("980 °C", 980_000),
        ("980ºC", 980_000),
        ("980℃", 980_000),
        ("1,083 C", 1_083_000),
        ("32 F", 0),
        ("-40 F", -40_000),
        ("−73 °C", -73_000),
        ("1084.62 C", 1_084_620),
    ],
)
def test_every_form_of_a_temperature_is_read(text: str, expected_mdegc: int) -> None:
    assert temperature_mdegc(text, unit="F") == expected_mdegc


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("-300 C", "'-300 C' is outside -200 to 3000 °C (-328 to 5432 °F)."),
        ("9999 F", "'9999 F' is outside -200 to 3000 °C"),
        ("cherry red", "'cherry red' is not a temperature we know. Write a number and F or C"),
        ("900 K", "'900 K' is not a temperature we know."),
        ("1e3", "'1e3' is not a temperature we know."),
        ("--5 C", "'--5 C' is below 0."),
        ("", "Nothing was written."),
    ],
)
def test_what_is_no_temperature_is_refused_with_a_sentence(text: str, sentence: str) -> None:
    with pytest.raises(UnitsError) as refused:
        temperature_mdegc(text, unit="C")

    assert sentence in str(refused.value)


@given(text=ODD_TEXT)
def test_any_text_is_either_a_sound_section_or_refused(text: str) -> None:
    try:
        read = section_nm(text, unit="mm", gauge="msg")
    except UnitsError:
        return
    assert 1 <= len(read) <= 3
    assert all(0 < size <= 100_000_000_000 for size in read)


@given(text=ODD_TEXT)
def test_any_text_is_either_a_sound_mass_or_refused(text: str) -> None:
    try:
        read = mass_ug(text, unit="kg")
    except UnitsError:
        return
    assert 0 < read <= 10_000_000_000_000


@given(text=ODD_TEXT)
def test_any_text_is_either_a_sound_temperature_or_refused(text: str) -> None:
    try:
        read = temperature_mdegc(text, unit="C")
    except UnitsError:
        return
    assert -200_000 <= read <= 3_000_000
