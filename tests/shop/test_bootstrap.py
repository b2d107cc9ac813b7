"""The set-up that a command does first, where there is no environment yet."""

from pathlib import Path

import pytest

from shop.running import bootstrap


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
