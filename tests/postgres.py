"""A PostgreSQL server for tests: a throw-away cluster in a folder of its own, then gone.

PostgreSQL refuses to run as root, so there the server's own user runs it. It listens on a
socket in the cluster's folder and on no network.
"""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote

INSTALLED = Path("/usr/lib/postgresql")
MISSING = "no PostgreSQL server here; apt-get install postgresql brings one"


def programs() -> Path | None:
    """The folder with `initdb` and `pg_ctl` of the newest version; none when there is none."""
    found = [path.parent for path in INSTALLED.glob("*/bin/initdb")]
    if found:
        return max(found, key=lambda path: float(path.parent.name))
    on_path = shutil.which("initdb")
    return Path(on_path).parent if on_path else None


def server_user() -> str | None:
    """Who must run the server: nobody in particular, but not root."""
    if os.geteuid() != 0:
        return None
    return "postgres" if any(one.pw_name == "postgres" for one in pwd.getpwall()) else "nobody"


def run(line: Sequence[str | Path], *, user: str | None) -> None:
    """Run one of the server's programs; what it says is shown when it fails."""
    done = subprocess.run(
        [str(word) for word in line],
        user=user,
        cwd="/",
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
        env={"PATH": os.environ["PATH"], "LC_ALL": "C"},
    )
    if done.returncode:
        raise RuntimeError(f"{line[0]} failed: {done.stderr or done.stdout}")


@contextmanager
def cluster() -> Iterator[str]:
    """A server with one empty database; gives the DATABASE_URL to reach it.

    Raises:
        RuntimeError: no server is installed, or it does not start.
    """
    folder_of_programs = programs()
    if folder_of_programs is None:
        raise RuntimeError(MISSING)
    user = server_user()
    folder = Path(tempfile.mkdtemp(prefix="billetwright-postgres-"))
    if user:
        os.chown(folder, pwd.getpwnam(user).pw_uid, -1)
    data = folder / "data"
    control: list[str | Path] = [folder_of_programs / "pg_ctl", "-D", data, "-w"]
    started = False
    try:
        run(
            [
                folder_of_programs / "initdb",
                "-D",
                data,
                "-U",
                "shop",
                "-A",
                "trust",
                "-E",
                "UTF8",
                "--no-sync",
            ],
            user=user,
        )
        options = f"-k {folder} -c listen_addresses='' -c fsync=off -c max_connections=60"
        # Its log goes to a file: it would hold our pipe open for as long as it runs.
        run([*control, "-l", folder / "log", "-o", options, "start"], user=user)
        started = True
        yield f"postgresql://shop@{quote(str(folder), safe='')}/postgres"
    finally:
        if started:
            run([*control, "-m", "immediate", "stop"], user=user)
        shutil.rmtree(folder, ignore_errors=True)
