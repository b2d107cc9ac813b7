"""Addresses of the metalwork's pages."""

from django.urls import URLPattern

app_name = "billets"
urlpatterns: list[URLPattern] = []
