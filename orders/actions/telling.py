"""Note what a customer was told, once for each thing, and take such a note back."""

from __future__ import annotations

from datetime import datetime

from orders.models import Message, Order


def note_told(order: Order, *, about: str, text: str, now: datetime) -> Message:
    """Write down that a customer was told; the first note about a thing stands."""
    message, _ = Message.objects.get_or_create(
        order=order, about=about, defaults={"text": text, "said_at": now}
    )
    return message


def drop_told(order: Order, *, about: str) -> None:
    """Take the note back, so that the customer is to be told after all."""
    Message.objects.filter(order=order, about=about).delete()
