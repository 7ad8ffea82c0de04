"""Models of orders and the post."""

from __future__ import annotations

from orders.models.files import FileMatch, FileRow, FileRun
from orders.models.ordering import (
    Customer,
    Message,
    Order,
    OrderLine,
    PostalClaim,
    Question,
    Swap,
)
from orders.models.posting import (
    Packet,
    PacketLine,
    PostFormat,
    PostPrice,
    PostRun,
    PostService,
    Wrap,
)

__all__ = [
    "Customer",
    "FileMatch",
    "FileRow",
    "FileRun",
    "Message",
    "Order",
    "OrderLine",
    "Packet",
    "PacketLine",
    "PostFormat",
    "PostPrice",
    "PostRun",
    "PostService",
    "PostalClaim",
    "Question",
    "Swap",
    "Wrap",
]
