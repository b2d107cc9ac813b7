"""Sheet and wire gauges against the published tables.

Copper sheet: Copper Development Association, Copper in Architecture handbook, Table 1.1.3, and
ASTM B370 (read). Steel sheet: US Manufacturers' Standard Gauge, gauges 10, 16, 18 and 20 and the
41.82 lb/ft² per inch (read); the weights of the other gauges are from memory. AWG: ASTM B258,
from memory, so no check against the source itself.
"""

from fractions import Fraction

import pytest

from stock.quantities import gauges
from stock.quantities.units import UnitsError, length_nm


@pytest.mark.parametrize(
    ("ounces", "thickness_nm", "inches"),
    [
        (8, 274_320, 0.0108),
        (10, 342_900, 0.0135),
        (12, 411_480, 0.0162),
        (16, 548_640, 0.0216),
        (20, 685_800, 0.0270),
        (24, 820_420, 0.0323),
        (32, 1_094_740, 0.0431),
        (48, 1_640_840, 0.0646),
    ],
)
def test_copper_sheet_by_weight_is_the_published_thickness(
    ounces: int, thickness_nm: int, inches: float
) -> None:
    read = length_nm(f"{ounces} oz", unit="in", gauge="copper-oz")

    assert read == thickness_nm
    # The table against its own physics: 0.322 lb/in³, within its last digit.
    assert inches == pytest.approx(ounces / 16 / 144 / 0.322, abs=1.0e-4)


def test_other_weights_of_copper_sheet_lie_between_their_neighbours() -> None:
    # 18 oz: 18/16/144/0.322 = 0.024262 in = 616 266 nm.
    assert length_nm("18 oz/ft²", unit="in", gauge="copper-oz") == 616_266


@pytest.mark.parametrize(
    ("gauge", "thickness_nm"), [(10, 3_416_300), (16, 1_518_920), (18, 1_214_120), (20, 911_860)]
)
def test_steel_sheet_by_gauge_is_the_published_thickness(gauge: int, thickness_nm: int) -> None:
    # .1345, .0598, .0478 and .0359 in.
    assert length_nm(f"{gauge} ga", unit="in", gauge="msg") == thickness_nm


MSG_OUNCES = [
    *(160, 150, 140, 130, 120, 110, 100, 90, 80, 70, 60, 50),
    *(45, 40, 36, 32, 28, 24, 22, 20, 18, 16, 14, 12),
    *(11, 10, 9, 8, 7, 6.5, 6, 5.5, 5, 4.5, 4.25, 4),
]  # ounces per square foot of gauges 3 to 38, from memory


@pytest.mark.parametrize(("gauge", "ounces"), list(enumerate(MSG_OUNCES, start=3)))
def test_steel_gauges_are_their_weight_over_that_of_an_inch(gauge: int, ounces: float) -> None:
    thickness = gauges.gauge_in(str(gauge), table="msg")

    assert thickness is not None
    assert float(thickness) == pytest.approx(ounces / 16 / 41.82, abs=0.51e-4)


@pytest.mark.parametrize(
    ("text", "thickness_nm"),
    [
        ("0000 awg", 11_684_000),  # .4600 in
        ("4/0 awg", 11_684_000),
        ("0 ga", 8_252_460),  # .3249 in
        ("10 ga", 2_588_260),  # .1019 in
        ("18 ga", 1_023_620),  # .0403 in
        ("24 ga", 510_540),  # .0201 in
        ("36 gauge", 127_000),  # .0050 in
    ],
)
def test_wire_gauges_from_memory(text: str, thickness_nm: int) -> None:
    assert length_nm(text, unit="in", gauge="awg") == thickness_nm


def test_every_table_gets_thinner_from_one_gauge_to_the_next() -> None:
    wire = [gauges.awg_in(number) for number in range(-3, 37)]
    sheet = [gauges.gauge_in(str(number), table="msg") or Fraction(0) for number in range(3, 39)]

    assert wire == sorted(set(wire), reverse=True)
    assert sheet == sorted(set(sheet), reverse=True)


@pytest.mark.parametrize(
    ("text", "gauge", "sentence"),
    [
        ("18 ga", None, "'18 ga' is a gauge. This material names no gauge table. Write the"),
        ("16 oz", None, "'16 oz' is a weight. This material names no gauge table."),
        ("18 awg", "msg", "This material goes by US Manufacturers' Standard Gauge for sheet"),
        ("18 swg", "awg", "'18 swg' is a gauge. This material goes by American Wire Gauge."),
        ("18 ga", "copper-oz", "This material goes by ounces per square foot."),
        ("16 oz", "awg", "'16 oz' is a weight. This material goes by American Wire Gauge."),
        ("2 ga", "msg", "'2 ga' is not a size of the US Manufacturers' Standard Gauge"),
        ("4/0 ga", "msg", "'4/0 ga' is not a size of the US Manufacturers' Standard Gauge"),
        ("41 ga", "awg", "'41 ga' is not a size of the American Wire Gauge."),
        ("0 oz", "copper-oz", "'0 oz' is not above 0."),
        ("161 oz", "copper-oz", "'161 oz' is above 160 oz a square foot, the heaviest we take."),
    ],
)
def test_a_gauge_is_read_only_by_the_table_of_its_material(
    text: str, gauge: str | None, sentence: str
) -> None:
    with pytest.raises(UnitsError) as refused:
        length_nm(text, unit="in", gauge=gauge)

    assert sentence in str(refused.value)


def test_a_table_that_we_do_not_have_is_a_mistake_in_the_program() -> None:
    with pytest.raises(ValueError, match="gauge is 'bwg'; use one of awg, msg, copper-oz or None"):
        length_nm("18 ga", unit="in", gauge="bwg")
