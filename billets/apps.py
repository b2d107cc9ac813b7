"""The metalwork floor."""

from django.apps import AppConfig


class BilletsConfig(AppConfig):
    """Layups, billets and their history."""

    name = "billets"
