"""Addresses of the metalwork's pages."""

from django.urls import URLPattern, path

from billets.billet import list_views
from billets.billet import views as hours_views
from billets.known import views as known_views
from billets.layup_editor import views as layup_editor_views

app_name = "billets"
urlpatterns: list[URLPattern] = [
    path("layups/", layup_editor_views.layup_list, name="layup-list"),
    path("layups/add/", layup_editor_views.layup_add, name="layup-add"),
    path("layups/panel/", layup_editor_views.layup_panel, name="layup-panel"),
    path("layups/<int:layup_id>/", layup_editor_views.layup_edit, name="layup-edit"),
    path("layups/<int:layup_id>/copy/", layup_editor_views.layup_copy, name="layup-copy"),
    path("layups/<int:layup_id>/retire/", layup_editor_views.layup_retire, name="layup-retire"),
    path("how-we-know/", known_views.how_we_know_page, name="how-we-know"),
    path("calibration/", known_views.calibration, name="calibration"),
    path("trace/", list_views.trace, name="trace"),
    path("billets/", list_views.billet_list, name="billet-list"),
    path("billets/add/", list_views.billet_add, name="billet-add"),
    path("billets/<str:mark>/", hours_views.billet_detail_page, name="billet-detail"),
    path("billets/<str:mark>/cut/", list_views.billet_cut, name="billet-cut"),
    path("billets/<str:mark>/step/", hours_views.billet_step, name="billet-step"),
    path("billets/<str:mark>/fail/", hours_views.billet_fail, name="billet-fail"),
    path("billets/<str:mark>/undo/", hours_views.billet_undo, name="billet-undo"),
    path("billets/<str:mark>/heat/", hours_views.billet_heat, name="billet-heat"),
    path(
        "billets/<str:mark>/heat/<int:heat_id>/strike/",
        hours_views.billet_heat_strike,
        name="billet-heat-strike",
    ),
    path("billets/<str:mark>/clock/start/", hours_views.clock_start, name="clock-start"),
    path("billets/<str:mark>/clock/stop/", hours_views.clock_stop, name="clock-stop"),
    path("billets/<str:mark>/minutes/", hours_views.minutes_add, name="minutes-add"),
    path(
        "billets/<str:mark>/hours/<int:time_id>/strike/",
        hours_views.time_strike,
        name="time-strike",
    ),
    path("billets/<str:mark>/size/", hours_views.billet_size, name="billet-size"),
    path("billets/<str:mark>/bar/", hours_views.billet_bar, name="billet-bar"),
]
