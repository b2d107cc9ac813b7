"""Addresses of the pages about money, dates, knives and reports; part of `shop.urls`."""

from django.urls import URLPattern, path

from shop.billet_cost import views as views_billet_cost
from shop.class_money import views as views_class_money
from shop.dates import views as views_dates
from shop.knives import money_views as views_knife_money
from shop.knives import treatment_views as views_knife_treatment
from shop.knives import views as views_knife
from shop.rates import views as views_rates
from shop.reports import views as views_reports

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
    path("knives/", views_knife.knife_list, name="knife-list"),
    path("knives/add/", views_knife.knife_add, name="knife-add"),
    path("knives/<int:knife_id>/", views_knife.knife_detail, name="knife-detail"),
    path("knives/<int:knife_id>/change/", views_knife.knife_change, name="knife-change"),
    path("knives/<int:knife_id>/start/", views_knife.knife_start, name="knife-start"),
    path("knives/<int:knife_id>/stop/", views_knife.knife_stop, name="knife-stop"),
    path("knives/<int:knife_id>/minutes/", views_knife.knife_minutes, name="knife-minutes"),
    path(
        "knives/<int:knife_id>/times/<int:time_id>/strike/",
        views_knife.knife_time_strike,
        name="knife-time-strike",
    ),
    path("knives/<int:knife_id>/part/", views_knife.knife_part, name="knife-part"),
    path("knives/<int:knife_id>/bar/", views_knife.knife_bar, name="knife-bar"),
    path(
        "knives/<int:knife_id>/back/<uuid:act>/", views_knife.knife_put_back, name="knife-put-back"
    ),
    path("knives/<int:knife_id>/card.pdf", views_knife.knife_card, name="knife-card"),
    path("knives/<int:knife_id>/service/", views_knife_money.knife_service, name="knife-service"),
    path(
        "knives/<int:knife_id>/service/<int:service_id>/strike/",
        views_knife_money.knife_service_strike,
        name="knife-service-strike",
    ),
    path("knives/<int:knife_id>/sell/", views_knife_money.knife_sell, name="knife-sell"),
    path("knives/<int:knife_id>/unsell/", views_knife_money.knife_unsell, name="knife-unsell"),
    path(
        "knives/<int:knife_id>/treatment/<slug:step>/",
        views_knife_treatment.treatment_step,
        name="knife-treatment",
    ),
    path(
        "knives/<int:knife_id>/treatment/<int:row_id>/strike/",
        views_knife_treatment.treatment_strike,
        name="knife-treatment-strike",
    ),
    path("knives/<int:knife_id>/lose/", views_knife_treatment.knife_lose, name="knife-lose"),
    path("knives/<int:knife_id>/unlose/", views_knife_treatment.knife_unlose, name="knife-unlose"),
    path("reports/", views_reports.reports_page, name="reports"),
    path("reports/<slug:name>.csv", views_reports.report_csv, name="report-csv"),
]
