"""Pasted lines become students, or say what is wrong with them."""

from __future__ import annotations

import pytest

from shop.classes.pasted import MOST_LINES, BadLine, Student, read_line, read_students


@pytest.mark.parametrize(
    ("line", "name", "email"),
    [
        ("Ana Ruiz", "Ana Ruiz", ""),
        ("Ana Ruiz <ana@forge.example>", "Ana Ruiz", "ana@forge.example"),
        ("Ana Ruiz, ana@forge.example", "Ana Ruiz", "ana@forge.example"),
        ("Ana Ruiz; ana@forge.example", "Ana Ruiz", "ana@forge.example"),
        ("Ana Ruiz\tana@forge.example", "Ana Ruiz", "ana@forge.example"),
        ("ana@forge.example, Ana Ruiz", "Ana Ruiz", "ana@forge.example"),
        ("Ana Ruiz ana@forge.example", "Ana Ruiz", "ana@forge.example"),
        ('"Ana Ruiz" <ana@forge.example>', "Ana Ruiz", "ana@forge.example"),
        ("Ana\tRuiz\tana@forge.example", "Ana Ruiz", "ana@forge.example"),
        ("3. Ana Ruiz", "Ana Ruiz", ""),
        ("- Ana   Ruiz", "Ana Ruiz", ""),
        ("Ægir Óskarsson", "Ægir Óskarsson", ""),
        ("Jean-Luc d'Aramitz", "Jean-Luc d'Aramitz", ""),
    ],
)
def test_a_line_is_read_in_any_usual_form(line: str, name: str, email: str) -> None:
    assert read_line(line) == Student(name, email, 1)


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("ana@forge.example", "There is no name"),
        ("Ana <ana at forge>", "'ana at forge' is not an e-mail address"),
        ("Ana, ana@forge", "'ana@forge' is not an e-mail address"),
        ("Ruiz, Ana", "For a name, write Ana Ruiz"),
        ("Ana <ana@forge.example", "brackets"),
        ("12345", "has no letter"),
        ("a@b.example, c@d.example", "two e-mail addresses"),
        ("A" * 101, "101 characters; 100 is the most"),
    ],
)
def test_a_bad_line_says_what_to_do(line: str, sentence: str) -> None:
    found = read_line(line)

    assert isinstance(found, BadLine)
    assert sentence in found.sentence
    assert found.text == line


def test_good_lines_are_kept_beside_a_bad_one_with_its_number() -> None:
    pasted = read_students("Ana Ruiz\n\nBo, bo@\nCleo Park")

    assert [one.name for one in pasted.students] == ["Ana Ruiz", "Cleo Park"]
    assert [(one.line, one.text) for one in pasted.bad] == [(3, "Bo, bo@")]


def test_somebody_who_has_a_seat_is_not_seated_twice() -> None:
    pasted = read_students("ana  RUIZ\nBo Lind", seated=[("Ana Ruiz", "")])

    assert [one.name for one in pasted.students] == ["Bo Lind"]
    assert "has a seat in this class already" in pasted.bad[0].sentence


def test_two_lines_of_one_person_are_seen() -> None:
    pasted = read_students("Bo Lind\nBo Lind")

    assert len(pasted.students) == 1
    assert pasted.bad[0].line == 2


def test_an_empty_text_has_nobody_in_it() -> None:
    pasted = read_students(" \n\n")

    assert pasted.students == ()
    assert pasted.bad == ()


def test_too_many_lines_are_told_with_their_number() -> None:
    pasted = read_students("\n".join(f"Student {chr(97 + n % 26)}{n}" for n in range(102)))

    assert len(pasted.students) == MOST_LINES
    assert "102 lines are too many" in pasted.bad[0].sentence
