"""The few fixed names of a room's files mean what they say; any other name is a sum without Django.

`views.py` answers requests, `forms.py` reads typed text, `reading.py` reads what a page shows,
`writing.py` alone writes rows; a second set is prefixed (`seat_writing.py`).
"""

from __future__ import annotations

import ast
import re
from collections.abc import Collection, Mapping
from pathlib import Path

import pytest

from tests.house.source import DJANGOS_FOLDERS, ROOT, imported, impure, made, modules, tree_of

KINDS = ("views", "forms", "reading", "writing")

# Rooms in which other rules hold, as they do in Django's own folders.
FREE_ROOMS = {"shop.demo": "writes example rows through the writers, and sets their days back"}

# Writers under another name.
WRITERS = {
    "stock.ledger.by_hand": "the ledger: pieces received, cut, moved and counted by hand",
    "stock.ledger.entries": "the ledger: its lines",
    "stock.ledger.receiving": "the ledger: purchases and what came of them",
    "stock.ledger.set_asides": "the ledger: metal set aside, taken and freed",
    "shop.planning.runs": "a run keeps its own row beside the thread that computes it",
}

# Modules that know Django, or rows, under a name of their own.
KNOW_DJANGO = {
    "stock.clock": "the time of day as Django keeps it",
    "stock.who": "the type of a person",
    "shop.root_urls": "Django asks for it by this name",
    "shop.settings": "Django asks for it by this name",
    "shop.wsgi": "Django asks for it by this name",
    "shop.once.middleware": "Django people look for it by this name",
    "shop.people.context_processors": "Django people look for it by this name",
    "shop.people.middleware": "Django people look for it by this name",
    "shop.people.throttle": "counts misses in Django's cache",
    "shop.people.first_run": "the one-time code, in the data folder that settings name",
    "shop.running.backup": "copies the database",
    "shop.running.asking": "asks in the terminal, and refuses as a command does",
    "shop.running.copies": "what a copy must be, by the migrations that Django knows",
    "shop.running.databases": "the database that the settings name",
    "shop.running.postgres_copies": "copies the database",
    "shop.running.restoring": "puts a copy in the database's place",
    "shop.running.sealing": "seals a backup, and refuses as a command does",
    "shop.running.sqlite_copies": "copies the database",
    "shop.running.failures": "tells Django's failures to start in plain words",
    "shop.words.fields": "fields of forms",
    "shop.words.job_names": "links to classes and knives",
    "stock.web.acting": "what all views share",
    "stock.web.fields": "fields of forms",
    "stock.web.requests": "what all views share",
    "shop.sheets.pdf_answer": "what all views of paper share",
    "shop.class_money.summary": "a sheet of paper, rendered",
    "shop.knives.card": "a sheet of paper, rendered",
    "shop.worksheets.pages": "sheets of paper, rendered",
    "shop.worksheets.cut_sheet": "reads one sheet of paper",
    "stock.ledger.proof": "reads: the books proved against the pieces",
    "stock.ledger.triggers": "the database's own guard of the ledger",
    "stock.materials.names": "reads names of materials",
    "stock.materials.saw": "reads the usual saw",
    "stock.rack.acts": "which acts of the ledger suit a piece, and how each is carried out",
    "billets.billet.detail": "reads one billet's page",
    "billets.billet.origins": "reads where a billet's metal is from",
    "billets.blanks.choices": "reads the pieces that a blank may be cut from",
    "billets.history.record": "reads what the shop's past billets say",
    "billets.history.stages": "reads the stage of a billet",
    "billets.history.timed_steps": "joins two writers in one transaction",
    "billets.layup_editor.editing": "reads the layup editor's forms beside its panel",
    "shop.buying.reading_facts": "reads the metal that classes are short of",
    "shop.knives.clock": "joins the clocks of billets and knives",
    "shop.knives.cost": "reads what a knife cost",
    "shop.knives.share": "reads how knives share a billet",
    "shop.planning.metal": "reads pieces free for a plan",
    "shop.rates.own_minutes": "reads minutes of the shop's own",
    "shop.reports.hours": "reads hours for the report",
    "shop.reports.knives_sold": "reads sold knives for the report",
    "shop.reports.tables": "reads the report's tables",
    "shop.yields.like_billets": "reads billets like this one",
}


