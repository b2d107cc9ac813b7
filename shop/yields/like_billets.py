"""Reads the shop's own outcomes of like billets: joined the same way, with as many layers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from django.db.models import QuerySet

from billets.layup import stack
from billets.layup.design import Design
from billets.models import Billet, StepKind
from shop.yields.record import Record
from stock.alloys.book import Book

ENDED = (StepKind.FINISHED, StepKind.FAILED)
Kind = tuple[str, int]  # how it is joined, layers


def kind_of(design: Design, *, alloys: Book) -> Kind:
    """What makes two stacks alike for the question whether they turn out sound."""
    return stack.process(design, alloys), len(design.layers)


def kind_words(kind: Kind) -> str:
    """The kind in words, such as "bonded, 5 layers"."""
    process, layers = kind
    return f"{process}, {layers} layers"


def records(*, alloys: Book) -> Mapping[Kind, Record]:
    """Sound and made of each kind, over all billets that have ended."""
    sound: dict[Kind, int] = defaultdict(int)
    made: dict[Kind, int] = defaultdict(int)
    billets: QuerySet[Any] = Billet.objects.with_stage()
    ended = billets.filter(reached__in=ENDED)
    for data, reached in ended.values_list("design_json", "reached"):
        keys = [layer["alloy"] for layer in data["layers"]]
        kind = (stack.process_of(keys, alloys=alloys), len(keys))
        made[kind] += 1
        sound[kind] += reached == StepKind.FINISHED
    return {kind: Record(sound=sound[kind], made=count) for kind, count in made.items()}


def record_of(design: Design, *, alloys: Book) -> Record:
    """The shop's record of stacks like this one; nothing of nothing when it has none."""
    return records(alloys=alloys).get(kind_of(design, alloys=alloys), Record())
