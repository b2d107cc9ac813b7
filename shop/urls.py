"""Addresses of the shop's own pages."""

from django.urls import URLPattern, URLResolver, path

from shop import money_urls, work_urls
from shop.after_class import views as views_after
from shop.buying import views as views_buying
from shop.classes import seat_views as views_seat
from shop.classes import views as views_class
from shop.cut_list import views as views_cuts
from shop.home import views as views_entry
from shop.people import backup_views as views_backup
from shop.people import views as views_settings
from shop.planning import views as views_plan
from shop.worksheets import views as views_paper

app_name = "shop"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views_entry.home, name="home"),
    path("alive/", views_entry.alive, name="alive"),
    path("first-run/", views_entry.first_run, name="first-run"),
    path("sign-in/", views_entry.sign_in, name="sign-in"),
    path("sign-out/", views_entry.sign_out, name="sign-out"),
    path("classes/", views_class.class_list, name="class-list"),
    path("classes/add/", views_class.class_add, name="class-add"),
    path("classes/<int:class_id>/", views_class.class_detail, name="class-detail"),
    path("classes/<int:class_id>/change/", views_class.class_change, name="class-change"),
    path("classes/<int:class_id>/cancel/", views_class.class_cancel, name="class-cancel"),
    path("classes/<int:class_id>/layups/", views_class.class_new_layups, name="class-new-layups"),
    path("classes/<int:class_id>/billets.csv", views_class.class_csv, name="class-csv"),
    path("classes/<int:class_id>/seats/paste/", views_seat.seat_paste, name="seat-paste"),
    path("classes/<int:class_id>/seats/add/", views_seat.seat_add, name="seat-add"),
    path("classes/<int:class_id>/seats/fill/", views_seat.seat_fill, name="seat-fill"),
    path("classes/<int:class_id>/seats/<int:seat_id>/", views_seat.seat_change, name="seat-change"),
    path(
        "classes/<int:class_id>/seats/<int:seat_id>/cancel/",
        views_seat.seat_cancel,
        name="seat-cancel",
    ),
    path(
        "classes/<int:class_id>/seats/<int:seat_id>/spare/",
        views_seat.seat_spare,
        name="seat-spare",
    ),
    path("classes/<int:class_id>/plan/", views_plan.plan, name="plan"),
    path("classes/<int:class_id>/plan/stop/", views_plan.plan_stop, name="plan-stop"),
    path("classes/<int:class_id>/plan/confirm/", views_plan.plan_confirm, name="plan-confirm"),
    path("classes/<int:class_id>/plan/free/", views_plan.plan_free, name="plan-free"),
    path("classes/<int:class_id>/cuts/", views_cuts.cuts, name="cut-list"),
    path("classes/<int:class_id>/cuts/<int:aside_id>/tick/", views_cuts.cut_tick, name="cut-tick"),
    path("classes/<int:class_id>/cuts/<int:aside_id>/undo/", views_cuts.cut_undo, name="cut-undo"),
    path(
        "classes/<int:class_id>/cuts/piece/<int:piece_id>/off/",
        views_cuts.cut_piece_off,
        name="cut-piece-off",
    ),
    path("classes/<int:class_id>/sheets.pdf", views_paper.class_sheets, name="worksheets"),
    path("classes/<int:class_id>/cuts.pdf", views_paper.class_cuts, name="cut-sheet"),
    path("billets/<str:mark>/sheet.pdf", views_paper.billet_sheet, name="billet-sheet"),
    path("classes/<int:class_id>/after/", views_after.after, name="after-class"),
    path("classes/<int:class_id>/hold/", views_after.class_hold, name="class-hold"),
    path("classes/<int:class_id>/reopen/", views_after.class_reopen, name="class-reopen"),
    path("buying/", views_buying.buying, name="buying"),
    path("buying/stop/", views_buying.buying_stop, name="buying-stop"),
    path("buying/order/", views_buying.buying_order, name="buying-order"),
    path("shop/", views_settings.settings_page, name="settings"),
    path("shop/people/", views_settings.people, name="people"),
    path("shop/people/<int:person_id>/", views_settings.person_change, name="person-change"),
    path("shop/backup/", views_backup.download, name="backup"),
    path("shop/password/", views_settings.own_password, name="own-password"),
    *money_urls.urlpatterns,
    *work_urls.urlpatterns,
]
