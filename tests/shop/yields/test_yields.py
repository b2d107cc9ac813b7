"""How many to make, and how much the record says."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.yields.record import Record, YieldsError, record_words, share_interval
from shop.yields.spares import at_least_sound, at_least_sound_at, chances, guesses, spares

GOOD = Record(sound=27, made=30)
RECORDS = st.integers(0, 60).flatmap(
    lambda made: st.builds(Record, sound=st.integers(0, made), made=st.just(made))
)


def test_the_expected_share_leans_to_the_middle_when_little_is_known() -> None:
    assert Record().share == Fraction(1, 2)
    assert Record(sound=1, made=1).share == Fraction(3, 4)
    assert GOOD.share == Fraction(55, 62)


def test_one_billet_after_one_sound_one_is_sound_with_three_in_four() -> None:
    assert at_least_sound(1, billets=1, record=Record(1, 1)) == pytest.approx(0.75)


def test_two_billets_after_no_record() -> None:
    # Beta(1/2, 1/2): P(both) = E[p²] = 3/8, P(at least one) = 5/8
    assert at_least_sound(2, billets=2, record=Record()) == pytest.approx(0.375)
    assert at_least_sound(1, billets=2, record=Record()) == pytest.approx(0.625)


def test_a_known_yield_of_a_half_is_a_coin() -> None:
    assert at_least_sound_at(2, billets=3, share=0.5) == pytest.approx(0.5)


@pytest.mark.parametrize(("share", "probability"), [(0.0, 0.0), (1.0, 1.0)])
def test_a_yield_of_nothing_or_all_is_certain(share: float, probability: float) -> None:
    assert at_least_sound_at(3, billets=4, share=share) == probability


def test_none_needed_is_certain_and_more_than_made_is_impossible() -> None:
    assert at_least_sound(0, billets=0, record=GOOD) == 1
    assert at_least_sound(5, billets=4, record=GOOD) == 0


def test_ten_sound_billets_from_a_shop_that_loses_one_in_ten() -> None:
    found = spares(10, record=GOOD, confidence=0.95, cost_cents=8_000)

    assert found.billets == 14
    assert found.spares == 4
    assert found.probability >= 0.95


def test_the_table_runs_from_the_needed_number_past_the_answer() -> None:
    found = spares(10, record=GOOD, confidence=0.95, cost_cents=8_000, rows=2)

    assert [row.billets for row in found.table] == [10, 11, 12, 13, 14, 15]
    assert [row.cost_cents for row in found.table] == [
        80_000,
        88_000,
        96_000,
        104_000,
        112_000,
        120_000,
    ]


def test_without_a_record_no_number_is_promised() -> None:
    found = spares(10, record=Record(), confidence=0.95)

    assert found.billets is None
    assert found.spares is None
    assert found.probability < 0.95
    assert "this is a guess" in found.words


def test_one_sound_billet_without_a_record_wants_thirty_two() -> None:
    # scipy: betabinom.sf(0, n, 0.5, 0.5) reaches 0.9 first at 32
    assert spares(1, record=Record(), confidence=0.9).billets == 32
    assert [spares(k, record=GOOD, confidence=0.9).billets for k in range(1, 7)] == [
        2,
        3,
        4,
        6,
        7,
        8,
    ]


def test_a_short_record_is_called_short() -> None:
    assert record_words(Record(4, 4)) == (
        "Only 4 are on record (4 sound), which says little: the true share may lie anywhere "
        "between 64 % and 100 %."
    )
    assert record_words(Record(0, 1)).startswith("Only one like billet is on record (0 sound)")


def test_a_long_record_still_tells_its_interval() -> None:
    assert record_words(Record(36, 40)) == (
        "36 of 40 like billets were sound; the true share probably lies between 80 % and 96 %."
    )


def test_an_interval_reaches_all_when_none_failed_and_nearly_nothing_when_none_was_sound() -> None:
    assert share_interval(Record(5, 5))[1] == 1
    assert share_interval(Record(0, 5))[0] == Fraction(1, 1_000_000)


@pytest.mark.parametrize("counts", [(-1, 5), (6, 5)])
def test_a_record_that_cannot_be_is_refused(counts: tuple[int, int]) -> None:
    with pytest.raises(YieldsError, match="no more sound billets than were made"):
        Record(*counts)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"needed": 0}, "at least 1"),
        ({"confidence": 1.0}, "nothing is certain"),
        ({"confidence": 0.0}, "above 0"),
        ({"cost_cents": -1}, "cannot be below 0"),
    ],
)
def test_a_wish_that_cannot_be_is_refused(wrong: dict[str, Any], words: str) -> None:
    wish: dict[str, Any] = {"needed": 6, "confidence": 0.9, "cost_cents": 0} | wrong
    needed = wish.pop("needed")

    with pytest.raises(YieldsError, match=words):
        spares(needed, record=GOOD, **wish)


def test_counts_and_shares_outside_their_limits_are_refused() -> None:
    with pytest.raises(YieldsError, match="neither can be below 0"):
        at_least_sound(-1, billets=1, record=GOOD)
    with pytest.raises(YieldsError, match="share from 0 to 1"):
        at_least_sound_at(1, billets=1, share=1.5)
    with pytest.raises(YieldsError, match="above 0 and below 1"):
        share_interval(GOOD, confidence=1.0)


@given(RECORDS, st.integers(1, 20))
def test_one_more_billet_never_hurts(record: Record, needed: int) -> None:
    table = chances(needed, record=record, upto=needed + 8)

    assert all(row.adds >= -1e-12 for row in table)
    assert all(0 <= row.probability <= 1 for row in table)


@pytest.mark.slow
@given(RECORDS, st.integers(1, 12), st.sampled_from([0.5, 0.8, 0.9, 0.95]))
def test_the_number_is_the_smallest_that_reaches_the_confidence(
    record: Record, needed: int, confidence: float
) -> None:
    found = spares(needed, record=record, confidence=confidence)

    if found.billets is None:
        assert found.probability < confidence
        return
    assert at_least_sound(needed, billets=found.billets, record=record) >= confidence
    fewer = found.billets - 1
    assert fewer < needed or at_least_sound(needed, billets=fewer, record=record) < confidence


@given(RECORDS)
def test_the_interval_holds_the_expected_share(record: Record) -> None:
    low, high = share_interval(record)

    assert 0 < low <= record.share <= high <= 1


@pytest.mark.parametrize(
    ("record", "billets"),
    [(Record(0, 0), 317), (Record(6, 8), 16), (Record(40, 40), 8), (Record(0, 12), None)],
)
def test_a_number_that_no_shop_makes_is_no_plan(record: Record, billets: int | None) -> None:
    found = spares(8, record=record, confidence=0.9)

    assert found.billets == billets
    assert found.is_plan == (billets in (8, 16))


def test_a_long_record_is_taken_at_its_word() -> None:
    # scipy: betabinom.sf(0, n, 60.5, 40.5) is 0.9881 for 5 and 0.9949 for 6
    found = spares(1, record=Record(60, 100), confidence=0.99)

    assert (found.billets, found.is_plan) == (6, True)


def test_the_answer_is_in_the_table_however_far_it_is() -> None:
    found = spares(60, record=Record(60, 100), confidence=0.99)

    few = found.few_rows(also=62)
    assert found.billets in [row.billets for row in few]
    assert len(few) <= 13


def test_the_table_of_a_short_record_stays_short_and_holds_what_is_planned() -> None:
    found = spares(8, record=Record(), confidence=0.9, upto=9)
    few = found.few_rows(also=9)

    assert len(few) <= 13
    assert [few[0].billets, few[-1].billets] == [8, found.table[-1].billets]
    assert 9 in [row.billets for row in few]
    assert found.table[-1].billets <= 25


def test_a_long_table_keeps_its_answer_and_the_planned_number() -> None:
    found = spares(20, record=Record(30, 40), confidence=0.9, upto=23)
    few = [row.billets for row in found.few_rows(also=23)]

    assert found.billets in few
    assert 23 in few
    assert len(few) <= 13


def test_at_a_guessed_yield_of_nine_in_ten_ten_billets_want_three_more() -> None:
    # scipy.stats.binom: P(10 of 12 at 0.9) = 0.889, of 13 = 0.966
    assert [(guess.percent, guess.billets) for guess in guesses(10, confidence=0.9)] == [
        (70, 18),
        (80, 15),
        (90, 13),
        (95, 12),
    ]


def test_a_confidence_of_one_in_a_thousand_is_reached_or_refused() -> None:
    # scipy.stats.betabinom.sf(5, n, 60.5, 0.5) >= 0.999 first at n = 8
    assert spares(6, record=Record(60, 60), confidence=0.999).billets == 8
    assert spares(6, record=Record(), confidence=0.999).billets is None
