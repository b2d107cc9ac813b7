"""Students pasted as lines of text: names and e-mail addresses, one person a line. Pure.

Reads "Name", "Name <mail>", "Name, mail", "Name; mail" and what a spreadsheet copies (a tab
between them). It leaves out whether there is room for them (`shop.classes.seat_writing`).
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass

MOST_LINES = 100
LONGEST_NAME = 100
LONGEST_MAIL = 254  # RFC 5321, 4.5.3.1.3, with the brackets taken off

_MAIL = re.compile(r"[^@\s<>,;\"]+@[^@\s<>,;\"]+\.[^@\s<>,;\".]{2,}")
_NUMBERING = re.compile(r"^(?:\d{1,3}[.)]|[-*•–])\s+")
_BRACKETS = re.compile(r"^(.*?)[,;]?\s*<([^<>]*)>$")
_COLUMNS = re.compile(r"\s*[\t,;]\s*")


@dataclass(frozen=True)
class Student:
    """One person to be seated."""

    name: str
    email: str = ""
    line: int = 0  # in the pasted text, from 1


@dataclass(frozen=True)
class BadLine:
    """A line that says nobody, and what to do about it."""

    line: int
    text: str
    sentence: str


@dataclass(frozen=True)
class Pasted:
    """What a pasted text says; nothing of it is lost."""

    students: tuple[Student, ...]
    bad: tuple[BadLine, ...]


def read_students(text: str, *, seated: Collection[tuple[str, str]] = ()) -> Pasted:
    """The students of a pasted text, and the lines that cannot be read.

    Args:
        text: one person a line; empty lines are passed over, at most 100 lines are read.
        seated: (name, e-mail) of those that have a seat already.

    Returns:
        Students in the order given, and bad lines with a sentence each.

    >>> read_students("Ana Ruiz <ana@forge.example>").students[0].email
    'ana@forge.example'
    """
    students: list[Student] = []
    bad: list[BadLine] = []
    taken = {_same(name, email) for name, email in seated}
    lines = [(n, row) for n, raw in enumerate(text.splitlines(), start=1) if (row := raw.strip())]
    for number, row in lines[:MOST_LINES]:
        found = read_line(row, line=number)
        if isinstance(found, Student) and _same(found.name, found.email) in taken:
            found = BadLine(
                number,
                row,
                f"{found.name} has a seat in this class already. Take the line out; for somebody "
                "else of the same name, add a second name or an e-mail address.",
            )
        if isinstance(found, BadLine):
            bad.append(found)
        else:
            taken.add(_same(found.name, found.email))
            students.append(found)
    if len(lines) > MOST_LINES:
        number, row = lines[MOST_LINES]
        bad.append(
            BadLine(
                number,
                row,
                f"{len(lines)} lines are too many at once; add up to {MOST_LINES}, then the rest.",
            )
        )
    return Pasted(tuple(students), tuple(bad))


def read_line(row: str, *, line: int = 1) -> Student | BadLine:
    """One line, without the ends' spaces.

    Args:
        row: "Name", "Name <mail>", "Name, mail"; a leading number or dash is passed over.
        line: its number in the text, from 1.

    Returns:
        A student, or why it says nobody.
    """
    plain = _NUMBERING.sub("", row).strip()
    name, email, problem = _parts(plain)
    name = " ".join(name.strip(" \"'").split())
    email = email.strip()
    problem = problem or _problem(name, email)
    return BadLine(line, row, problem) if problem else Student(name, email, line)


def _parts(plain: str) -> tuple[str, str, str]:
    """Name, e-mail, and what is wrong with the line's shape."""
    if brackets := _BRACKETS.match(plain):
        return brackets[1], brackets[2], ""
    if "<" in plain or ">" in plain:
        return plain, "", "One of the brackets < > is missing. Write Name <name@example.org>."
    columns = [part for part in _COLUMNS.split(plain) if part]
    mails = [part for part in columns if "@" in part]
    others = [part for part in columns if "@" not in part]
    if len(mails) > 1:
        return plain, "", "There are two e-mail addresses. Write one person, one address a line."
    if len(others) > 1 and not mails:
        swapped = f"{others[1]} {others[0]}"
        return plain, "", f"'{others[1]}' is not an e-mail address. For a name, write {swapped}."
    if not others and mails:
        words = mails[0].split()
        return " ".join(words[:-1]), words[-1], ""
    if mails and " " in mails[0]:
        return plain, "", f"'{mails[0]}' is not an e-mail address. Write Name, name@example.org."
    return " ".join(others), mails[0] if mails else "", ""


def _problem(name: str, email: str) -> str:
    """What is wrong with a name or an address; empty when nothing is."""
    if not name:
        return "There is no name. Write Name <name@example.org>."
    if not any(letter.isalpha() for letter in name):
        return f"'{name}' has no letter in it, so it is no name. Write a name, or take it out."
    if len(name) > LONGEST_NAME:
        return f"The name has {len(name)} characters; {LONGEST_NAME} is the most. Shorten it."
    if email and (not _MAIL.fullmatch(email) or len(email) > LONGEST_MAIL):
        return f"'{email}' is not an e-mail address. Write it as name@example.org, or leave it out."
    return ""


def _same(name: str, email: str) -> tuple[str, str]:
    """Two lines are the same person when name and address are, whatever their case."""
    return " ".join(name.casefold().split()), email.casefold()
