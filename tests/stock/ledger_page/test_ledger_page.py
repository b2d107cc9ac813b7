"""The ledger's page: acts newest first, found, undone with a reason, taken away as a table."""

import csv
import io
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest
from django.urls import reverse

from stock import clock
from stock.ledger import by_hand, jobs, set_asides
from stock.ledger.jobs import JobWords
from stock.models import Entry, Piece
from tests.conftest import HTMX
from tests.kinds import Client, DjangoAssertNumQueries, MakePiece, Person, Response
from tests.stock.reading import read

IN = 25_400_000
MM = 1_000_000
Build = Callable[..., Any]
pytestmark = pytest.mark.django_db
URL = "/ledger/"


@pytest.fixture
def bar(make_bar: MakePiece, owner: Person) -> Piece:
    """36 in for 24.00, of which a hook took 6 in on 4 April."""
    with clock.as_of(datetime(2026, 4, 2, 9, tzinfo=UTC)):
        made: Piece = make_bar(length_nm=36 * IN, price_cents=2400)
    with clock.as_of(datetime(2026, 4, 4, 9, tzinfo=UTC)):
        by_hand.cut_by_hand(piece=made, length_nm=6 * IN, kerf_nm=MM, job="a hook", by=owner)
    return made


def acts_seen(client: Client, **asked: str) -> list[str]:
    """Each act that the page lists, in words."""
    page = read(client.get(URL, asked).content)
    return [" ".join(one.text.split()) for one in page.select("ol.acts-log .what")]


def test_acts_stand_newest_first_with_their_lines_together(as_owner: Client, bar: Piece) -> None:
    assert acts_seen(as_owner) == [
        f"{bar.mark} cut for a blank −6 in −$4.00 for a hook {bar.mark} kerf −0.0394 in −$0.03",
        f"{bar.mark} received +36 in $24.00 from Marrow & Daughter Steels",
    ]


def test_a_helper_sees_the_metal_and_no_money(as_helper: Client, bar: Piece) -> None:
    assert acts_seen(as_helper)[1] == (f"{bar.mark} received +36 in from Marrow & Daughter Steels")
    assert "$" not in as_helper.get(URL).text


@pytest.mark.slow
def test_the_list_is_narrowed_by_piece_kind_job_days_and_person(
    as_owner: Client, bar: Piece, make_bar: MakePiece, owner: Person, helper: Person
) -> None:
    other = make_bar()

    def count(**asked: str) -> int:
        return len(acts_seen(as_owner, **asked))

    assert count() == 3
    assert count(mark=bar.mark.lower()) == 2
    assert count(mark=other.mark) == 1
    assert count(mark="nonsense") == 0
    assert count(kind="kerf") == 1
    assert count(job="hook") == 1
    assert count(since="2026-04-03", until="2026-04-04") == 1
    assert count(until="2026-04-02") == 1
    assert count(by=str(owner.pk)) == 3
    assert count(by=str(helper.pk)) == 0


def test_a_filter_that_cannot_be_read_says_so_and_narrows_nothing(
    as_owner: Client, bar: Piece
) -> None:
    response = as_owner.get(URL, {"since": "yesterday", "kind": "zzz"})

    assert response.status_code == 422
    assert response.text.count('<span class="when">') == 2


def test_htmx_gets_the_list_alone(as_owner: Client, bar: Piece) -> None:
    response = as_owner.get(URL, {"kind": "kerf"}, headers=HTMX)

    assert response.text.lstrip().startswith('<section class="plate" id="ledger">')
    assert "<html" not in response.text


def test_an_act_is_undone_with_its_reason_and_both_lines_stay(as_owner: Client, bar: Piece) -> None:
    act = Entry.objects.filter(kind="kerf").get().act

    response = as_owner.post(
        reverse("stock:entry-undo", args=[act]), {"why": "wrong bar"}, follow=True
    )

    bar.refresh_from_db()
    assert (bar.on_hand, bar.value_cents) == (36 * IN, 2400)
    assert "wrong bar" in response.text
    assert len(acts_seen(as_owner)) == 3
    assert read(response.content).select("ol.acts-log li.is-off")


