"""The moves that a number came from, newest first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid4

from django.db.models import QuerySet

from inventory.models import Entry, Item, Movement, Place, State


@dataclass(frozen=True)
class Told:
    """One entry as it touched an item, in a sentence."""

    entry: Entry
    words: str
    may_be_taken_back: bool

    @property
    def request_id(self) -> UUID:
        """Give a new id to the button that takes this back."""
        return uuid4()

    @property
    def happened_at(self) -> datetime:
        return self.entry.happened_at


def entries_of(item: Item) -> QuerySet[Entry]:
    """Return what touched an item, the newest first."""
    return (
        Entry.objects.filter(movements__item=item)
        .select_related("by", "reversed_by", "reverses")
        .order_by("-happened_at", "-pk")
        .distinct()
    )


def history_of(item: Item, entries: Iterable[Entry]) -> list[Told]:
    """Tell what these entries did to an item: one query beside their own."""
    chosen = list(entries)
    moves: dict[int, list[Movement]] = {}
    movements = Movement.objects.filter(item=item, entry__in=chosen).select_related(
        "from_place", "to_place"
    )
    for movement in movements:
        moves.setdefault(movement.entry_id, []).append(movement)
    return [told(entry, moves.get(entry.pk, [])) for entry in chosen]


def told(entry: Entry, moves: Iterable[Movement]) -> Told:
    steps = "; ".join(step_words(move) for move in moves)
    because = f" {with_stop(entry.reason)}" if entry.reason else ""
    who = f" {entry.by.name} did it." if entry.by else ""
    undone = " It was taken back." if hasattr(entry, "reversed_by") else ""
    return Told(
        entry,
        f"{entry.get_verb_display()}: {steps}.{because}{who}{undone}",
        not undone and entry.reverses_id is None and not belongs_elsewhere(entry),
    )


def belongs_elsewhere(entry: Entry) -> bool:
    """Whether an order, a delivery or a batch wrote it, and is where it is undone."""
    return bool(entry.reference)


def step_words(move: Movement) -> str:
    if not move.from_place.is_ours:
        return f"{move.count} to {side(move.to_place, move.to_state)}"
    if not move.to_place.is_ours:
        return f"{move.count} from {side(move.from_place, move.from_state)}"
    return (
        f"{move.count} from {side(move.from_place, move.from_state)} "
        f"to {side(move.to_place, move.to_state)}"
    )


def side(place: Place, state: str) -> str:
    if state == State.SELLABLE:
        return place.name
    return f"{place.name} ({State(state).label.lower()})"


def with_stop(words: str) -> str:
    return words if words.endswith((".", "!", "?")) else f"{words}."
