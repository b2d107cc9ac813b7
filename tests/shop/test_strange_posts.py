"""Every form of every page, sent with what nobody means: never a breakdown, always a sentence.

Forms are found by following links through the demo shop. Each field in turn takes one of
the strange values, by a rule that is the same from run to run; nothing that is written stays.
"""

from __future__ import annotations

import re
from collections import Counter, deque
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

import pytest
from bs4 import BeautifulSoup, Tag
from django.db import transaction
from django.test import Client
from django.urls import resolve

from shop.demo import OWNER, make
from shop.models import Person
from stock import clock
from stock.ledger.proof import proved
from tests.kinds import Response

STRANGE = (
    "", " ", "1" + "0" * 30, "-1", "nan", "-inf", "0", "1/0 in", "½", "٣", "🔪", "9" * 5000,
    "a" * 20_000, "a\x00b", "\u202e12 in", "<script>alert(1)</script>", "9999-12-31", "2026-02-30",
    "1e400", "[]", "true", "7", "K4R", "a\nb",
)  # fmt: skip
EACH_KIND = 1
SOLVING = ("shop:plan", "shop:buying")  # their own tests; here they would compute for minutes
LEFT_OUT = (*SOLVING, "shop:sign-out", "shop:backup")
NOT_OURS = re.compile(r"Enter a valid|Select a valid|Ensure th|Traceback|This value")


@dataclass(frozen=True)
class Found:
    """A form as it stands on its page."""

    kind: str
    address: str
    fields: dict[str, str]


class Undo(Exception):
    """Takes back what one form wrote."""


@pytest.fixture
def demo_owner(db: None) -> Client:
    """The demo's owner, signed in."""
    make.make(today=clock.today())
    client = Client(raise_request_exception=False)
    client.force_login(Person.objects.get(username=OWNER))
    return client


def kind_of(address: str) -> str:
    """The name of the page at an address."""
    return resolve(address.split("?", 1)[0]).view_name


def forms_of(client: Client) -> dict[tuple[str, tuple[str, ...]], Found]:
    """One form of each kind, found by following links."""
    found: dict[tuple[str, tuple[str, ...]], Found] = {}
    opened: Counter[str] = Counter()
    waiting, seen = deque(["/"]), {"/"}
    while waiting:
        address = waiting.popleft()
        if opened[kind_of(address)] >= EACH_KIND or re.search(r"\.(pdf|csv)|/file/", address):
            continue
        opened[kind_of(address)] += 1
        page = BeautifulSoup(client.get(address).content, "html.parser")
        for form in page.select("form[method=post]"):
            one = as_found(form, at=address)
            found.setdefault((one.kind, tuple(sorted(one.fields))), one)
        for link in page.select("a[href^='/']"):
            target = str(link["href"]).split("#", 1)[0]
            if target not in seen and not target.startswith("/static/"):
                seen.add(target)
                waiting.append(target)
    return found


def as_found(form: Tag, *, at: str) -> Found:
    """A form with what its fields hold."""
    address = str(form.get("action") or at)
    fields = {}
    for one in form.select("input[name], textarea[name], select[name]"):
        name = str(one["name"])
        if one.find_parent("template") or name == "csrfmiddlewaretoken":
            continue
        is_box = one.get("type") in ("checkbox", "radio")
        if one.name == "select":
            chosen = one.select_one("option[selected]") or one.select_one("option")
            fields[name] = str(chosen.get("value", "")) if chosen else ""
        elif not is_box or one.has_attr("checked"):
            fields[name] = one.text if one.name == "textarea" else str(one.get("value", ""))
    return Found(kind_of(address), address, fields)


def strange_versions(form: Found, *, number: int) -> Iterator[dict[str, str]]:
    """The form with one field strange, then with all of them, then with none sent.

    Of fields that are alike, line by line, only the first line's are tried.
    """
    names = [name for name in sorted(form.fields) if not re.search(r"[1-9]\d*", name)]
    for place, name in enumerate(names):
        yield form.fields | {name: STRANGE[(number + 5 * place) % len(STRANGE)]}
    yield dict.fromkeys(form.fields, STRANGE[number % len(STRANGE)])
    yield {"nothing": "at all"}


def wrong_with(client: Client, form: Found, sent: dict[str, str]) -> str:
    """What is wrong with the answer to a form, if anything is; what it wrote is taken back."""
    cookies = deepcopy(client.cookies)
    try:
        with transaction.atomic():
            answer: Any = client.post(form.address, sent)
            wrong = complaint(answer)
            if not wrong and answer.status_code == 302:
                wrong = "; ".join(proved().faults)
            raise Undo
    except Undo:
        client.cookies = cookies
    return wrong


def complaint(answer: Response) -> str:
    """A breakdown, markup of a stranger, or a sentence that is not ours."""
    if answer.status_code >= 500:
        return f"broke with {answer.status_code}"
    text = answer.text if answer.get("Content-Type", "").startswith("text/html") else ""
    if "<script>alert(1)" in text:
        return "markup came back as markup"
    foreign = NOT_OURS.search(text)
    return f"says '{foreign.group()}'" if foreign else ""


@pytest.mark.slow
def test_no_form_breaks_on_anything_that_can_be_sent(demo_owner: Client) -> None:
    forms = [one for one in forms_of(demo_owner).values() if one.kind not in LEFT_OUT]
    wrong = []

    for number, form in enumerate(sorted(forms, key=lambda one: (one.kind, one.address))):
        for sent in strange_versions(form, number=number):
            if told := wrong_with(demo_owner, form, sent):
                changed = {k: v[:40] for k, v in sent.items() if form.fields.get(k) != v}
                wrong.append(f"{form.kind} {changed}: {told}")

    assert len(forms) > 50
    assert wrong == []
