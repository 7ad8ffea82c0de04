"""Models of the stock: catalogue, ledger, promises, outlets, buying, samples."""

from __future__ import annotations

from inventory.models.blocks import BlockTest, PartsFromBlock
from inventory.models.buying import Purchase, PurchaseLine, Supplier, SupplierItem
from inventory.models.catalogue import (
    BundleContents,
    Design,
    Item,
    PartsLine,
    PartsList,
    PieceShape,
)
from inventory.models.ledger import Balance, Entry, Movement, Place, State
from inventory.models.promises import Arrival, Claim, Enquiry
from inventory.models.samples import Sample
from inventory.models.selling import (
    ClosedSpell,
    OccasionSales,
    Outlet,
    OutletItem,
    SaleReturn,
    SalesDay,
    SpellOut,
)
from inventory.models.shelf import Count, IncompleteSet, Lack

__all__ = [
    "Arrival",
    "Balance",
    "BlockTest",
    "BundleContents",
    "Claim",
    "ClosedSpell",
    "Count",
    "Design",
    "Enquiry",
    "Entry",
    "IncompleteSet",
    "Item",
    "Lack",
    "Movement",
    "OccasionSales",
    "Outlet",
    "OutletItem",
    "PartsFromBlock",
    "PartsLine",
    "PartsList",
    "PieceShape",
    "Place",
    "Purchase",
    "PurchaseLine",
    "SaleReturn",
    "SalesDay",
    "Sample",
    "SpellOut",
    "State",
    "Supplier",
    "SupplierItem",
]
