"""The shop's settings and its people; owners only, but for one's own password."""

from __future__ import annotations

from typing import cast

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.forms import PasswordChangeForm
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from shop.models import Person, ShopSettings
from shop.people.forms import PersonForm, SettingsForm, settings_initial
from stock.models import Saw
from stock.web.requests import HtmxRequest, owner_only


@owner_only
@require_http_methods(["GET", "POST"])
def settings_page(request: HtmxRequest) -> HttpResponse:
    """Units, limits, forge, press."""
    initial = settings_initial(request.house)
    form = SettingsForm(request.POST or None, initial=initial, house=request.house)
    if request.method == "POST" and form.is_valid():
        row = ShopSettings.objects.get()
        row.name, row.values = form.cleaned_data["name"], row.values | form.values()
        row.save()
        messages.success(request, "Saved.")
        return redirect("shop:settings")
    context = {"form": form, "saws": Saw.objects.all()}
    return render(request, "shop/settings.html", context, status=422 if form.errors else 200)


@owner_only
@require_http_methods(["GET", "POST"])
@sensitive_post_parameters("password")
def people(request: HtmxRequest) -> HttpResponse:
    """Everybody who may sign in, and a form for one more."""
    form = PersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        person = form.save()
        messages.success(request, f"{person} can sign in now.")
        return redirect("shop:people")
    context = {"form": form, "people": Person.objects.order_by("first_name"), "place": "shop"}
    return render(request, "shop/people.html", context, status=422 if form.errors else 200)


@owner_only
@require_http_methods(["GET", "POST"])
@sensitive_post_parameters("password")
def person_change(request: HtmxRequest, person_id: int) -> HttpResponse:
    """One person's name, role and password."""
    row = get_object_or_404(Person, pk=person_id)
    form = PersonForm(request.POST or None, instance=row)
    if request.method == "POST" and form.is_valid():
        form.save()
        if row == request.user:
            update_session_auth_hash(request, row)
        messages.success(request, "Saved.")
        return redirect("shop:people")
    context = {"form": form, "row": row, "place": "shop"}
    return render(request, "shop/person.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
@sensitive_post_parameters("old_password", "new_password1", "new_password2")
def own_password(request: HtmxRequest) -> HttpResponse:
    """Anybody may change their own password."""
    whose = cast(Person, request.user)
    form = PasswordChangeForm(whose, request.POST or None)
    if request.method == "POST" and form.is_valid():
        form.save()
        update_session_auth_hash(request, whose)
        messages.success(request, "Your password is changed.")
        return redirect("shop:home")
    status = 422 if form.errors else 200
    return render(request, "shop/password.html", {"form": form}, status=status)
