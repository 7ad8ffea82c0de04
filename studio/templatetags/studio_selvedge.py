"""The strip along the top of each page: the nine rooms and where the reader is."""

from __future__ import annotations

from dataclasses import dataclass

from django import template
from django.template.context import RequestContext
from django.urls import NoReverseMatch, resolve, reverse

register = template.Library()

ROOMS = (
    ("today", "Today", "studio:today"),
    ("goods", "Goods", "inventory:goods"),
    ("orders", "Orders", "orders:orders"),
    ("post", "Post", "orders:post"),
    ("bench", "Bench", "production:bench"),
    ("selling", "Selling days", "production:selling_days"),
    ("sizes", "Sizes", "studio:sizes"),
    ("blocks", "Blocks", "studio:blocks"),
    ("studio", "Studio", "studio:studio"),
)


@dataclass(frozen=True)
class Room:
    """One word of the strip, its address and whether the reader is in it."""

    key: str
    words: str
    url: str
    here: bool = False


def room_urls() -> list[Room]:
    rooms = []
    for key, words, name in ROOMS:
        try:
            rooms.append(Room(key, words, reverse(name)))
        except NoReverseMatch:
            continue
    return rooms


def may_open(room: Room, person: object) -> bool:
    """Say whether a person's role opens a room; nobody yet sees them all named."""
    role = getattr(person, "role", None)
    roles = getattr(resolve(room.url).func, "roles", None)
    return role is None or roles is None or role in roles


def current_key(rooms: list[Room], path: str) -> str:
    """Return the room whose address is the longest beginning of `path`.

    The first page's address begins every other one, so it counts only when equal.
    """
    home = reverse("studio:today")
    near = [
        room
        for room in rooms
        if path == room.url or (room.url != home and path.startswith(room.url))
    ]
    return max(near, key=lambda room: len(room.url)).key if near else ""


@register.inclusion_tag("studio/_selvedge.html", takes_context=True)
def selvedge(context: RequestContext) -> dict[str, object]:
    """Draw the strip; a page may say where it belongs with `room` in its context."""
    person = context.get("person")
    rooms = [room for room in room_urls() if may_open(room, person)]
    request = context.get("request")
    here = context.get("room") or (current_key(rooms, request.path) if request else "")
    return {
        "rooms": [
            Room(room.key, room.words, room.url, here=room.key == here)
            for room in rooms
        ],
        "exact": request.path if request else "",
        "studio_name": getattr(context.get("studio"), "name", ""),
        "person": person,
    }
