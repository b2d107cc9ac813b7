"""The metalwork floor."""

from django.apps import AppConfig


class BilletsConfig(AppConfig):
    """Layups, billets and their history."""

    name = "billets"

    def ready(self) -> None:
        """Let the ledger's pages say what a billet's job is."""
        from billets.history import stages
        from stock.ledger import jobs

        jobs.register("billet", stages.billets_named)
