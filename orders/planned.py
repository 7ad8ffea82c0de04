"""A packet as it is planned, before it is frozen in a run: plain figures and keys."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class PlannedLine:
    """How many units of an order line go into the packet."""

    order_line_id: int
    count: int


@dataclass(frozen=True)
class PacketFigures:
    """What is frozen of a packet. Postage is None when the counter must say."""

    order_ids: tuple[int, ...]
    lines: tuple[PlannedLine, ...]
    format_code: str
    service_code: str
    grams: int
    thickness_tenths_mm: int
    postage_pence: int | None
    minutes: int
    part: int = 1
    parts: int = 1
