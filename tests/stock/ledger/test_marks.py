"""Marks for pieces and billets: unique, apart from each other, and forgiving to type."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.ledger.marks import (
    DIGITS,
    LETTERS,
    MarkError,
    billet_mark,
    next_mark,
    piece_mark,
    typed_mark,
)

LOOK_ALIKES = ("0OQD", "1IL7", "2Z", "38BE", "49A", "69G", "MNW", "UVY", "5S")


@pytest.mark.parametrize("group", LOOK_ALIKES)
def test_of_characters_that_look_alike_at_most_one_is_used(group: str) -> None:
    used = [character for character in group if character in LETTERS + DIGITS]

    assert len(used) <= 1


def test_no_mark_can_be_a_word() -> None:
    assert not set("AEIOU") & set(LETTERS)


def test_pieces_have_three_characters_then_four_then_five() -> None:
    marks = [piece_mark(number) for number in range(1, 4331)]

    assert len(set(marks)) == 4330
    assert {len(mark) for mark in marks[:720]} == {3}
    assert {len(mark) for mark in marks[720:4320]} == {4}
    assert {len(mark) for mark in marks[4320:]} == {5}


def test_billets_have_three_characters_then_four_then_five() -> None:
    marks = [billet_mark(number) for number in range(1, 1811)]

    assert len(set(marks)) == 1810
    assert {len(mark) for mark in marks[:300]} == {3}
    assert {len(mark) for mark in marks[300:1800]} == {4}
    assert {len(mark) for mark in marks[1800:]} == {5}


@given(piece=st.integers(1, 1_000_000), billet=st.integers(1, 1_000_000))
def test_a_piece_and_a_billet_never_share_a_mark(piece: int, billet: int) -> None:
    assert piece_mark(piece) != billet_mark(billet)


@given(number=st.integers(1, 1_000_000))
def test_a_million_pieces_still_fit_eight_characters(number: int) -> None:
    mark = piece_mark(number)

    assert len(mark) <= 8
    assert mark[:2].strip(LETTERS) == ""
    assert mark[2:].strip(DIGITS) == ""


@given(one=st.integers(1, 100_000), other=st.integers(1, 100_000))
def test_two_numbers_never_share_a_mark(one: int, other: int) -> None:
    assert (piece_mark(one) == piece_mark(other)) is (one == other)
    assert (billet_mark(one) == billet_mark(other)) is (one == other)


@given(number=st.integers(1, 4_319).filter(lambda number: number != 720))
def test_neighbours_on_the_rack_differ_in_every_place(number: int) -> None:
    pairs = zip(piece_mark(number), piece_mark(number + 1), strict=True)

    assert all(a != b for a, b in pairs)


@given(number=st.integers(1, 100_000))
def test_no_mark_upside_down_reads_as_a_mark(number: int) -> None:
    upside_down = piece_mark(number)[::-1]

    with pytest.raises(MarkError):
        typed_mark(upside_down)


def test_the_first_marks_stay_as_they_are_from_run_to_run() -> None:
    assert [piece_mark(number) for number in (1, 2, 3, 4)] == ["CC2", "KM3", "YC4", "JM6"]
    assert [billet_mark(number) for number in (1, 2, 3, 4)] == ["C22", "M43", "C74", "P36"]


def test_the_next_mark_steps_over_those_that_are_taken() -> None:
    assert next_mark(set(), number=1) == "CC2"
    assert next_mark({"CC2", "KM3"}, number=1) == "YC4"
    assert next_mark({"C22"}, number=1, mark_of=billet_mark) == "M43"


@pytest.mark.parametrize("number", [0, -1])
def test_marks_are_counted_from_one(number: int) -> None:
    with pytest.raises(ValueError, match="marks are counted from 1"):
        piece_mark(number)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("KT7", "KT7"),
        (" kt7 ", "KT7"),
        ("k t-7", "KT7"),
        ("#KT7", "KT7"),
        ("ktI", "KT7"),
        ("kt1", "KT7"),
        ("km z", "KM2"),
        ("C0G", "CD6"),
        ("k27", "K27"),
        ("HM42", "HM42"),
    ],
)
def test_a_typed_mark_is_put_right(text: str, expected: str) -> None:
    assert typed_mark(text) == expected


@pytest.mark.parametrize(
    "text", ["", "K", "KT", "K2", "7TK", "KTX7", "KT8", "KT7" * 9, "É27", "K2T"]
)
def test_what_no_mark_looks_like_is_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(MarkError) as refused:
        typed_mark(text)

    assert "A piece's mark is two letters and digits, such as KT7" in str(refused.value)
    assert refused.value.given == text


@given(number=st.integers(1, 1_000_000))
def test_every_mark_reads_back_however_it_is_cased_and_spaced(number: int) -> None:
    for mark in (piece_mark(number), billet_mark(number)):
        assert typed_mark(" ".join(mark.lower()) if len(mark) <= 6 else mark.lower()) == mark


@given(text=st.text())
def test_any_text_is_a_mark_or_refused(text: str) -> None:
    try:
        mark = typed_mark(text)
    except MarkError:
        return
    assert set(mark) <= set(LETTERS + DIGITS)
