"""Makes the environment that the app runs in, with nothing but Python's standard library.

`prepare` is called by manage.py before Django is imported. Where Django is there (an activated
environment, or ours), nothing happens. Otherwise it makes `.venv` beside manage.py from the
hashed lock file, stamps it with the lock's hash, and starts the same command again inside it.
"""

import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
VENV = ROOT / ".venv"
RUN_LOCK = ROOT / "requirements.lock"
TEST_LOCK = ROOT / "requirements-dev.lock"
TOOLS = ("pytest", "pytest_django", "xdist", "ruff", "mypy")
APT_LINE = "apt-get install -y python3-venv"


class SetUpFailed(SystemExit):
    """Stops with a sentence that says what to do."""


def prepare(argv: Sequence[str]) -> None:
    """Come back only when Django can be imported in this process."""
    lock = TEST_LOCK if argv[1:2] in (["test"], ["lint"]) else RUN_LOCK
    if is_ready(lock):
        return
    python = make_environment(lock)
    restart(python, argv)


def is_ready(lock: Path) -> bool:
    """Whether this process already runs where the command can work."""
    inside_ours = Path(sys.prefix).resolve() == VENV.resolve()
    if inside_ours:
        return stamp_of(lock) in stamps()
    if find_spec("django") is None:
        return False
    # Somebody else's environment: used as it is, but tests and linters need their tools too.
    return lock == RUN_LOCK or has_test_tools()


def has_test_tools() -> bool:
    """Whether pytest and the linters are there."""
    return all(find_spec(name) is not None for name in TOOLS)


def stamp_of(lock: Path) -> str:
    """What the environment is stamped with once a lock is installed in it."""
    return f"{lock.name} {hashlib.sha256(lock.read_bytes()).hexdigest()}"


def stamps() -> list[str]:
    """The locks that are installed in our environment; the test lock holds the other too."""
    path = VENV / "locks.txt"
    found = path.read_text().splitlines() if path.exists() else []
    if stamp_of(TEST_LOCK) in found:
        found.append(stamp_of(RUN_LOCK))
    return found


def venv_python() -> Path:
    """Our environment's interpreter."""
    return VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def say(words: str) -> None:
    """Tell what is being done, at once; standard output is left to the command itself."""
    print(words, file=sys.stderr, flush=True)


def make_environment(lock: Path) -> Path:
    """Make `.venv` if needed and install a lock in it; gives its interpreter."""
    python = venv_python()
    if not python.exists():
        say("Making .venv …")
        make_venv()
    if stamp_of(lock) not in stamps():
        say(f"Installing what {lock.name} lists (a minute or two the first time) …")
        install(python, lock)
        with (VENV / "locks.txt").open("a") as file:
            file.write(stamp_of(lock) + "\n")
    return python


def make_venv() -> None:
    """Make the empty environment, with pip inside it where the system allows that."""
    if run([sys.executable, "-m", "venv", str(VENV)]):
        return
    shutil.rmtree(VENV, ignore_errors=True)
    if has_pip(sys.executable) and run([sys.executable, "-m", "venv", "--without-pip", str(VENV)]):
        return
    shutil.rmtree(VENV, ignore_errors=True)
    raise SetUpFailed(f"Python cannot make an environment here. On Debian or Ubuntu: {APT_LINE}")


def install(python: Path, lock: Path) -> None:
    """Install a lock with its hashes checked."""
    if has_pip(str(python)):
        pip = [str(python), "-m", "pip"]
    elif has_pip(sys.executable):
        pip = [sys.executable, "-m", "pip", "--python", str(python)]
    else:
        raise SetUpFailed(f"There is no pip. On Debian or Ubuntu: {APT_LINE}")
    line = [*pip, "install", "-qq", "--disable-pip-version-check", "--require-hashes"]
    if not run([*line, "-r", str(lock)], is_shown=True):
        raise SetUpFailed(
            "Installing failed; the lines above say why. Check the network and run it again."
        )


def has_pip(python: str) -> bool:
    """Whether an interpreter has pip."""
    return run([python, "-m", "pip", "--version"])


def run(line: Sequence[str], *, is_shown: bool = False) -> bool:
    """Run a command; whether it worked."""
    out = None if is_shown else subprocess.DEVNULL
    try:
        return subprocess.run(line, stdout=out, stderr=out, check=False).returncode == 0
    except OSError:
        return False


def restart(python: Path, argv: Sequence[str]) -> None:
    """Start the same command again inside our environment."""
    line = [str(python), str(ROOT / "manage.py"), *argv[1:]]
    if os.name == "nt":
        raise SystemExit(subprocess.run(line, check=False).returncode)
    os.execv(line[0], line)
