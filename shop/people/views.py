"""The shop's settings and its people; owners only, but for one's own password."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import cast

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.forms import PasswordChangeForm
from django.core.exceptions import (
    DisallowedHost,
    RequestDataTooBig,
    TooManyFieldsSent,
    TooManyFilesSent,
)
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from shop.models import Person
from shop.people import writing
from shop.people.forms import PersonForm, SettingsForm, settings_initial
from shop.running import backup
from shop.running.copies import BackupError
from stock.models import Saw
from stock.web.requests import HtmxRequest, owner_only


@owner_only
@require_http_methods(["GET", "POST"])
def settings_page(request: HtmxRequest) -> HttpResponse:
    """Units, limits, forge, press."""
    initial = settings_initial(request.house)
    form = SettingsForm(request.POST or None, initial=initial, house=request.house)
    if request.method == "POST" and form.is_valid():
        writing.keep_settings(name=form.cleaned_data["name"], values=form.values())
        messages.success(request, "Saved.")
        return redirect("shop:settings")
    context = {"form": form, "saws": Saw.objects.all()}
    return render(request, "shop/people/settings.html", context, status=422 if form.errors else 200)


@owner_only
@require_http_methods(["GET", "POST"])
@sensitive_post_parameters("password")
def people(request: HtmxRequest) -> HttpResponse:
    """Everybody who may sign in, and a form for one more."""
    form = PersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        person = writing.keep_person(form.instance, password=form.cleaned_data["password"])
        messages.success(request, f"{person} can sign in now.")
        return redirect("shop:people")
    context = {"form": form, "people": Person.objects.order_by("first_name"), "place": "shop"}
    return render(request, "shop/people/people.html", context, status=422 if form.errors else 200)


@owner_only
@require_http_methods(["GET", "POST"])
@sensitive_post_parameters("password")
def person_change(request: HtmxRequest, person_id: int) -> HttpResponse:
    """One person's name, role and password."""
    row = get_object_or_404(Person, pk=person_id)
    form = PersonForm(request.POST or None, instance=row)
    if request.method == "POST" and form.is_valid():
        writing.keep_person(form.instance, password=form.cleaned_data["password"])
        if row == request.user:
            update_session_auth_hash(request, row)
        messages.success(request, "Saved.")
        return redirect("shop:people")
    context = {"form": form, "row": row, "place": "shop"}
    return render(request, "shop/people/person.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
@sensitive_post_parameters("old_password", "new_password1", "new_password2")
def own_password(request: HtmxRequest) -> HttpResponse:
    """Anybody may change their own password."""
    whose = cast(Person, request.user)
    form = PasswordChangeForm(whose, request.POST or None)
    if request.method == "POST" and form.is_valid():
        writing.keep_person(whose, password=form.cleaned_data["new_password1"])
        update_session_auth_hash(request, whose)
        messages.success(request, "Your password is changed.")
        return redirect("shop:home")
    status = 422 if form.errors else 200
    return render(request, "shop/people/password.html", {"form": form}, status=status)


@owner_only
@require_POST
@sensitive_post_parameters("passphrase", "again")
def download(request: HtmxRequest) -> HttpResponse:
    """Make the copy, sealed where a passphrase is given; hand it over, and keep none here."""
    passphrase = request.POST.get("passphrase", "")
    name = backup.usual_name(timezone.localtime(), is_sealed=bool(passphrase))
    try:
        if passphrase != request.POST.get("again", ""):
            raise BackupError("The two passphrases are not the same. Type both again.")
        with tempfile.TemporaryDirectory(dir=settings.DATA_DIR) as folder:
            target = Path(folder) / name
            backup.back_up(target, passphrase=passphrase)
            copy = target.read_bytes()
    except (BackupError, OSError) as error:
        messages.error(request, f"No copy was made. {error}")
        return redirect("shop:settings")
    response = HttpResponse(copy, content_type="application/octet-stream")
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    response["Cache-Control"] = "no-store"
    return response


TOO_MUCH = (
    "What was sent is longer than this app reads at once: 2.5 MB, 5000 fields. Nothing was "
    "saved. Go back and send less, in two parts if need be."
)
STRANGE_HOST = (
    "This app does not answer to the name in the address. Use the address that the terminal "
    "shows, or add the name to BILLETWRIGHT_HOSTS and start again."
)
UNREADABLE = (
    "What was sent arrived broken, so nothing was saved. Go back, load the page again, and send "
    "it once more."
)


def unreadable(request: HttpRequest, exception: Exception) -> HttpResponse:
    """One plain sentence on a page that needs neither sign-in nor settings."""
    return render(None, "400.html", {"sentence": sentence(exception)}, status=400)


def sentence(exception: Exception) -> str:
    """Why a request was not read, and what to do."""
    if isinstance(exception, DisallowedHost):
        return STRANGE_HOST
    if isinstance(exception, (RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent)):
        return TOO_MUCH
    return UNREADABLE
