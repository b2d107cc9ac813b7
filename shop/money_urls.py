"""Addresses of the pages about money, dates, knives and reports; part of `shop.urls`."""

from django.urls import URLPattern, path

from shop.billet_cost import views as billet_cost_views
from shop.class_money import views as class_money_views
from shop.dates import views as dates_views
from shop.knives import views as knives_views
from shop.rates import views as rates_views
from shop.reports import views as reports_views

urlpatterns: list[URLPattern] = [
    path("classes/<int:class_id>/money/", class_money_views.money_page, name="class-money"),
    path(
        "classes/<int:class_id>/money/terms/",
        class_money_views.money_terms,
        name="class-money-terms",
    ),
    path(
        "classes/<int:class_id>/money/real/", class_money_views.money_real, name="class-money-real"
    ),
    path("classes/<int:class_id>/money/pay/", class_money_views.money_pay, name="class-money-pay"),
    path(
        "classes/<int:class_id>/money/<int:payment_id>/undo/",
        class_money_views.money_undo,
        name="class-money-undo",
    ),
    path(
        "classes/<int:class_id>/money/summary.pdf",
        class_money_views.money_pdf,
        name="class-money-pdf",
    ),
    path("billets/<str:mark>/cost/", billet_cost_views.billet_cost_page, name="billet-cost"),
    path("classes/<int:class_id>/dates/", dates_views.dates_page, name="class-dates"),
    path("shop/opening/", dates_views.opening, name="opening"),
    path("shop/calendar/renew/", dates_views.calendar_renew, name="calendar-renew"),
    path("shop/calendar/withdraw/", dates_views.calendar_withdraw, name="calendar-withdraw"),
    path("calendar/<str:token>.ics", dates_views.calendar_feed, name="calendar-feed"),
    path("shop/rates/", rates_views.rates_page, name="rates"),
    path("knives/", knives_views.knife_list, name="knife-list"),
    path("knives/add/", knives_views.knife_add, name="knife-add"),
    path("knives/<int:knife_id>/", knives_views.knife_detail, name="knife-detail"),
    path("knives/<int:knife_id>/change/", knives_views.knife_change, name="knife-change"),
    path("knives/<int:knife_id>/start/", knives_views.knife_start, name="knife-start"),
    path("knives/<int:knife_id>/stop/", knives_views.knife_stop, name="knife-stop"),
    path("knives/<int:knife_id>/minutes/", knives_views.knife_minutes, name="knife-minutes"),
    path(
        "knives/<int:knife_id>/times/<int:time_id>/strike/",
        knives_views.knife_time_strike,
        name="knife-time-strike",
    ),
    path("knives/<int:knife_id>/part/", knives_views.knife_part, name="knife-part"),
    path("knives/<int:knife_id>/bar/", knives_views.knife_bar, name="knife-bar"),
    path(
        "knives/<int:knife_id>/back/<uuid:act>/",
        knives_views.knife_put_back,
        name="knife-put-back",
    ),
    path("knives/<int:knife_id>/card.pdf", knives_views.knife_card, name="knife-card"),
    path("knives/<int:knife_id>/service/", knives_views.knife_service, name="knife-service"),
    path(
        "knives/<int:knife_id>/service/<int:service_id>/strike/",
        knives_views.knife_service_strike,
        name="knife-service-strike",
    ),
    path("knives/<int:knife_id>/sell/", knives_views.knife_sell, name="knife-sell"),
    path("knives/<int:knife_id>/unsell/", knives_views.knife_unsell, name="knife-unsell"),
    path(
        "knives/<int:knife_id>/treatment/<slug:step>/",
        knives_views.treatment_step,
        name="knife-treatment",
    ),
    path(
        "knives/<int:knife_id>/treatment/<int:row_id>/strike/",
        knives_views.treatment_strike,
        name="knife-treatment-strike",
    ),
    path("knives/<int:knife_id>/lose/", knives_views.knife_lose, name="knife-lose"),
    path("knives/<int:knife_id>/unlose/", knives_views.knife_unlose, name="knife-unlose"),
    path("reports/", reports_views.reports_page, name="reports"),
    path("reports/<slug:name>.csv", reports_views.report_csv, name="report-csv"),
]
