"""Addresses of the work at a class's billets; part of `shop.urls`."""

from django.urls import URLPattern, path

from shop.class_work import views as views_class_work

urlpatterns: list[URLPattern] = [
    path("classes/<int:class_id>/hours/", views_class_work.work, name="class-work"),
    path(
        "classes/<int:class_id>/hours/start/", views_class_work.work_start, name="class-work-start"
    ),
    path("classes/<int:class_id>/hours/stop/", views_class_work.work_stop, name="class-work-stop"),
    path(
        "classes/<int:class_id>/hours/minutes/",
        views_class_work.work_minutes,
        name="class-work-minutes",
    ),
    path(
        "classes/<int:class_id>/hours/stage/", views_class_work.work_stage, name="class-work-stage"
    ),
    path(
        "classes/<int:class_id>/hours/<int:time_id>/strike/",
        views_class_work.work_strike,
        name="class-work-strike",
    ),
]
