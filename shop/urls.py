"""Addresses of the shop's own pages."""

from django.urls import URLPattern, URLResolver, path

from shop.after_class import views as after_class_views
from shop.billet_cost import views as billet_cost_views
from shop.buying import views as buying_views
from shop.class_money import views as class_money_views
from shop.class_work import views as class_work_views
from shop.classes import seat_views
from shop.classes import views as classes_views
from shop.cut_list import views as cut_list_views
from shop.dates import views as dates_views
from shop.home import views as home_views
from shop.knives import views as knives_views
from shop.people import views as people_views
from shop.planning import views as planning_views
from shop.rates import views as rates_views
from shop.reports import views as reports_views
from shop.worksheets import views as worksheets_views

app_name = "shop"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", home_views.home, name="home"),
    path("alive/", home_views.alive, name="alive"),
    path("first-run/", home_views.first_run, name="first-run"),
    path("sign-in/", home_views.sign_in, name="sign-in"),
    path("sign-out/", home_views.sign_out, name="sign-out"),
    path("classes/", classes_views.class_list, name="class-list"),
    path("classes/add/", classes_views.class_add, name="class-add"),
    path("classes/<int:class_id>/", classes_views.class_detail, name="class-detail"),
    path("classes/<int:class_id>/change/", classes_views.class_change, name="class-change"),
    path("classes/<int:class_id>/cancel/", classes_views.class_cancel, name="class-cancel"),
    path("classes/<int:class_id>/layups/", classes_views.class_new_layups, name="class-new-layups"),
    path("classes/<int:class_id>/billets.csv", classes_views.class_csv, name="class-csv"),
    path("classes/<int:class_id>/seats/paste/", seat_views.seat_paste, name="seat-paste"),
    path("classes/<int:class_id>/seats/add/", seat_views.seat_add, name="seat-add"),
    path("classes/<int:class_id>/seats/fill/", seat_views.seat_fill, name="seat-fill"),
    path("classes/<int:class_id>/seats/<int:seat_id>/", seat_views.seat_change, name="seat-change"),
    path(
        "classes/<int:class_id>/seats/<int:seat_id>/cancel/",
        seat_views.seat_cancel,
        name="seat-cancel",
    ),
    path(
        "classes/<int:class_id>/seats/<int:seat_id>/spare/",
        seat_views.seat_spare,
        name="seat-spare",
    ),
    path("classes/<int:class_id>/plan/", planning_views.plan, name="plan"),
    path("classes/<int:class_id>/plan/stop/", planning_views.plan_stop, name="plan-stop"),
    path("classes/<int:class_id>/plan/confirm/", planning_views.plan_confirm, name="plan-confirm"),
    path("classes/<int:class_id>/plan/free/", planning_views.plan_free, name="plan-free"),
    path("classes/<int:class_id>/cuts/", cut_list_views.cuts, name="cut-list"),
    path(
        "classes/<int:class_id>/cuts/<int:aside_id>/tick/", cut_list_views.cut_tick, name="cut-tick"
    ),
    path(
        "classes/<int:class_id>/cuts/<int:aside_id>/undo/", cut_list_views.cut_undo, name="cut-undo"
    ),
    path(
        "classes/<int:class_id>/cuts/piece/<int:piece_id>/off/",
        cut_list_views.cut_piece_off,
        name="cut-piece-off",
    ),
    path("classes/<int:class_id>/sheets.pdf", worksheets_views.class_sheets, name="worksheets"),
    path("classes/<int:class_id>/cuts.pdf", worksheets_views.class_cuts, name="cut-sheet"),
    path("billets/<str:mark>/sheet.pdf", worksheets_views.billet_sheet, name="billet-sheet"),
    path("classes/<int:class_id>/after/", after_class_views.after, name="after-class"),
    path("classes/<int:class_id>/hold/", after_class_views.class_hold, name="class-hold"),
    path("classes/<int:class_id>/reopen/", after_class_views.class_reopen, name="class-reopen"),
    path("buying/", buying_views.buying, name="buying"),
    path("buying/stop/", buying_views.buying_stop, name="buying-stop"),
    path("buying/order/", buying_views.buying_order, name="buying-order"),
    path("shop/", people_views.settings_page, name="settings"),
    path("shop/people/", people_views.people, name="people"),
    path("shop/people/<int:person_id>/", people_views.person_change, name="person-change"),
    path("shop/backup/", people_views.download, name="backup"),
    path("shop/password/", people_views.own_password, name="own-password"),
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
    path("classes/<int:class_id>/hours/", class_work_views.work, name="class-work"),
    path(
        "classes/<int:class_id>/hours/start/", class_work_views.work_start, name="class-work-start"
    ),
    path("classes/<int:class_id>/hours/stop/", class_work_views.work_stop, name="class-work-stop"),
    path(
        "classes/<int:class_id>/hours/minutes/",
        class_work_views.work_minutes,
        name="class-work-minutes",
    ),
    path(
        "classes/<int:class_id>/hours/stage/", class_work_views.work_stage, name="class-work-stage"
    ),
    path(
        "classes/<int:class_id>/hours/<int:time_id>/strike/",
        class_work_views.work_strike,
        name="class-work-strike",
    ),
]
