"""Addresses of the shop's own pages."""

from django.urls import URLPattern, URLResolver, path

from shop import money_urls, work_urls
from shop.after_class import views as after_class_views
from shop.buying import views as buying_views
from shop.classes import seat_views
from shop.classes import views as classes_views
from shop.cut_list import views as cut_list_views
from shop.home import views as home_views
from shop.people import views as people_views
from shop.planning import views as planning_views
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
    *money_urls.urlpatterns,
    *work_urls.urlpatterns,
]
