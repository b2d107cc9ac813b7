"""Addresses of the work at a class's billets; part of `shop.page_urls`."""

from django.urls import URLPattern, path

from shop import views_class_work

urlpatterns: list[URLPattern] = [
    path("classes/<int:class_id>/work/", views_class_work.work, name="class-work"),
    path(
        "classes/<int:class_id>/work/start/", views_class_work.work_start, name="class-work-start"
    ),
    path("classes/<int:class_id>/work/stop/", views_class_work.work_stop, name="class-work-stop"),
    path(
        "classes/<int:class_id>/work/minutes/",
        views_class_work.work_minutes,
        name="class-work-minutes",
    ),
    path(
        "classes/<int:class_id>/work/stage/", views_class_work.work_stage, name="class-work-stage"
    ),
    path(
        "classes/<int:class_id>/work/<int:time_id>/strike/",
        views_class_work.work_strike,
        name="class-work-strike",
    ),
]
