"""The business floor."""

from django.apps import AppConfig


class ShopConfig(AppConfig):
    """Settings, people, classes, costs."""

    name = "shop"

    def ready(self) -> None:
        """Let the page How we know show this floor's figures and formulas as well."""
        from billets import how_we_know

        how_we_know.also_show("shop")
