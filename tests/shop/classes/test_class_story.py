"""A class clicked through from its first day to its last row, without a script."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from billets.models import Billet, Measurement
from shop.models import ForgeClass, PlanRun, Seat
from stock.ledger.proof import proved
from stock.models import Piece, SetAside
from tests.kinds import ClassMetal, Client, MakeClass, MakeLayup


@pytest.mark.slow
def test_a_class_goes_from_its_students_to_its_outcomes(
    as_owner: Client, class_metal: ClassMetal, make_layup: MakeLayup, solved_here: None
) -> None:
    layup = make_layup()
    added = as_owner.post(
        reverse("shop:class-add"),
        {
            "title": "Copper blades",
            "starts_on": "2026-12-12",
            "ends_on": "2026-12-13",
            "place": "The forge",
            "seat_count": "2",
            "spares": "",
            "layup": layup.pk,
            "note": "",
        },
    )
    row = ForgeClass.objects.get()
    assert added["Location"] == reverse("shop:class-detail", args=[row.pk])

    as_owner.post(
        reverse("shop:seat-paste", args=[row.pk]),
        {"students": "Ana Ruiz <ana@forge.example>\nBo Lind"},
    )
    assert [seat.student for seat in Seat.objects.order_by("number")] == ["Ana Ruiz", "Bo Lind"]

    planned = as_owner.post(reverse("shop:plan", args=[row.pk]), follow=True)
    run = PlanRun.objects.get()
    assert run.state == "ready"
    assert "Nothing is set aside before you confirm" in planned.text
    assert "Proved best" in planned.text

    confirmed = as_owner.post(
        reverse("shop:plan-confirm", args=[row.pk]), {"run": run.pk}, follow=True
    )
    assert "Metal is set aside for 2 billets." in confirmed.text

    while tick_url := next_tick(as_owner, row):
        assert as_owner.post(tick_url).status_code == 302
    assert not SetAside.objects.filter(state="standing").exists()
    assert {billet.steps.order_by("-id")[0].kind for billet in Billet.objects.all()} == {"cut"}

    first, second = Billet.objects.order_by("id")
    form = {
        f"b{first.pk}-reached": "finished",
        f"b{first.pk}-length_nm": "9-1/2",
        f"b{first.pk}-width_nm": "1.5",
        f"b{first.pk}-thickness_nm": "1/4",
        f"b{first.pk}-heats": "7",
        f"b{second.pk}-reached": "failed",
        f"b{second.pk}-cause": "no-bond",
        f"b{second.pk}-note": "core lifted",
        "spool": "",
    }
    done = as_owner.post(reverse("shop:after-class", args=[row.pk]), form, follow=True)

    assert "2 rows written down." in done.text
    assert Measurement.objects.get().length_nm == 241_300_000
    assert ForgeClass.objects.get().state == "held"
    assert proved().faults == ()


def next_tick(client: Client, row: ForgeClass) -> str:
    """Where the big button of the cut list leads; empty when all is cut."""
    page = client.get(reverse("shop:cut-list", args=[row.pk])).text
    found = re.search(r'<div class="reach">\s*<form method="post" action="([^"]+tick/)"', page)
    return found[1] if found else ""


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_a_plan_is_computed_in_a_thread_and_a_worker_while_the_page_waits(
    make_class: MakeClass, class_metal: ClassMetal, as_owner: Client
) -> None:
    import time

    row = make_class(students=1)
    as_owner.post(reverse("shop:plan", args=[row.pk]))

    deadline = time.monotonic() + 60
    while PlanRun.objects.get().state == "running" and time.monotonic() < deadline:
        page = as_owner.get(reverse("shop:plan", args=[row.pk])).text
        assert "Take the best now" in page or "Ready to confirm" in page
        time.sleep(0.2)

    assert PlanRun.objects.get().state == "ready"
    assert "Ready to confirm" in as_owner.get(reverse("shop:plan", args=[row.pk])).text
    assert Piece.objects.filter(set_aside__gt=0).count() == 0
