"""What a job in the ledger is called and where its page is.

A job is a word such as "billet:12". Higher floors know what that is and register a reader for
their prefix when they start; this floor only asks. A job without a known prefix is what
somebody typed, and stands for itself.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class JobWords:
    """A job as a page shows it; `url` is empty where there is nothing to open."""

    text: str
    url: str = ""


Reader = Callable[[Collection[int]], Mapping[int, JobWords]]
_readers: dict[str, Reader] = {}


def register(prefix: str, reader: Reader) -> None:
    """Let a floor say what its jobs are: numbers after the prefix to words, in one query.

    Args:
        prefix: the word before the colon.
        reader: takes numbers, gives words for those it knows.
    """
    _readers[prefix] = reader


def split(job: str) -> tuple[str, int] | None:
    """Prefix and number of a job that a floor keeps; nothing for one in words.

    Args:
        job: as the ledger has it.

    Returns:
        Such as ("billet", 12), or None.
    """
    prefix, colon, number = job.partition(":")
    return (prefix, int(number)) if colon and number.isdecimal() and prefix in _readers else None


def words_of(jobs: Iterable[str]) -> dict[str, JobWords]:
    """Every job that is not empty, as it is shown; one query a kind of job.

    Args:
        jobs: as the ledger has them.

    Returns:
        Words by job.
    """
    asked = {job for job in jobs if job}
    words = {job: JobWords(job) for job in asked}
    numbers: dict[str, set[int]] = defaultdict(set)
    for job in asked:
        if found := split(job):
            numbers[found[0]].add(found[1])
    for prefix, wanted in numbers.items():
        for number, told in _readers[prefix](wanted).items():
            words[f"{prefix}:{number}"] = told
    return words
