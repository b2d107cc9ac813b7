"""Heat colours against the two published tables (read), and the bar that is drawn from none."""

import itertools

import pytest

from billets.errors import HeatError
from billets.heat.colours import STOPS, WARNING, bar_stops, colour_words, colours_at, screen_colour


def names(temperature_c: float, *, book: str) -> list[str]:
    """What one table calls a temperature."""
    return [one.name for one in colours_at(temperature_c) if one.source.startswith(book)]


@pytest.mark.parametrize(
    ("temperature_c", "name"),
    [
        (700, "dull red"),
        (800, "dull cherry"),
        (900, "full cherry"),
        (1000, "clear cherry"),
        (1100, "deep orange"),
    ],
)
def test_stirlings_points_have_his_names(temperature_c: float, name: str) -> None:
    assert names(temperature_c, book="Stirling") == [name]


@pytest.mark.parametrize(
    ("low_c", "high_c", "name"),
    [(815, 870, "cherry"), (871, 981, "light cherry"), (982, 1092, "orange")],
)
def test_chapmans_bands_have_his_ends(low_c: float, high_c: float, name: str) -> None:
    assert names(low_c, book="Chapman") == [name]
    assert names(high_c, book="Chapman") == [name]
    assert names(low_c - 1, book="Chapman") != [name]
    assert names(high_c + 1, book="Chapman") != [name]


def test_no_temperature_falls_between_chapmans_bands() -> None:
    assert names(870.4, book="Chapman") == ["cherry"]
    assert names(870.6, book="Chapman") == ["light cherry"]


def test_a_table_that_does_not_reach_says_nothing() -> None:
    assert colours_at(500) == ()
    assert colour_words(500) == "no colour in the published tables"
    assert names(700, book="Chapman") == []
    assert names(1300, book="Stirling") == []


def test_the_words_name_both_tables() -> None:
    assert colour_words(960) == "clear cherry (Stirling) or light cherry (Chapman)"


def test_every_named_colour_is_marked_as_read_with_its_book() -> None:
    for temperature_c in range(650, 1151, 10):
        for colour in colours_at(temperature_c):
            assert colour.mark == "read"
            assert colour.source.endswith(("1905", "1972"))


def test_the_warning_says_that_a_colour_is_no_instrument() -> None:
    assert "never an instrument" in WARNING
    assert "dim light" in WARNING


def test_drawn_colours_say_that_they_have_no_source() -> None:
    assert {stop.mark for stop in STOPS} == {"drawn for the eye, no source"}
    assert {stop.mark for stop in bar_stops(760, high_c=1100)} == {"drawn for the eye, no source"}


def test_the_drawn_bar_gets_brighter_all_the_way() -> None:
    red = [bytes.fromhex(screen_colour(celsius)[1:])[0] for celsius in range(450, 1301, 10)]

    assert all(cool <= hot for cool, hot in itertools.pairwise(red))


def test_a_bar_has_its_two_ends_and_the_stops_between() -> None:
    stops = bar_stops(816, high_c=980)

    assert [stop.temperature_c for stop in stops] == [816, 900, 980]
    assert stops[1].hex == "#d63a14"


def test_a_colour_halfway_is_halfway_in_each_channel() -> None:
    # #ac2412 at 800 and #d63a14 at 900: (172+214)/2 = 193, (36+58)/2 = 47, (18+20)/2 = 19
    assert screen_colour(850) == "#c12f13"


@pytest.mark.parametrize(("temperature_c", "colour"), [(-40, "#3a3d42"), (5000, "#ffe9a8")])
def test_past_its_ends_the_bar_keeps_its_end_colours(temperature_c: float, colour: str) -> None:
    assert screen_colour(temperature_c) == colour


def test_a_bar_upside_down_is_refused() -> None:
    with pytest.raises(HeatError, match="has no length"):
        bar_stops(980, high_c=816)


def test_what_is_no_number_has_no_colour() -> None:
    with pytest.raises(HeatError, match="no temperature"):
        screen_colour(float("nan"))
