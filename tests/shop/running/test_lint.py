"""`manage.py lint`: which checkers run, what is told, and how it ends."""

from __future__ import annotations

import sys
from collections.abc import Callable
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from shop.management.commands import lint
from shop.management.commands.lint import Linter

SetLinters = Callable[..., None]
PROGRAM = Path(sys.executable).name


def says(name: str, words: str, *, status: int = 0) -> Linter:
    """A checker that says something and ends as told."""
    return Linter(name, (PROGRAM, "-c", f"print({words!r}); raise SystemExit({status})"))


@pytest.fixture
def linters(monkeypatch: pytest.MonkeyPatch) -> SetLinters:
    """Puts other checkers in the place of the real ones, which take their time."""

    def put(*these: Linter) -> None:
        monkeypatch.setattr(lint, "LINTERS", these)

    return put


def run(*names: str) -> str:
    """What the command writes."""
    out = StringIO()
    call_command("lint", *names, stdout=out)
    return out.getvalue()


@pytest.mark.slow
def test_each_checker_is_told_by_name_and_a_clean_one_keeps_its_words(linters: SetLinters) -> None:
    linters(says("spelling", "700 files looked at"), says("commas", "all in place"))

    assert run() == "spelling: clean\ncommas: clean\n"


@pytest.mark.slow
def test_one_that_fails_is_shown_and_the_others_still_run(linters: SetLinters) -> None:
    linters(says("spelling", "bilet, line 7", status=1), says("commas", "all in place"))
    out = StringIO()

    with pytest.raises(CommandError) as refused:
        call_command("lint", stdout=out)

    assert out.getvalue() == "spelling: failed\nbilet, line 7\ncommas: clean\n"
    assert str(refused.value) == "Not clean: spelling."
    assert refused.value.returncode == 1


def test_a_program_that_is_missing_is_no_clean_result(linters: SetLinters) -> None:
    linters(Linter("commas", ("no-such-program-here", ".")))
    out = StringIO()

    with pytest.raises(CommandError, match=r"Not clean: commas\."):
        call_command("lint", stdout=out)

    assert out.getvalue() == "commas: 'no-such-program-here' is not installed\n"


@pytest.mark.slow
def test_it_runs_at_the_top_of_the_project(linters: SetLinters, tmp_path: Path) -> None:
    look = "import os, sys; sys.exit(not os.path.exists('manage.py'))"
    linters(Linter("place", (PROGRAM, "-c", look)))

    assert run() == "place: clean\n"


@pytest.mark.slow
def test_only_those_that_are_named_run(linters: SetLinters) -> None:
    linters(says("ruff check", ""), says("ruff format", ""), says("mypy", "", status=1))

    assert run("ruff") == "ruff check: clean\nruff format: clean\n"


def test_a_name_that_is_none_is_answered_with_those_there_are(linters: SetLinters) -> None:
    linters(says("spelling", ""), says("commas", ""))

    with pytest.raises(CommandError) as refused:
        run("semicolons")

    assert str(refused.value) == "No linter is called 'semicolons'. There are: spelling, commas."


def test_style_layout_and_types_are_checked() -> None:
    lines = [one.line for one in lint.LINTERS]

    assert ("ruff", "check", ".") in lines
    assert ("ruff", "format", "--check", ".") in lines
    assert ("mypy", ".") in lines