def kind_of(name: str) -> str:
    """Which of the fixed names a module has, plain or prefixed; empty for any other."""
    last = name.rpartition(".")[2]
    return next((kind for kind in KINDS if last == kind or last.endswith(f"_{kind}")), "")


def is_free(name: str) -> bool:
    """Whether a module stands where other rules hold."""
    parts = name.split(".")
    return bool(DJANGOS_FOLDERS & set(parts)) or ".".join(parts[:2]) in FREE_ROOMS


WRITE = {
    "abulk_create", "acreate", "adelete", "asave", "aupdate", "bulk_create", "bulk_update",
    "create", "create_superuser", "create_user", "get_or_create", "save", "update_or_create",
}  # fmt: skip


MANY = {"billets", "times"}  # the one many-to-many relation, from both sides


def is_write(call: ast.Call) -> bool:
    """Whether a call changes rows, as far as its looks go.

    A dict's `update` takes a mapping and a cache's `delete` a key; a queryset's take names with
    values, and nothing.
    """
    if not isinstance(call.func, ast.Attribute):
        return False
    if call.func.attr == "update":
        return bool(call.keywords) and not call.args
    if call.func.attr == "delete":
        return not call.keywords and not call.args
    if call.func.attr in {"add", "clear", "remove", "set"}:
        return isinstance(call.func.value, ast.Attribute) and call.func.value.attr in MANY
    return call.func.attr in WRITE


def writes_of(path: Path) -> list[str]:
    """The calls of a file that change rows, by line."""
    found = [
        (node.lineno, node.func.attr)
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and is_write(node)
    ]
    return [f"{line}: {name}" for line, name in sorted(found)]


def writes(root: Path = ROOT) -> dict[str, list[str]]:
    """Every module that changes rows, where the rule of a room holds, with the lines."""
    return {
        name: found
        for name, path in modules(root).items()
        if not is_free(name) and (found := writes_of(path))
    }


def wrong_writers(found: Mapping[str, list[str]], allowed: Collection[str]) -> list[str]:
    """Lines that change rows in a file whose name does not say that it writes."""
    return [
        f"{name}:{line}"
        for name in sorted(found)
        if kind_of(name) != "writing" and name not in allowed
        for line in found[name]
    ]


# What a kind of file never needs: a reader knows no form, a writer no request.
NEVER = {
    "forms": {"views"},
    "reading": {"views", "forms"},
    "writing": {"views", "forms"},
    "": {"views"},
}
REQUESTS = (
    "django.contrib.messages", "django.http.Http", "django.shortcuts",
    "stock.web.requests.HtmxRequest",
)  # fmt: skip


def wrong_needs(root: Path = ROOT) -> list[str]:
    """Imports that a file's kind does not allow."""
    ours = modules(root)
    found = []
    for name, path in ours.items():
        kind = kind_of(name)
        if is_free(name) or kind == "views" or name.endswith(("urls", "settings")):
            continue
        found += [
            f"{name} imports {one}"
            for one in imported(path)
            if (one in ours and kind_of(one) in NEVER[kind])
            or (kind in {"reading", "writing"} and one.startswith(REQUESTS))
        ]
    return sorted(found)


def wrongly_impure(root: Path = ROOT, *, allowed: Collection[str] = ()) -> list[str]:
    """Modules that know Django though neither their name nor the list says so."""
    return sorted(
        name
        for name in impure(root)
        if not is_free(name)
        and not kind_of(name)
        and name.rpartition(".")[2] not in {"apps", "urls"}
        and name not in allowed
    )


@pytest.mark.slow
def test_only_a_file_that_says_so_writes_rows() -> None:
    assert wrong_writers(writes(), WRITERS) == []


def test_every_many_to_many_relation_is_known() -> None:
    told = re.compile(r"ManyToManyField\([^)]*related_name=\"(\w+)\"")
    bare = re.compile(r"(\w+) = models\.ManyToManyField\(")
    texts = [path.read_text() for name, path in modules().items() if ".models" in name]

    assert {one for text in texts for one in (*told.findall(text), *bare.findall(text))} == MANY


@pytest.mark.slow
def test_every_writer_writes() -> None:
    """Itself, or by a writer below it, whose room it then is."""
    ours = modules()
    found = set(writes())
    idle = {
        name
        for name in ours
        if (kind_of(name) == "writing" or name in WRITERS)
        and name not in found
        and not any(one in found for one in imported(ours[name]))
    }

    assert idle == set()


