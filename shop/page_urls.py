"""Addresses of the shop's own pages."""

from django.urls import URLPattern, URLResolver, path

from shop import views_entry, views_settings

app_name = "shop"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views_entry.home, name="home"),
    path("alive/", views_entry.alive, name="alive"),
    path("first-run/", views_entry.first_run, name="first-run"),
    path("sign-in/", views_entry.sign_in, name="sign-in"),
    path("sign-out/", views_entry.sign_out, name="sign-out"),
    path("shop/", views_settings.settings_page, name="settings"),
    path("shop/people/", views_settings.people, name="people"),
    path("shop/people/<int:person_id>/", views_settings.person_change, name="person-change"),
    path("shop/password/", views_settings.own_password, name="own-password"),
]
