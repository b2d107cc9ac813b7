"""The door and the first page: first run, sign-in, sign-out, home."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import login, logout
from django.contrib.auth.decorators import login_not_required
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.home.reading import HomeFigures, home_figures
from shop.knives import clock
from shop.people import first_run as setting_up
from shop.people import throttle
from shop.people import writing as people
from shop.people.forms import FirstRunForm, SignInForm
from stock.web.requests import HtmxRequest, person


@login_not_required
@require_GET
def alive(request: HttpRequest) -> HttpResponse:
    """Says that the app and its database answer; for a service manager."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return HttpResponse("alive\n", content_type="text/plain")


@login_not_required
@never_cache
@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
def first_run(request: HttpRequest) -> HttpResponse:
    """Set the shop up, once, with the code that the terminal shows."""
    if setting_up.is_set_up():
        messages.info(request, "This shop is set up already. Sign in.")
        return redirect("shop:sign-in")
    form = FirstRunForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        values = {name: given[name] for name in ("system", "currency", "locale")}
        values["paper"] = "Letter" if given["locale"] == "en_US" else "A4"
        try:
            owner = people.set_up(
                name=given["name"],
                values=values,
                username=given["username"],
                first_name=given["first_name"],
                password=given["password"],
            )
        except setting_up.AlreadySetUp as error:  # the button was pressed twice
            messages.info(request, str(error))
            return redirect("shop:sign-in")
        login(request, owner)
        messages.success(request, "The shop is set up. Receive the metal that is on your rack.")
        return redirect("shop:home")
    return render(
        request, "shop/people/first_run.html", {"form": form}, status=422 if form.errors else 200
    )


@login_not_required
@never_cache
@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """Name and password; a few misses make that name wait a minute."""
    form = SignInForm(request, data=request.POST if request.method == "POST" else None)
    name = request.POST.get("username", "")
    address = throttle.came_from(request, name=name)
    if request.method == "POST":
        if throttle.must_wait(name=name, address=address):
            form.errors.clear()
            form.add_error(None, "Too many tries. Wait a minute, then try again.")
        elif form.is_valid():
            login(request, form.get_user())
            request.session.clear_expired()
            response = redirect(asked_next(request))
            throttle.know_device(response, name=name)
            return response
        else:
            throttle.count_miss(name=name, address=address)
    status = 422 if form.errors else 200
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    return render(
        request, "shop/people/sign_in.html", {"form": form, "wanted": wanted}, status=status
    )


def asked_next(request: HttpRequest) -> str:
    """Where the browser wanted to go, if that is here."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    is_ours = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if is_ours else "shop:home"


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Leave."""
    logout(request)
    return redirect("shop:sign-in")


class HomeContext(HomeFigures):
    """The first page, with the clock of the person who asks."""

    now_at: clock.NowAt | None


@require_GET
def home(request: HtmxRequest) -> HttpResponse:
    """What is next: classes to come, what is to be cut, what is short."""
    context = HomeContext(**home_figures(house=request.house), now_at=clock.now_at(person(request)))
    return render(request, "shop/home.html", context)
