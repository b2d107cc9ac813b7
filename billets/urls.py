"""Addresses of the metalwork's pages."""

from django.urls import URLPattern, path

from billets.billet import list_views as views_billet_list
from billets.billet import trace_views as views_trace
from billets.billet import views as views_billet
from billets.hours import views as views_hours
from billets.known import views as views_calibration
from billets.layup_editor import list_views as views_layup
from billets.layup_editor import views as views_layup_edit

app_name = "billets"
urlpatterns: list[URLPattern] = [
    path("layups/", views_layup.layup_list, name="layup-list"),
    path("layups/add/", views_layup_edit.layup_add, name="layup-add"),
    path("layups/panel/", views_layup_edit.layup_panel, name="layup-panel"),
    path("layups/<int:layup_id>/", views_layup_edit.layup_edit, name="layup-edit"),
    path("layups/<int:layup_id>/copy/", views_layup.layup_copy, name="layup-copy"),
    path("layups/<int:layup_id>/retire/", views_layup.layup_retire, name="layup-retire"),
    path("how-we-know/", views_calibration.how_we_know_page, name="how-we-know"),
    path("calibration/", views_calibration.calibration, name="calibration"),
    path("trace/", views_trace.trace, name="trace"),
    path("billets/", views_billet_list.billet_list, name="billet-list"),
    path("billets/add/", views_billet_list.billet_add, name="billet-add"),
    path("billets/<str:mark>/", views_billet.billet_detail_page, name="billet-detail"),
    path("billets/<str:mark>/cut/", views_billet_list.billet_cut, name="billet-cut"),
    path("billets/<str:mark>/step/", views_billet.billet_step, name="billet-step"),
    path("billets/<str:mark>/fail/", views_billet.billet_fail, name="billet-fail"),
    path("billets/<str:mark>/undo/", views_billet.billet_undo, name="billet-undo"),
    path("billets/<str:mark>/heat/", views_billet.billet_heat, name="billet-heat"),
    path(
        "billets/<str:mark>/heat/<int:heat_id>/strike/",
        views_billet.billet_heat_strike,
        name="billet-heat-strike",
    ),
    path("billets/<str:mark>/clock/start/", views_hours.clock_start, name="clock-start"),
    path("billets/<str:mark>/clock/stop/", views_hours.clock_stop, name="clock-stop"),
    path("billets/<str:mark>/minutes/", views_hours.minutes_add, name="minutes-add"),
    path(
        "billets/<str:mark>/hours/<int:time_id>/strike/",
        views_hours.time_strike,
        name="time-strike",
    ),
    path("billets/<str:mark>/size/", views_billet.billet_size, name="billet-size"),
    path("billets/<str:mark>/bar/", views_billet.billet_bar, name="billet-bar"),
]
