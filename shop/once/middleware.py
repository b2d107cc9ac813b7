"""One press is one act: by a double tap, going back, loading again or a retry.

Every form that acts holds a token (`shop.templatetags.once`). The first statement of a request
that writes also writes down its press, in the same transaction; a second request with the same
press is not carried out, and is led to where the first one led. A request that writes nothing
(a look, a refusal) spends no press. Forms without a token are taken as they come.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

from django.contrib import messages
from django.db import connection
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django_htmx.http import HttpResponseClientRedirect

from shop.models import Person, Press
from shop.once import press, writing
from shop.people.middleware import page_before
from stock.web.requests import HtmxRequest

AGAIN = "That was the same press once more; it is written down once."
REFUSED = 400
BROKEN = 500


class FirstWrite:
    """Watches the statements of one request; before the first that writes, the press is noted."""

    def __init__(self) -> None:
        self.key = ""
        self.by: Person | None = None
        self.is_spent = False

    def __call__(
        self, execute: Callable[..., Any], sql: str, params: Any, many: bool, context: Any
    ) -> Any:
        """Carry out one statement."""
        if self.key and self.by and not self.is_spent and press.acts(sql):
            self.is_spent = True
            writing.spend(key=self.key, by=self.by)
        return execute(sql, params, many, context)


class OnceMiddleware:
    """Carries a press out once."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer one request."""
        if request.method != "POST":
            return self.get_response(request)
        watch = FirstWrite()
        request.watch = watch  # type: ignore[attr-defined]  # ours alone, for one request
        with connection.execute_wrapper(watch):
            response = self.get_response(request)
        if watch.is_spent:
            settle(watch.key, request, response)
        return response

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: Any
    ) -> HttpResponse | None:
        """After the door and the forgery check: lead a press that was carried out to its answer."""
        watch = getattr(request, "watch", None)
        if not isinstance(watch, FirstWrite) or not isinstance(request.user, Person):
            return None
        key = key_of(request, request.user)
        done = Press.objects.filter(key=key).first() if key else None
        if done is not None:
            return answer_again(request, done)
        watch.key, watch.by = key, request.user
        return None

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """Two at the same moment: the second found the first one's note when it began to write."""
        if not isinstance(error, writing.PressedBefore):
            return None
        request.watch.is_spent = False  # type: ignore[attr-defined]  # set in __call__
        return answer_again(request, Press.objects.filter(key=error.key).first())


def key_of(request: HttpRequest, person: Person) -> str:
    """What makes this press the same as another; empty where its form has no token."""
    files = [
        (name, str(one.name), int(one.size or 0))
        for name, many in request.FILES.lists()
        for one in many
    ]
    return press.key_of(
        request.POST.get(press.FIELD, ""),
        person=person.pk,
        path=request.get_full_path(),
        given=dict(request.POST.lists()),
        files=files,
    )


def settle(key: str, request: HttpRequest, response: HttpResponse) -> None:
    """Note where the press led to. A refused one is let go; of a broken one the books decide."""
    if response.status_code >= BROKEN:
        return
    if response.status_code >= REFUSED:
        writing.forget(key=key)
        return
    waiting: list[Any] = getattr(messages.get_messages(request), "_queued_messages", [])
    answer = response.headers.get("Location") or response.headers.get("HX-Redirect") or ""
    writing.close(key=key, answer=answer, said=" ".join(str(one) for one in waiting))


def answer_again(request: HttpRequest, done: Press | None) -> HttpResponse:
    """Lead to where the first one led, or to the page as it is now, and say so."""
    messages.info(request, f"{done.said} {AGAIN}".strip() if done else AGAIN)
    where = (done.answer if done else "") or page_before(request)
    if cast(HtmxRequest, request).htmx:  # a redirect would put the page into a part of it
        return HttpResponseClientRedirect(where)
    return HttpResponseRedirect(where)
