"""The heat bar, whose words never meet, and the billet growing longer."""

from itertools import product

import pytest

from billets.drawings.heat import HeatStop, LengthStep, colour_at, heat_bar, length_chart
from stock.drawings.shapes import DrawingError, Word, text_percent

MM = 1_000_000


def span(word: Word) -> tuple[float, float]:
    """Where a word begins and ends on the narrowest phone, in per cent."""
    wide = text_percent(word.text)
    begin = {"end": word.x - wide, "start": word.x, "middle": word.x - wide / 2}[word.anchor]
    return begin, begin + wide


def test_the_window_stands_where_its_temperatures_are() -> None:
    bar = heat_bar(floor_mdegc=850_000, ceiling_mdegc=950_000)

    assert (bar.low_c, bar.high_c) == (650, 1150)
    assert (bar.window_x, bar.window_width) == (40.0, 20.0)
    assert [mark.word.text for mark in bar.above] == ["850 °C", "950 °C"]


def test_words_are_in_the_shop_s_own_scale() -> None:
    bar = heat_bar(
        floor_mdegc=860_000, ceiling_mdegc=980_000, limits=[("copper", 1_065_000)], first="F"
    )

    assert [mark.word.text for mark in bar.above] == ["1580 °F", "1796 °F"]
    assert bar.below[0].word.text == "copper 1949 °F"
    assert bar.below[0].at == 83.0


@pytest.mark.parametrize(
    ("floor_c", "width_c"), list(product((500, 700, 815, 870, 950, 1200), (0, 5, 60, 120, 400)))
)
def test_words_over_the_bar_never_meet_and_stay_on_it(floor_c: int, width_c: int) -> None:
    bar = heat_bar(floor_mdegc=1000 * floor_c, ceiling_mdegc=1000 * (floor_c + width_c), first="F")

    (floor_begin, floor_end), (top_begin, top_end) = (span(mark.word) for mark in bar.above)
    assert floor_begin >= 0
    assert floor_end < top_begin
    assert top_end <= 100


def test_words_under_the_bar_take_a_row_each_where_they_would_meet() -> None:
    limits = [("tough-pitch", 1_065_000), ("pure copper", 1_083_000), ("brass", 916_000)]

    bar = heat_bar(floor_mdegc=760_000, ceiling_mdegc=840_000, limits=limits)

    words = [mark.word for mark in bar.below]
    for one, other in product(words, words):
        if one is not other and one.y == other.y:
            assert span(one)[1] < span(other)[0] or span(other)[1] < span(one)[0]
    assert all(span(word)[0] >= 0 and span(word)[1] <= 100 for word in words)
    assert bar.height_px > max(word.y for word in words)


def test_no_window_is_drawn_where_the_floor_lies_over_the_ceiling() -> None:
    assert heat_bar(floor_mdegc=900_000, ceiling_mdegc=870_000).window_width == 0


def test_a_temperature_no_forge_has_is_refused() -> None:
    with pytest.raises(DrawingError, match="2500 °C is not on this bar"):
        heat_bar(floor_mdegc=900_000, ceiling_mdegc=2_500_000)


def test_the_longest_heat_fills_the_chart_and_the_thickest_is_28_px_high() -> None:
    chart = length_chart(
        [
            LengthStep("Stack", 12 * MM, 150 * MM),
            LengthStep("Draw", 6 * MM, 300 * MM),
        ]
    )

    assert [(row.rect.width, row.rect.height) for row in chart.rows] == [
        (50.0, 28.0),
        (100.0, 14.0),
    ]
    assert chart.rows[1].rect.y == 7.0


def test_a_draw_out_without_sizes_is_refused() -> None:
    with pytest.raises(DrawingError, match="give at least one above 0"):
        length_chart([LengthStep("Stack", 0, 150 * MM)])
    with pytest.raises(DrawingError, match="give at least one above 0"):
        length_chart([])


def test_a_colour_between_two_stops_is_blended_and_beyond_them_is_theirs() -> None:
    stops = (HeatStop(10, "heat-1", "#000000"), HeatStop(60, "heat-2", "#64c80a"))

    # Halfway from 10 to 60: half of 0x64, 0xc8 and 0x0a is 0x32, 0x64 and 0x05.
    assert [colour_at(stops, at=at) for at in (0, 35, 60, 99)] == [
        "#000000",
        "#326405",
        "#64c80a",
        "#64c80a",
    ]