@pytest.mark.slow
def test_a_file_needs_only_what_its_kind_allows() -> None:
    assert wrong_needs() == []


@pytest.mark.slow
def test_a_name_of_its_own_is_a_sum_without_django() -> None:
    assert wrongly_impure(allowed={*KNOW_DJANGO, *WRITERS}) == []


@pytest.mark.slow
def test_the_lists_name_only_what_needs_them() -> None:
    assert set(WRITERS) - set(writes()) == set()
    assert set(KNOW_DJANGO) - impure() == set()
    assert {room for room in FREE_ROOMS if not (ROOT / room.replace(".", "/")).is_dir()} == set()


# Every rule, seen to fail.


@pytest.mark.parametrize(
    "call",
    [
        "row.save()",
        "row.save(update_fields=['name'])",
        "form.save()",
        "Saw.objects.create(name='bandsaw')",
        "Saw.objects.bulk_create(rows)",
        "Saw.objects.get_or_create(name='bandsaw')",
        "Saw.objects.update_or_create(name='bandsaw')",
        "Saw.objects.filter(pk=1).update(name='bandsaw')",
        "Saw.objects.filter(pk=1).delete()",
        "row.delete()",
        "time.billets.add(*billets)",
        "billet.times.clear()",
    ],
)
@pytest.mark.parametrize("file", ["views", "forms", "reading", "seat_reading", "spares"])
def test_a_row_written_elsewhere_is_named(file: str, call: str, tmp_path: Path) -> None:
    text = f"def f():\n    {call}\n"
    made(tmp_path, {f"shop/rack/{file}.py": text, "shop/rack/writing.py": text})

    (line,) = wrong_writers(writes(tmp_path), ())
    assert line.startswith(f"shop.rack.{file}:2: ")


def test_what_only_looks_like_writing_is_let_be(tmp_path: Path) -> None:
    text = "found.add(1)\nfound.update({1: 2})\ncache.delete('key')\nnames.update(one)\ncreate(1)\n"
    made(tmp_path, {"shop/rack/reading.py": text, "shop/models/rack.py": "row.save()"})

    assert writes(tmp_path) == {}


@pytest.mark.parametrize(
    ("file", "text"),
    [
        ("reading", "from shop.rack.forms import CutForm"),
        ("reading", "from shop.rack import views"),
        ("reading", "from django.shortcuts import render"),
        ("reading", "from stock.web.requests import HtmxRequest"),
        ("writing", "from django.http import HttpRequest"),
        ("writing", "from shop.rack.forms import CutForm"),
        ("forms", "from shop.rack.views import page"),
        ("spares", "from shop.rack.views import page"),
    ],
)
def test_an_import_that_its_kind_forbids_is_named(file: str, text: str, tmp_path: Path) -> None:
    made(
        tmp_path,
        {"shop/rack/views.py": "import django.http", "shop/rack/forms.py": ""}
        | {f"shop/rack/{file}.py": text},
    )

    assert {line.split(" ")[0] for line in wrong_needs(tmp_path)} == {f"shop.rack.{file}"}


@pytest.mark.parametrize(
    "text",
    [
        "from django.db import models",
        "from shop.models import seat",
        "def f():\n    from shop.rack import reading",
    ],
)
def test_a_sum_that_knows_django_is_named(text: str, tmp_path: Path) -> None:
    made(
        tmp_path,
        {
            "shop/models/seat.py": "",
            "shop/rack/reading.py": "from shop.models import seat",
            "shop/rack/spares.py": text,
            "shop/rack/few.py": "import math",
        },
    )

    assert wrongly_impure(tmp_path) == ["shop.rack.spares"]
    assert wrongly_impure(tmp_path, allowed={"shop.rack.spares"}) == []


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("shop.rack.views", "views"),
        ("shop.rack.seat_views", "views"),
        ("shop.rack.reviews", ""),
        ("shop.rack.writing", "writing"),
        ("shop.rack.handwriting", ""),
    ],
)
def test_the_kind_of_a_file_is_its_last_word(name: str, kind: str) -> None:
    assert kind_of(name) == kind


def test_every_listed_reason_is_a_sentence() -> None:
    reasons = [*WRITERS.values(), *KNOW_DJANGO.values(), *FREE_ROOMS.values()]

    assert [one for one in reasons if not re.fullmatch(r"\w.{10,}\w", one)] == []
