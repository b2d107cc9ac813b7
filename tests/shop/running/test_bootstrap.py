"""The set-up that a command does first, where there is no environment yet."""

import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from shop.running import bootstrap


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


class Machine:
    """Answers the commands that the set-up runs, and keeps what was run."""

    def __init__(self, *broken: str) -> None:
        self.broken = broken  # a command with one of these words in it fails
        self.lines: list[list[str]] = []

    def run(self, line: Sequence[str], *, is_shown: bool = False) -> bool:
        self.lines.append(list(line))
        words = " ".join(line)
        return not any(word in words for word in self.broken)


@pytest.fixture
def machine(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Callable[..., Machine]:
    """Puts a machine in place of this one, with the environment in a folder of its own."""

    def put(*broken: str) -> Machine:
        made = Machine(*broken)
        monkeypatch.setattr(bootstrap, "run", made.run)
        monkeypatch.setattr(bootstrap, "VENV", tmp_path / "env")
        return made

    return put


def test_what_is_installed_is_checked_against_its_hashes(machine: Callable[..., Machine]) -> None:
    done = machine()

    bootstrap.install(Path("fresh/bin/python"), bootstrap.RUN_LOCK)

    assert done.lines[-1][:4] == ["fresh/bin/python", "-m", "pip", "install"]
    assert "--require-hashes" in done.lines[-1]
    assert done.lines[-1][-2:] == ["-r", str(bootstrap.RUN_LOCK)]


def test_an_environment_without_pip_is_filled_by_the_pip_that_is_there(
    machine: Callable[..., Machine],
) -> None:
    done = machine("fresh/bin/python -m pip")

    bootstrap.install(Path("fresh/bin/python"), bootstrap.RUN_LOCK)

    assert done.lines[-1][:6] == [
        sys.executable,
        "-m",
        "pip",
        "--python",
        "fresh/bin/python",
        "install",
    ]


def test_a_machine_without_any_pip_is_told_the_line_to_run(machine: Callable[..., Machine]) -> None:
    machine("-m pip")

    with pytest.raises(bootstrap.SetUpFailed, match="apt-get install -y python3-venv"):
        bootstrap.install(Path("fresh/bin/python"), bootstrap.RUN_LOCK)


def test_an_install_that_fails_says_to_run_it_again(machine: Callable[..., Machine]) -> None:
    machine("--require-hashes")

    with pytest.raises(bootstrap.SetUpFailed, match="Check the network and run it again"):
        bootstrap.install(Path("fresh/bin/python"), bootstrap.RUN_LOCK)


def test_where_pip_cannot_be_put_in_the_environment_is_made_without_it(
    machine: Callable[..., Machine], tmp_path: Path
) -> None:
    done = machine(f"-m venv {tmp_path}")  # the line without --without-pip

    bootstrap.make_venv()

    assert done.lines[-1] == [
        sys.executable,
        "-m",
        "venv",
        "--without-pip",
        str(tmp_path / "env"),
    ]


def test_a_machine_that_makes_no_environment_is_told_so_and_keeps_no_part(
    machine: Callable[..., Machine], tmp_path: Path
) -> None:
    machine("-m venv")
    (tmp_path / "env" / "bin").mkdir(parents=True)

    with pytest.raises(bootstrap.SetUpFailed, match="Python cannot make an environment here"):
        bootstrap.make_venv()

    assert not (tmp_path / "env").exists()


def test_an_environment_is_made_once_and_again_only_for_another_lock(
    machine: Callable[..., Machine], tmp_path: Path
) -> None:
    done = machine()
    (tmp_path / "env" / "bin").mkdir(parents=True)
    bootstrap.venv_python().parent.mkdir(parents=True, exist_ok=True)
    bootstrap.venv_python().touch()

    bootstrap.make_environment(bootstrap.RUN_LOCK)
    after_first = len(done.lines)
    bootstrap.make_environment(bootstrap.RUN_LOCK)
    after_second = len(done.lines)
    bootstrap.make_environment(bootstrap.TEST_LOCK)

    assert 0 < after_first == after_second < len(done.lines)
    assert bootstrap.stamp_of(bootstrap.TEST_LOCK) in bootstrap.stamps()


def test_an_environment_for_the_tests_runs_the_app_too(
    machine: Callable[..., Machine], tmp_path: Path
) -> None:
    machine()
    (tmp_path / "env").mkdir()
    (tmp_path / "env" / "locks.txt").write_text(bootstrap.stamp_of(bootstrap.TEST_LOCK) + "\n")

    assert bootstrap.stamp_of(bootstrap.RUN_LOCK) in bootstrap.stamps()


def test_the_same_command_goes_on_inside_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[tuple[str, list[str]]] = []
    monkeypatch.setattr(
        "shop.running.bootstrap.os.execv", lambda path, line: started.append((path, line))
    )

    bootstrap.restart(Path("fresh/bin/python"), ["manage.py", "start", "--demo"])

    manage = str(bootstrap.ROOT / "manage.py")
    assert started == [("fresh/bin/python", ["fresh/bin/python", manage, "start", "--demo"])]


@pytest.mark.slow
def test_a_program_that_is_not_there_is_a_no_and_not_a_breakdown(tmp_path: Path) -> None:
    assert not bootstrap.run([str(tmp_path / "python")])
    assert bootstrap.run([sys.executable, "-c", ""])
    assert not bootstrap.run([sys.executable, "-c", "raise SystemExit(3)"])
