"""The business floor."""

from django.apps import AppConfig


class ShopConfig(AppConfig):
    """Settings, people, classes, costs."""

    name = "shop"
