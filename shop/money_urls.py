"""Addresses of the pages about money, dates, knives and reports; part of `shop.page_urls`."""

from django.urls import URLPattern, path

from shop import views_billet_cost, views_rates

urlpatterns: list[URLPattern] = [
    path("billets/<str:mark>/cost/", views_billet_cost.billet_cost_page, name="billet-cost"),
    path("shop/rates/", views_rates.rates_page, name="rates"),
]
