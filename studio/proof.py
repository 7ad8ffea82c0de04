"""Prove the book: every balance against the ledger, and the database against itself."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import connection

from inventory.models import Balance, Movement, SalesDay
from inventory.queries.balances import balance_differences
from studio import copy_checks
from studio.checks import uses_sqlite
from studio.sales_proof import sales_differences


@dataclass(frozen=True)
class Proof:
    """What was looked at, and each thing that does not agree, in a sentence."""

    movements: int
    balances: int
    faults: list[str]
    about_database: str
    sales_days: int = 0
    sales_faults: tuple[str, ...] = ()

    @property
    def sentence(self) -> str:
        looked_at = f"{self.movements:,} movements, {self.balances:,} balances"
        if not self.faults:
            return f"{looked_at}: all agree."
        return f"{looked_at}: {len(self.faults):,} do not agree."

    @property
    def about_sales(self) -> str:
        looked_at = f"{self.sales_days:,} days of sales, each item and outlet apart"
        if not self.sales_faults:
            return f"{looked_at}: all agree."
        return f"{looked_at}: {len(self.sales_faults):,} do not agree."


def prove_book() -> Proof:
    faults = [str(difference) for difference in balance_differences()]
    return Proof(
        movements=Movement.objects.count(),
        balances=Balance.objects.count(),
        faults=faults + database_faults(),
        about_database=about_database(),
        sales_days=SalesDay.objects.count(),
        sales_faults=tuple(str(one) for one in sales_differences()),
    )


def database_faults() -> list[str]:
    """Return SQLite's own findings; PostgreSQL keeps its links at every write."""
    if not uses_sqlite():
        return []
    with connection.cursor() as cursor:
        return copy_checks.integrity_faults(cursor) + copy_checks.foreign_key_faults(
            cursor
        )


def about_database() -> str:
    if uses_sqlite():
        return "SQLite's own check and the links between rows were looked at too."
    return (
        "PostgreSQL keeps the links between rows at every write; its pages were not "
        "looked at here."
    )
