"""Addresses of the work at a class's billets; part of `shop.urls`."""

from django.urls import URLPattern, path

from shop.class_work import views as class_work_views

urlpatterns: list[URLPattern] = [
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
