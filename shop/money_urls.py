"""Addresses of the pages about money, dates, knives and reports; part of `shop.page_urls`."""

from django.urls import URLPattern, path

from shop import views_billet_cost, views_class_money, views_dates, views_rates

urlpatterns: list[URLPattern] = [
    path("classes/<int:class_id>/money/", views_class_money.money_page, name="class-money"),
    path(
        "classes/<int:class_id>/money/terms/",
        views_class_money.money_terms,
        name="class-money-terms",
    ),
    path(
        "classes/<int:class_id>/money/real/", views_class_money.money_real, name="class-money-real"
    ),
    path("classes/<int:class_id>/money/pay/", views_class_money.money_pay, name="class-money-pay"),
    path(
        "classes/<int:class_id>/money/<int:payment_id>/undo/",
        views_class_money.money_undo,
        name="class-money-undo",
    ),
    path(
        "classes/<int:class_id>/money/summary.pdf",
        views_class_money.money_pdf,
        name="class-money-pdf",
    ),
    path("billets/<str:mark>/cost/", views_billet_cost.billet_cost_page, name="billet-cost"),
    path("classes/<int:class_id>/dates/", views_dates.dates_page, name="class-dates"),
    path("shop/opening/", views_dates.opening, name="opening"),
    path("shop/calendar/renew/", views_dates.calendar_renew, name="calendar-renew"),
    path("shop/calendar/withdraw/", views_dates.calendar_withdraw, name="calendar-withdraw"),
    path("calendar/<str:token>.ics", views_dates.calendar_feed, name="calendar-feed"),
    path("shop/rates/", views_rates.rates_page, name="rates"),
]