def test_undoing_twice_is_told(as_owner: Client, bar: Piece) -> None:
    url = reverse("stock:entry-undo", args=[Entry.objects.get(kind="kerf").act])
    as_owner.post(url)

    response = as_owner.post(url, follow=True)

    assert "undone already" in response.text
    assert Entry.objects.count() == 5


def test_undoing_is_neither_read_nor_for_strangers(
    client: Client, bar: Piece, owner: Person
) -> None:
    url = reverse("stock:entry-undo", args=[Entry.objects.get(kind="kerf").act])

    stranger = client.post(url)
    client.force_login(owner)

    assert "/sign-in/" in stranger["Location"]
    assert client.get(url).status_code == 405
    assert Entry.objects.count() == 3


def test_after_an_undo_only_a_page_of_ours_is_opened(as_owner: Client, bar: Piece) -> None:
    url = reverse("stock:entry-undo", args=[Entry.objects.get(kind="kerf").act])

    assert as_owner.post(url, {"next": "https://elsewhere.example/"})["Location"] == URL
    assert as_owner.post(url, {"next": "//elsewhere.example/"})["Location"] == URL


def test_a_tick_of_a_plan_is_undone_with_its_plan_not_here(
    as_owner: Client, bar: Piece, promise: Build, owner: Person
) -> None:
    act = set_asides.tick(set_aside=promise(bar, length_nm=IN), by=owner)

    response = as_owner.post(reverse("stock:entry-undo", args=[act]), follow=True)

    assert "This belongs to a plan" in response.text
    assert Entry.objects.exclude(corrects=None).count() == 0


def test_a_job_of_a_higher_floor_has_a_name_and_a_page(
    as_owner: Client, bar: Piece, owner: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(jobs, "_readers", {})
    jobs.register(
        "gate", lambda numbers: {n: JobWords(f"gate {n}", f"/gates/{n}/") for n in numbers}
    )
    by_hand.cut_by_hand(piece=bar, length_nm=IN, kerf_nm=0, job="gate:7", by=owner)

    page = read(as_owner.get(URL).content)

    link = page.select_one('.what a[href="/gates/7/"]')
    assert link is not None
    assert link.text == "gate 7"
    assert "Undo it with gate 7" in page.select_one("ol.acts-log .undo").text


def rows_of(response: Response) -> list[dict[str, str]]:
    """The table file as rows."""
    text = response.content.decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text)))


def test_the_table_file_has_every_line_in_plain_numbers(as_owner: Client, bar: Piece) -> None:
    response = as_owner.get(reverse("stock:ledger-file"))

    rows = rows_of(response)
    assert response["Content-Type"].startswith("text/csv")
    assert [(r["kind"], r["amount"], r["unit"], r["value (USD)"], r["job"]) for r in rows] == [
        ("received", "36.0000", "in", "24.00", ""),
        ("cut for a blank", "-6.0000", "in", "-4.00", "a hook"),
        ("kerf", "-0.0394", "in", "-0.03", "a hook"),
    ]


def test_the_table_file_of_a_helper_has_no_column_of_money(as_helper: Client, bar: Piece) -> None:
    response = as_helper.get(reverse("stock:ledger-file"))

    assert not [name for name in rows_of(response)[0] if "value" in name or "USD" in name]
    assert "24.00" not in response.text


def test_the_table_file_keeps_the_filter_and_runs_no_formula(
    as_owner: Client, bar: Piece, owner: Person
) -> None:
    by_hand.scrap(piece=bar, amount=IN, why="=HYPERLINK(1)", by=owner)

    rows = rows_of(as_owner.get(reverse("stock:ledger-file"), {"kind": "scrap"}))

    assert [row["why"] for row in rows] == ["'=HYPERLINK(1)"]


@pytest.mark.slow
def test_a_long_ledger_takes_few_queries_a_page(
    as_owner: Client,
    bar: Piece,
    owner: Person,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    for _ in range(40):
        by_hand.scrap(piece=bar, amount=MM, why="bent", by=owner)

    with django_assert_max_num_queries(10):
        response = as_owner.get(URL)

    assert "Page 1 of 2" in response.text
