"""Models of the making: selling days, layouts, batches, logs, plans."""

from __future__ import annotations

from production.models.making import (
    Batch,
    CuttingLog,
    Layout,
    LayoutGives,
    MakingUpLog,
    SpoiledPieces,
)
from production.models.planning import Plan
from production.models.selling_days import Line, SellingDay, Tally, Terms
from production.models.settling import FairSale, Statement, StatementLine

__all__ = [
    "Batch",
    "CuttingLog",
    "FairSale",
    "Layout",
    "LayoutGives",
    "Line",
    "MakingUpLog",
    "Plan",
    "SellingDay",
    "SpoiledPieces",
    "Statement",
    "StatementLine",
    "Tally",
    "Terms",
]
