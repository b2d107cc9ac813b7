"""Addresses of the metal's pages."""

from django.urls import URLPattern

app_name = "stock"
urlpatterns: list[URLPattern] = []
