"""What the page How we know shows first: parts of the app with their counts, and what is asked for.

It leaves out reading figures and formulas from the code: that is `billets.known.how_we_know`. Pure.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from billets.known.how_we_know import PACKAGES, WORDS, Known, KnownAlloy, KnownModule

# As the index says a mark; `billets.known.code_sources.MARK_WORDS` explains each.
SHORT_MARKS: Mapping[str, str] = {
    "read": "read",
    "memory": "from memory",
    "practice": "common practice",
    "shop": "the shop's own",
    "derived": "derived",
    "own": "our own",
}


@dataclass(frozen=True)
class KnownPart:
    """One floor or room of the app with its modules, those with figures or checks first."""

    key: str
    words: str
    modules: tuple[KnownModule, ...]
    size_words: str
    count_words: str


@dataclass(frozen=True)
class Asked:
    """What somebody wants to see: one alloy, one mark, all of it open; empty shows everything."""

    alloy: str = ""
    mark: str = ""
    is_open: bool = False

    @property
    def is_narrowed(self) -> bool:
        """Whether something is left out."""
        return bool(self.alloy or self.mark)

    @property
    def opens(self) -> bool:
        """Whether everything that is shown stands open."""
        return self.is_open or self.is_narrowed


def parts(modules: Iterable[KnownModule]) -> tuple[KnownPart, ...]:
    """Modules by the part of the app that they belong to.

    Args:
        modules: as `billets.known.how_we_know.known_modules` gives them.

    Returns:
        Parts in the order of `billets.known.how_we_know.PACKAGES`; none without a module.
    """
    by_package: dict[str, list[KnownModule]] = {}
    for module in modules:
        by_package.setdefault(_package(module.name), []).append(module)
    return tuple(
        _part(package, by_package[package]) for package in PACKAGES if package in by_package
    )


def _package(name: str) -> str:
    """The shown package that a module stands in: the innermost one."""
    around = [one for one in PACKAGES if name.startswith(f"{one}.")]
    return max(around, key=len, default=name.rpartition(".")[0])


def asked_for(query: Mapping[str, str], *, alloys: Iterable[str]) -> Asked:
    """What a page's address asks for; what nobody knows is left out.

    Args:
        query: "alloy" (a key), "mark" (a key of `SHORT_MARKS`), "open" ("1").
        alloys: keys of the book.

    Returns:
        What to show.
    """
    alloy, mark = query.get("alloy", ""), query.get("mark", "")
    return Asked(
        alloy=alloy if alloy in set(alloys) else "",
        mark=mark if mark in SHORT_MARKS else "",
        is_open=query.get("open") == "1",
    )


def alloys_asked(alloys: Iterable[KnownAlloy], *, asked: Asked) -> tuple[KnownAlloy, ...]:
    """The alloys that are asked for, with their figures of the mark asked for.

    Args:
        alloys: every alloy.
        asked: what to show.

    Returns:
        Alloys that have something left to show.
    """
    left = (
        replace(one, figures=_marked(one.figures, asked.mark))
        for one in alloys
        if asked.alloy in ("", one.key)
    )
    return tuple(one for one in left if one.figures)


def modules_asked(modules: Iterable[KnownModule], *, asked: Asked) -> tuple[KnownModule, ...]:
    """The modules that are asked for, with their lines of the mark asked for.

    Args:
        modules: every module.
        asked: what to show; who asks for one alloy gets no formulas.

    Returns:
        Modules that have something left to show.
    """
    if asked.alloy:
        return ()
    left = (
        replace(
            one,
            figures=_marked(one.figures, asked.mark),
            formulas=_marked(one.formulas, asked.mark),
        )
        for one in modules
    )
    return tuple(one for one in left if one.figures or one.formulas)


def counted(lines: Sequence[Known], *, word: str) -> str:
    """How many lines there are, and how far they may be trusted.

    Args:
        lines: figures or formulas.
        word: what to call one of them.

    Returns:
        Such as "3 figures: 2 read, 1 from memory".
    """
    marks = Counter(one.mark for one in lines)
    told = ", ".join(f"{marks[mark]} {words}" for mark, words in SHORT_MARKS.items() if marks[mark])
    plural = word if len(lines) == 1 else f"{word}s"
    return f"{len(lines)} {plural}: {told}"


def module_words(module: KnownModule) -> str:
    """What a module holds, in a few words.

    Args:
        module: the module.

    Returns:
        Such as "2 figures, 5 formulas, checked".
    """
    pairs = ((len(module.figures), "figure"), (len(module.formulas), "formula"))
    told = [f"{count} {word if count == 1 else word + 's'}" for count, word in pairs if count]
    return ", ".join([*told, "checked"] if module.checks else told)


def _part(package: str, modules: Sequence[KnownModule]) -> KnownPart:
    ordered = sorted(modules, key=lambda one: (not one.checks, not one.figures, one.name))
    lines = [line for one in modules for line in (*one.figures, *one.formulas)]
    checked = sum(bool(one.checks) for one in modules)
    words = counted(lines, word="line")
    if checked:
        words += f"; {checked} part{'s' * (checked > 1)} held against published figures"
    return KnownPart(
        key=package.replace(".", "-"),
        words=WORDS.get(package, package),
        modules=tuple(ordered),
        size_words=f"{len(modules)} part{'s' * (len(modules) > 1)}, {len(lines)} lines",
        count_words=words,
    )


def _marked(lines: tuple[Known, ...], mark: str) -> tuple[Known, ...]:
    return tuple(one for one in lines if mark in ("", one.mark))
