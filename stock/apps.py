"""The metal floor."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate, pre_migrate


class StockConfig(AppConfig):
    """Registers the database's own part of the books, and the words of forms."""

    name = "stock"

    def ready(self) -> None:
        """Hang the triggers on the migrations; put our sentences on Django's fields."""
        from stock.ledger import triggers
        from stock.web import fields

        fields.use()
        pre_migrate.connect(triggers.on_pre_migrate, sender=self)
        post_migrate.connect(triggers.on_post_migrate, sender=self)
