"""Sizes, masses, temperatures and areas as words, and that the words read back the same."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.quantities import units

SYSTEMS = st.sampled_from(["inch", "metric"])


@pytest.mark.parametrize(
    ("nm", "expected"),
    [
        (31_750_000, "1-1/4 in"),
        (4_762_500, "3/16 in"),
        (50_800_000, "2 in"),
        (396_875, "1/64 in"),
        (25_796_875, "1-1/64 in"),
        (4_762_500 + 12_700, "3/16 in"),  # 0.0005 in off is still 3/16
        (4_762_500 + 12_701, "0.188 in"),  # more is not
        (508_000, "0.020 in"),
        (548_640, "0.0216 in"),  # 16 oz copper sheet
        (500_000, "0.0197 in"),
        (25_000, "0.001 in"),
        (3_200_000, "0.126 in"),
        (32_000_000, "1.260 in"),
        (50, "0.000002 in"),
        (0, "0 in"),
        (-31_750_000, "−1-1/4 in"),
    ],
)
def test_inches_are_fractions_where_exact_and_decimals_elsewhere(nm: int, expected: str) -> None:
    assert units.length_text(nm, system="inch") == expected


@pytest.mark.parametrize(
    ("nm", "style", "expected"),
    [
        (508_000, "thou", "0.020 in"),
        (31_750_000, "thou", "1.250 in"),
        (31_750_000, "plain", "1.25 in"),
        (50_800_000, "plain", "2 in"),
        (548_640, "plain", "0.0216 in"),
    ],
)
def test_inches_can_be_told_as_decimals(nm: int, style: str, expected: str) -> None:
    assert units.length_text(nm, system="inch", style=style) == expected


@pytest.mark.parametrize(
    ("nm", "expected"),
    [
        (31_750_000, "31.8 mm"),
        (3_175_000, "3.18 mm"),
        (4_000_000, "4 mm"),
        (508_000, "0.51 mm"),
        (25_000, "0.025 mm"),
        (236_000_000, "236 mm"),
        (3_657_600_000, "3657.6 mm"),
        (40, "0.00004 mm"),
        (0, "0 mm"),
        (-500_000, "−0.5 mm"),
    ],
)
def test_millimetres_have_the_digits_that_a_shop_can_measure(nm: int, expected: str) -> None:
    assert units.length_text(nm, system="metric") == expected


def test_millimetres_get_one_more_digit_where_inches_get_thousandths() -> None:
    assert units.length_text(31_750_000, system="metric", style="thou") == "31.75 mm"
    assert units.length_text(508_000, system="metric", style="thou") == "0.508 mm"


def test_the_second_system_is_the_other_one() -> None:
    assert units.length_second_text(31_750_000, system="inch") == "31.8 mm"
    assert units.length_second_text(31_750_000, system="metric") == "1-1/4 in"
    assert units.section_second_text((3_175_000, 31_750_000), system="inch") == "3.18 × 31.8 mm"
    assert units.mass_second_text(1_000_000_000, system="metric") == "2 lb 3.3 oz"
    assert units.area_second_text(645_160_000_000_000, system="inch") == "645 mm²"
    assert units.temperature_second_text(980_000, first="C") == "1796 °F"


@pytest.mark.parametrize(
    ("nms", "system", "expected"),
    [
        ((3_175_000, 31_750_000), "inch", "1/8 × 1-1/4 in"),
        ((508_000, 152_400_000), "inch", "0.020 × 6 in"),
        ((3_200_000, 32_000_000), "metric", "3.2 × 32 mm"),
        ((12_700_000,), "inch", "1/2 in"),
    ],
)
def test_a_section_has_one_unit_at_its_end(
    nms: tuple[int, ...], system: str, expected: str
) -> None:
    assert units.section_text(nms, system=system) == expected


@pytest.mark.parametrize(
    ("nms", "expected"),
    [
        ((3_200_000, 32_000_000), "3.2 × 32 mm"),
        ((3_175_000, 31_750_000), "1/8 × 1-1/4 in"),
        ((548_640, 152_400_000), "0.0216 × 6 in"),
        ((3_141_592, 31_415_926), "0.124 × 1.237 in"),
    ],
)
def test_stock_is_named_in_the_system_that_it_was_rolled_to(
    nms: tuple[int, ...], expected: str
) -> None:
    assert units.section_as_sold(nms, system="inch") == expected


@pytest.mark.parametrize(
    ("ug", "system", "expected"),
    [
        (1_077_281_879, "inch", "2 lb 6 oz"),
        (453_592_370, "inch", "1 lb"),
        (453_500_000, "inch", "1 lb"),  # 15.997 oz
        (172_932_091, "inch", "6.1 oz"),
        (5_000_000, "inch", "0.18 oz"),
        (9_298_643_585, "inch", "20.5 lb"),
        (1_077_281_879, "metric", "1.08 kg"),
        (430_000_000, "metric", "430 g"),
        (999_700_000, "metric", "1 kg"),
        (4_300_000, "metric", "4.3 g"),
        (20_000, "metric", "0.02 g"),
        (0, "metric", "0 g"),
        (-430_000_000, "metric", "−430 g"),
    ],
)
def test_masses_read_as_a_scale_shows_them(ug: int, system: str, expected: str) -> None:
    assert units.mass_text(ug, system=system) == expected


@pytest.mark.parametrize(
    ("mdegc", "first", "expected"),
    [
        (982_222, "F", "1800 °F · 982 °C"),
        (980_000, "C", "980 °C · 1796 °F"),
        (1_084_620, "F", "1984 °F · 1085 °C"),
        (-73_000, "C", "−73 °C · −99 °F"),
    ],
)
def test_temperatures_are_told_on_both_scales(mdegc: int, first: str, expected: str) -> None:
    assert units.temperature_text(mdegc, first=first) == expected


@pytest.mark.parametrize(
    ("nm2", "system", "expected"),
    [
        (100_806_250_000_000, "inch", "0.156 in²"),  # 1/8 x 1-1/4 in
        (100_806_250_000_000, "metric", "101 mm²"),
        (8_064_500_000_000_000, "inch", "12.5 in²"),
        (116_128_800_000_000_000, "inch", "1.25 ft²"),
        (8_064_500_000_000_000, "metric", "80.6 cm²"),
        (1_200_000_000_000_000_000, "metric", "1.2 m²"),
        (0, "inch", "0 in²"),
    ],
)
def test_areas_have_about_three_figures(nm2: int, system: str, expected: str) -> None:
    assert units.area_text(nm2, system=system) == expected


@pytest.mark.parametrize("system", ["Inch", "", "imperial"])
def test_a_system_that_we_do_not_have_is_a_mistake_in_the_program(system: str) -> None:
    with pytest.raises(ValueError, match="use inch or metric"):
        units.length_text(1, system=system)


@pytest.mark.parametrize(
    ("nm", "expected"),
    [
        (914_400_000, "36 in"),
        (798_909_375, "31-29/64 in"),
        (12_084_500_000, "≈\u00a0475-3/4 in"),
        (1_000_000_000, "≈\u00a039-3/8 in"),
        (1_523_000_000, "≈\u00a059-15/16 in"),
        (1_000_000, "≈\u00a01/16 in"),
        (300_000, "0.0118 in"),
        (0, "0 in"),
    ],
)
def test_at_the_rack_a_length_that_is_no_64th_is_about_a_mark_of_the_tape(
    nm: int, expected: str
) -> None:
    # 12 084.5 mm = 475.7677 in; 1 m = 39.3701 in; 1523 mm = 59.9606 in; 1 mm = 0.0394 in.
    assert units.length_text(nm, system="inch", style="rack") == expected


def test_at_the_rack_millimetres_stay_as_they_are() -> None:
    assert units.length_text(1_523_000_000, system="metric", style="rack") == "1523 mm"


def test_a_style_or_scale_that_we_do_not_have_is_a_mistake_in_the_program() -> None:
    with pytest.raises(ValueError, match="use one of fraction, thou, plain"):
        units.length_text(1, system="inch", style="furlong")
    with pytest.raises(ValueError, match="use F or C"):
        units.temperature_text(0, first="K")


@given(
    nm=st.integers(25_000, 100_000_000_000 - 50_000), style=st.sampled_from(["fraction", "thou"])
)
def test_shown_inches_read_back_within_half_a_thousandth(nm: int, style: str) -> None:
    text = units.length_text(nm, system="inch", style=style)

    assert abs(units.length_nm(text, unit="mm") - nm) <= 12_700


@given(nm=st.integers(25_000, 100_000_000_000 - 50_000))
def test_shown_millimetres_read_back_within_their_last_digit(nm: int) -> None:
    text = units.length_text(nm, system="metric")

    assert abs(units.length_nm(text, unit="in") - nm) <= (50_000 if nm >= 10_000_000 else 5_000)


@given(nm=st.integers(1, 100_000_000_000), system=SYSTEMS)
def test_a_length_in_a_form_field_reads_back_to_the_nanometre(nm: int, system: str) -> None:
    text = units.field_text(nm, system=system)

    assert units.length_nm(text, unit="in") == nm


@pytest.mark.parametrize(
    ("nm", "expected"),
    [(31_750_000, "1-1/4 in"), (548_640, "0.0216 in"), (3_200_000, "3.2 mm"), (0, "0 in")],
)
def test_a_form_field_starts_with_the_shops_unit_where_that_is_exact(
    nm: int, expected: str
) -> None:
    assert units.field_text(nm, system="inch") == expected


@given(nms=st.lists(st.integers(25_000, 10_000_000_000), min_size=1, max_size=3), system=SYSTEMS)
def test_a_shown_section_reads_back_size_by_size(nms: list[int], system: str) -> None:
    text = units.section_text(nms, system=system)

    read = units.section_nm(text, unit="mm")

    assert len(read) == len(nms)
    assert all(abs(a - b) <= 50_000 for a, b in zip(read, nms, strict=True))


@given(ug=st.integers(1_000_000, 9_000_000_000_000), system=SYSTEMS)
def test_a_shown_mass_reads_back_within_its_last_digit(ug: int, system: str) -> None:
    text = units.mass_text(ug, system=system)

    read = units.mass_ug(text, unit="kg")

    # 0.05 oz is 1 417 476.2 µg, 0.05 lb is 22 679 618.5 µg.
    if system == "inch":
        assert abs(read - ug) <= (1_417_477 if ug < 9_000_000_000 else 22_679_619)
    else:
        assert abs(read - ug) <= (500_000 if ug < 999_000_000 else 5_000_000)


@given(mdegc=st.integers(-199_000, 2_999_000), unit=st.sampled_from(["F", "C"]))
def test_a_shown_temperature_reads_back_within_half_a_degree(mdegc: int, unit: str) -> None:
    text = units.temperature_one_text(mdegc, unit=unit)

    assert abs(units.temperature_mdegc(text, unit="C") - mdegc) <= 501
