"""Several acts at the same moment, each with a connection of its own."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from typing import Any

from django.db import connection


def all_at_once(
    acts: list[Callable[[], Any]], *, refusals: tuple[type[Exception], ...]
) -> list[type[Exception] | None]:
    """What became of each act: done (None), or refused with a sentence of ours."""
    start = Barrier(len(acts))

    def run(act: Callable[[], Any]) -> type[Exception] | None:
        try:
            start.wait()
            act()
        except refusals as error:
            return type(error)
        finally:
            connection.close()
        return None

    with ThreadPoolExecutor(len(acts)) as pool:
        return list(pool.map(run, acts))
