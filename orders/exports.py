"""The posted list as a file: what was handed over, when, and under which receipt."""

from __future__ import annotations

from orders.models import Packet, PostRun
from orders.prints.run_list import run_row
from orders.queries.packet_papers import with_contents
from studio.days import london
from studio.exports import Cell, csv_bytes

HEADER = (
    "Run of",
    "Packet",
    "Code",
    "Orders",
    "To",
    "Postcode or country",
    "Format",
    "Service",
    "Grams",
    "Postage in pence",
    "State",
    "Packed by",
    "Posted at",
    "Receipt",
)


def post_run_csv(run: PostRun) -> bytes:
    """Write every packet of a run, those taken out of it too."""
    packets = with_contents(Packet.objects.filter(run=run))
    return csv_bytes(HEADER, [row_of(packet) for packet in packets])


def row_of(packet: Packet) -> tuple[Cell, ...]:
    row = run_row(packet)
    return (
        packet.run.day,
        packet.number,
        packet.short_code,
        row.label,
        row.name,
        row.postcode,
        packet.format.name,
        packet.service.name,
        packet.grams,
        packet.postage_pence,
        packet.get_state_display(),
        packet.packed_by.name if packet.packed_by else None,
        london(packet.posted_at) if packet.posted_at else None,
        packet.proof or None,
    )
