"""What the tests of one page share."""

from __future__ import annotations

import time
from typing import Any

from django.urls import reverse

from shop.models import ForgeClass, PlanRun
from tests.kinds import Client, Response

IN = 25_400_000


HTMX = {"HX-Request": "true"}


def make_plan(client: Client, row: ForgeClass, **more: str) -> Response:
    """Press the button and follow to the page."""
    return client.post(reverse("shop:plan", args=[row.pk]), more, follow=True)


def confirm(client: Client, row: ForgeClass, **how: Any) -> Any:
    """Confirm the latest plan."""
    run = row.runs.latest("id")
    return client.post(reverse("shop:plan-confirm", args=[row.pk]), {"run": run.pk}, **how)


def wait_for(run: PlanRun) -> None:
    """Until a run that is computed in a thread is ready."""
    for _ in range(200):
        run.refresh_from_db()
        if run.state == "ready":
            return
        time.sleep(0.1)
    raise AssertionError(f"the run is {run.state}: {run.progress}")
