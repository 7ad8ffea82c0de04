"""Chainable filters, and the guard that keeps the ledger append-only."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any, TypeVar

from django.db import models
from django.db.models import Q

from inventory.errors import LedgerIsAppendOnly

if TYPE_CHECKING:
    from inventory.models import Claim  # noqa: F401  (only a name for the checker)

Row = TypeVar("Row", bound=models.Model)


class AppendOnly(models.QuerySet[Row]):
    def update(self, **kwargs: Any) -> int:
        raise LedgerIsAppendOnly

    def delete(self) -> tuple[int, dict[str, int]]:
        raise LedgerIsAppendOnly


class ClaimSet(models.QuerySet["Claim"]):
    def live(self, *, on: datetime) -> ClaimSet:
        """Claims that still count: not closed, and not lapsed as judged now."""
        return self.filter(closed_at=None).filter(Q(until=None) | Q(until__gte=on))

    def lapsed(self, *, on: datetime) -> ClaimSet:
        return self.filter(closed_at=None, until__lt=on)
