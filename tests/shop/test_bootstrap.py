"""The set-up that a command does first, where there is no environment yet."""

from collections.abc import Sequence
from pathlib import Path

import pytest

from shop import bootstrap


@pytest.mark.slow
def test_setting_up_leaves_standard_output_to_the_command(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    done: list[str] = []
    monkeypatch.setattr(bootstrap, "VENV", tmp_path)
    monkeypatch.setattr(bootstrap, "make_venv", lambda: done.append("made"))
    monkeypatch.setattr(bootstrap, "install", lambda python, lock: done.append(lock.name))

    bootstrap.make_environment(bootstrap.RUN_LOCK)

    said = capsys.readouterr()
    assert done == ["made", "requirements.lock"]
    assert said.out == ""
    assert "Making .venv" in said.err
    assert "Installing what requirements.lock lists" in said.err


@pytest.mark.parametrize(
    ("word", "lock"),
    [
        ("test", "requirements-dev.lock"),
        ("lint", "requirements-dev.lock"),
        ("start", "requirements.lock"),
    ],
)
def test_tests_and_linters_get_their_tools_on_a_bare_machine(
    monkeypatch: pytest.MonkeyPatch, word: str, lock: str
) -> None:
    made: list[str] = []
    restarted: list[Sequence[str]] = []

    def make(lock: Path) -> Path:
        made.append(lock.name)
        return Path("python")

    monkeypatch.setattr(bootstrap, "is_ready", lambda lock: False)
    monkeypatch.setattr(bootstrap, "make_environment", make)
    monkeypatch.setattr(bootstrap, "restart", lambda python, argv: restarted.append(argv))

    bootstrap.prepare(["manage.py", word, "--help"])

    assert made == [lock]
    assert restarted == [["manage.py", word, "--help"]]


def test_somebody_elses_environment_without_the_linters_is_left_alone(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(bootstrap, "VENV", tmp_path)
    monkeypatch.setattr(bootstrap, "find_spec", lambda name: None if name == "ruff" else object())

    assert bootstrap.is_ready(bootstrap.RUN_LOCK)
    assert not bootstrap.is_ready(bootstrap.TEST_LOCK)
