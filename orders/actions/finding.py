"""Put a packet back into its run when what was missing turns up."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from orders.actions.posting import take_packet_back
from orders.models import Packet, Question

NOT_FOUND = "could not be found."


@transaction.atomic
def put_packet_back(packet: Packet, *, now: datetime) -> Packet:
    """Put a packet back and answer what was asked when it was taken out."""
    packet = take_packet_back(packet)
    if packet.state == Packet.State.TO_PACK:
        Question.objects.filter(
            order__packets=packet,
            kind=Question.Kind.OTHER,
            answered_at=None,
            text__endswith=NOT_FOUND,
        ).update(answered_at=now, answer="It was found.")
    return packet
