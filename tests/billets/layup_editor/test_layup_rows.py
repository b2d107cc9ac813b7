"""What the editor's buttons do to the rows as they were typed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billets.layup_editor.rows import MOST_LAYERS, Row, act_of, acted, mirrored

NEW = {"metal": "a1084", "role": "cladding", "thickness": ""}


def row(name: str, role: str = "cladding") -> Row:
    """A row known by its thickness."""
    return {"metal": "a1084", "role": role, "thickness": name}


def names(rows: tuple[Row, ...] | list[Row]) -> str:
    """The rows in a word."""
    return "".join(one["thickness"] for one in rows)


ABC = (row("a"), row("b", "core"), row("c"))


@pytest.mark.parametrize(
    ("act", "place", "left", "at"),
    [
        ("up", 1, "bac", 0),
        ("up", 0, "abc", 0),
        ("down", 1, "acb", 2),
        ("down", 2, "abc", 2),
        ("remove", 1, "ac", 1),
        ("remove", 2, "ab", 1),
        ("add-row", 0, "abcc", 3),
        ("copy", 0, "aabc", 1),
        ("copy", 2, "abcc", 3),
    ],
)
def test_a_button_does_what_its_word_says(act: str, place: int, left: str, at: int) -> None:
    moved = acted(ABC, act=act, place=place, new=NEW)

    assert (names(moved.rows), moved.place) == (left, at)


def test_the_last_row_can_be_removed_and_a_first_one_added() -> None:
    assert acted((row("a"),), act="remove", place=0, new=NEW).rows == ()
    assert acted((), act="add-row", place=0, new=NEW).rows == (NEW,)


def test_a_row_that_is_not_there_changes_nothing() -> None:
    assert names(acted(ABC, act="remove", place=7, new=NEW).rows) == "abc"


def test_no_more_rows_are_taken_than_a_stack_can_have() -> None:
    rows = tuple(row("x") for _ in range(MOST_LAYERS))

    assert len(acted(rows, act="add-row", place=0, new=NEW).rows) == MOST_LAYERS
    assert acted(rows, act="copy", place=3, new=NEW).rows == rows


@pytest.mark.parametrize(
    ("rows", "left"),
    [
        ([row("a"), row("k", "core")], "aka"),
        ([row("k", "core"), row("b"), row("c")], "cbkbc"),
        ([row("a"), row("b"), row("k", "core"), row("c")], "abkba"),
        ([row("a"), row("k", "core"), row("c")], "ckc"),
        ([row("a"), row("k", "core"), row("l", "core"), row("c")], "ckc"),
        ([row("a"), row("b")], "bab"),
        ([], ""),
    ],
)
def test_mirroring_makes_both_sides_of_the_core_alike(rows: list[Row], left: str) -> None:
    assert names(mirrored(rows)) == left


@given(st.lists(st.sampled_from("abcd"), min_size=1, max_size=12), st.integers(0, 11))
def test_what_was_mirrored_reads_the_same_from_both_ends(given_names: list[str], at: int) -> None:
    rows = [row(name, "core" if place == at else "line") for place, name in enumerate(given_names)]

    left = names(mirrored(rows))

    assert left == left[::-1]


@pytest.mark.parametrize(
    ("data", "act"),
    [
        ({"up": "3"}, ("up", 3)),
        ({"mirror": "0", "save": "1"}, ("mirror", 0)),
        ({"up": "-1"}, None),
        ({"up": "9999"}, None),
        ({"up": "²"}, None),
        ({"save": "1"}, None),
    ],
)
def test_only_a_button_with_a_sane_place_counts(
    data: dict[str, str], act: tuple[str, int] | None
) -> None:
    assert act_of(data) == act
