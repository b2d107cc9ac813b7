"""`manage.py check_ledger`: proves metal and money conserved, or names what breaks it."""

from __future__ import annotations

from typing import Any

from babel.numbers import format_currency, get_currency_precision
from django.core.management.base import BaseCommand, CommandError

from shop.models import ShopSettings
from stock.house import House
from stock.ledger.proof import proved


class Command(BaseCommand):
    """Check the books."""

    help = "Proves that metal and money are conserved; names any piece that breaks it."

    def handle(self, *args: Any, **options: Any) -> None:
        """Print the proof; exit 1 when something is wrong."""
        row = ShopSettings.objects.first()
        house = row.house() if row else House()
        proof = proved()

        def money(cents: int) -> str:
            units = cents / 10 ** get_currency_precision(house.currency)
            return str(format_currency(units, house.currency, locale=house.locale))

        self.stdout.write(f"{proof.pieces} pieces, {proof.entries} entries")
        self.stdout.write(
            f"bought {money(proof.bought_cents)} = work {money(proof.in_work_cents)} + scrap "
            f"{money(proof.scrap_cents)} + corrections {money(proof.corrected_cents)} + rack "
            f"{money(proof.on_rack_cents)}"
        )
        if proof.returned_cents or proof.credited_cents:
            self.stdout.write(
                f"sent back {money(proof.returned_cents)}, credited {money(proof.credited_cents)}"
            )
        for fault in proof.faults:
            self.stderr.write(fault)
        if proof.faults:
            raise CommandError(f"The books do not add up: {len(proof.faults)} faults, named above.")
        self.stdout.write("Metal and money are conserved.")
