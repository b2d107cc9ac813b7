"""The metal floor."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate, pre_migrate


class StockConfig(AppConfig):
    """Registers the database's own part of the books."""

    name = "stock"

    def ready(self) -> None:
        """Hang the triggers on the migrations."""
        from stock import triggers

        pre_migrate.connect(triggers.on_pre_migrate, sender=self)
        post_migrate.connect(triggers.on_post_migrate, sender=self)
