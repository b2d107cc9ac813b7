"""The metalwork floor."""

from django.apps import AppConfig


class BilletsConfig(AppConfig):
    """Layups, billets and their history."""

    name = "billets"

    def ready(self) -> None:
        """Let the ledger's pages say what a billet's job is."""
        from billets import job_words
        from stock.ledger import jobs

        jobs.register("billet", job_words.billets_named)
