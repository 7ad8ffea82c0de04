"""The Post page: what can go today, in the order of work, and what stays and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import uuid4

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_GET, require_POST

from orders import actions as desk
from orders.afternoon import Afternoon, drawing
from orders.models import Packet
from orders.queries.packet_papers import hang_pictures
from orders.queries.planned_goods import planned_goods
from orders.queries.post_day import DayPacket, PostDay, post_day
from orders.queries.post_words import (
    NextStep,
    headline,
    next_step,
    post_sentences,
)
from orders.queries.telling import people_to_tell
from orders.views.answers import undo_kept
from studio.access import OWNER, PACKER, StudioRequest, for_roles
from studio.errors import StudioError
from studio.forms import RequestIdForm


@dataclass(frozen=True)
class PacketRow:
    """A packet with the names and the words of its place in the work."""

    day: DayPacket
    names: str
    state: str

    @property
    def is_new(self) -> bool:
        return self.day.packet is None


@for_roles(OWNER, PACKER)
@require_GET
def post(request: StudioRequest) -> HttpResponse:
    try:
        day = post_day(request.now, planned=planned_goods(request.now))
    except StudioError as missing:
        return render(request, "orders/post_missing.html", {"missing": missing})
    return render(request, "orders/post_show.html", page_of(request, day))


def page_of(request: StudioRequest, day: PostDay) -> dict[str, object]:
    hang_pictures([pair for packet in day.packets for pair in packet.contents])
    step = next_step(day)
    return {
        "day": day,
        "sentence": headline(day),
        "step": step,
        "step_url": step_url(step),
        "rows": [row_of(packet) for packet in day.packets],
        "has_frozen": any(packet.packet for packet in day.packets),
        "first_new": first_new(day),
        "post_sentences": post_sentences(day),
        "afternoon": afternoon_of(day),
        "to_tell": told_list(request, day),
        "request_ids": [uuid4() for _ in range(2)],
        "undo": undo_kept(request),
        "today_words": "today" if day.day == request.today else "",
    }


def step_url(step: NextStep) -> str:
    if step.kind == "run" and step.run is not None:
        return reverse("orders:post_run", args=[step.run.pk])
    return reverse("orders:post_run_make")


def row_of(packet: DayPacket) -> PacketRow:
    orders = (
        list(packet.packet.orders.all())
        if packet.packet
        else [state.order for state in packet.planned.states]
        if packet.planned
        else []
    )
    names = dict.fromkeys(order.recipient_name for order in orders)
    return PacketRow(packet, " and ".join(names), state_words(packet.packet))


def state_words(packet: Packet | None) -> str:
    if packet is None:
        return ""
    if packet.state == Packet.State.PACKED and packet.packed_by is not None:
        return f"Packed by {packet.packed_by.first_name}"
    return packet.get_state_display()


def first_new(day: PostDay) -> int | None:
    numbers = [packet.number for packet in day.packets if packet.packet is None]
    return min(numbers) if numbers else None


def afternoon_of(day: PostDay) -> SafeString | None:
    """Draw the packing against the clock; nothing on a day without a collection."""
    if day.leave_by is None or day.closes_at is None or not day.minutes:
        return None
    hours = Afternoon(day.starts_at, day.done_at, day.leave_by, day.closes_at)
    # The drawing is written by the studio's own code, its words escaped.
    return mark_safe(drawing(hours))  # noqa: S308


def told_list(request: StudioRequest, day: PostDay) -> object:
    """List whom to tell: the owner's affair alone."""
    if not request.person.is_owner:
        return ()
    return people_to_tell(day, f"{request.person.first_name}, {request.studio.name}")


@for_roles(OWNER, PACKER)
@require_POST
def run_make(request: StudioRequest) -> HttpResponse:
    """Freeze the packets that can go, and lead to their papers."""
    form = RequestIdForm(request.POST)
    if not form.is_valid():
        messages.error(request, " ".join(map(str, form.errors["request_id"])))
        return redirect("orders:post")
    try:
        run_id = freeze_run(request, form)
    except StudioError as refused:
        messages.error(request, str(refused))
        return redirect("orders:post")
    first = request.POST.get("first", "")
    only = f"?from={first}" if first.isdecimal() and first != "1" else ""
    return redirect(reverse("orders:post_papers", args=[run_id]) + only)


def freeze_run(request: StudioRequest, form: RequestIdForm) -> int:
    now: datetime = request.now
    day = post_day(now, planned=planned_goods(now))
    run = desk.make_post_run(
        day.day,
        packets=day.new_figures,
        request_id=form.cleaned_data["request_id"],
        now=now,
        by=request.person,
    )
    return run.pk
