"""`manage.py test`: what its words tell pytest, and when measuring fails."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from shop.management.commands import test
from tests.kinds import Settings


class Pretended:
    """Stands for the processes that the command starts, and keeps what it told them."""

    def __init__(
        self, *, tests_end_with: int = 0, lines_run: int = 96, report_ends_with: int = 0
    ) -> None:
        self.lines: list[tuple[str, ...]] = []
        self.report_ends_with = report_ends_with
        self.tests_end_with = tests_end_with
        self.lines_run = lines_run

    def __call__(self, *words: str) -> int:
        self.lines.append(words)
        if words[1:3] == ("coverage", "json") and self.report_ends_with:
            return self.report_ends_with
        if words[1:3] == ("coverage", "json"):
            summary = {
                "num_statements": 100,
                "covered_lines": self.lines_run,
                "num_branches": 10,
                "covered_branches": 9,
            }
            Path(words[-1]).write_text(json.dumps({"files": {"shop/a.py": {"summary": summary}}}))
        return self.tests_end_with if "pytest" in words else 0


@pytest.fixture
def base(tmp_path: Path, settings: Settings, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder that stands for the project."""
    settings.BASE_DIR = tmp_path
    monkeypatch.setenv("COVERAGE_FILE", "kept")
    return tmp_path


def started(monkeypatch: pytest.MonkeyPatch, *words: str, **ends: int) -> tuple[Pretended, int]:
    """What the command starts, and the status that it ends with."""
    pretended = Pretended(**ends)
    monkeypatch.setattr(test, "run", pretended)
    with pytest.raises(SystemExit) as end:
        test.Command().run_from_argv(["manage.py", "test", *words])
    assert isinstance(end.value.code, int)
    return pretended, end.value.code


def test_arguments_of_pytest_pass_through_untouched(monkeypatch: pytest.MonkeyPatch) -> None:
    pretended, status = started(monkeypatch, "-x", "-k", "quick", tests_end_with=5)

    assert pretended.lines == [("-m", "pytest", "-x", "-k", "quick")]
    assert status == 5


def test_without_arguments_everything_runs_side_by_side(monkeypatch: pytest.MonkeyPatch) -> None:
    pretended, _ = started(monkeypatch)

    words = pretended.lines[0]
    assert words[:2] == ("-m", "pytest")
    assert words[words.index("-n") + 1] == "auto"
    assert words[2:].count("-m") == 0


def test_quick_leaves_out_what_is_slow_or_needs_more(monkeypatch: pytest.MonkeyPatch) -> None:
    pretended, _ = started(monkeypatch, "quick", "-k", "rack")

    words = pretended.lines[0]
    assert "not browser and not postgres and not slow" in words
    assert words[-2:] == ("-k", "rack")
    assert "quick" not in words


def test_covered_tells_each_floor(
    monkeypatch: pytest.MonkeyPatch, base: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pretended, status = started(monkeypatch, "covered", "tests/shop")

    assert ("-m", "coverage", "run", "-m", "pytest", "tests/shop") in pretended.lines
    assert status == 0
    assert "shop: 96.0 % of 100 lines, 90.0 % of 10 branches" in capsys.readouterr().out
    assert list(base.iterdir()) == []


def test_a_floor_under_the_least_fails(
    monkeypatch: pytest.MonkeyPatch, base: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, status = started(monkeypatch, "covered", lines_run=94)

    assert status == 1
    assert "shop is under 95 % of its lines" in capsys.readouterr().err


def test_a_test_that_fails_still_fails_where_enough_is_covered(
    monkeypatch: pytest.MonkeyPatch, base: Path
) -> None:
    _, status = started(monkeypatch, "covered", tests_end_with=2)

    assert status == 2


def test_nothing_measured_is_a_failure(monkeypatch: pytest.MonkeyPatch, base: Path) -> None:
    _, status = started(monkeypatch, "covered", report_ends_with=1)

    assert status == 1
