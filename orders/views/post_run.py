"""The run at the packing table: pack, miss, post, and take any of it back."""

from __future__ import annotations

from collections.abc import Iterable

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from orders import actions as desk
from orders.models import Packet, PostRun
from orders.post_forms import LacksForm, PostedForm
from orders.prints.run_list import run_times
from orders.queries.run_state import RunState, run_state, state_words
from orders.views.answers import answer, undo_kept
from studio.access import OWNER, PACKER, StudioRequest, for_roles
from studio.errors import StudioError
from studio.forms import RequestIdForm


@for_roles(OWNER, PACKER)
@require_GET
def run_show(request: StudioRequest, run_id: int) -> HttpResponse:
    return run_page(request, get_object_or_404(PostRun, pk=run_id))


def run_page(
    request: StudioRequest, run: PostRun, form: PostedForm | None = None
) -> HttpResponse:
    state = run_state(run)
    context = {
        "state": state,
        "times": times_of(request, state),
        "form": form or PostedForm(live=live_of(state)),
        "one_id": RequestIdForm()["request_id"].value(),
        "ticked": ticked_in(form, state),
        "others": PostRun.objects.filter(packets__in=Packet.objects.live())
        .exclude(pk=run.pk)
        .distinct(),
        "undo": undo_kept(request),
    }
    return render(request, "orders/post_run.html", context)


def times_of(request: StudioRequest, state: RunState) -> object:
    """Return when to leave, or nothing while no counter is set up."""
    try:
        return run_times(
            state.run.day, [one.packet for one in state.packets], request.now
        )
    except StudioError:
        return None


def live_of(state: RunState) -> list[Packet]:
    return [one.packet for one in state.live]


def ticked_in(form: PostedForm | None, state: RunState) -> set[int]:
    """Keep what was ticked before a refusal; at first it is what is packed."""
    if form is not None and form.is_bound:
        typed = form.data.getlist("packets")  # type: ignore[attr-defined]
        return {int(one) for one in typed if one.isdecimal()}
    return {one.packet.pk for one in state.packed}


# ------------------------------------------------------------ one packet


@for_roles(OWNER, PACKER)
@require_POST
def packed(request: StudioRequest, packet_id: int) -> HttpResponse:
    """Tick a packet as packed, or untick it; say who has it where somebody else does."""
    packet = get_object_or_404(Packet, pk=packet_id)
    wanted = request.POST.get("packed") != "no"
    try:
        packet = desk.set_packet_packed(
            packet, now=request.now, by=request.person, packed=wanted
        )
    except StudioError as refused:
        messages.error(request, str(refused))
    else:
        if wanted and packet.packed_by_id != request.person.pk:
            messages.warning(request, already(packet))
    return redirect(place_after(packet, wanted=wanted))


def already(packet: Packet) -> str:
    words = state_words(packet)
    return (
        f"Packet {packet.number}: {words[:1].lower()}{words[1:]} already. "
        "Nothing was changed."
    )


def place_after(packet: Packet, *, wanted: bool) -> str:
    """Return the place on the page of the next packet to pack, or of this one."""
    ahead = Packet.objects.filter(
        run=packet.run_id, state=Packet.State.TO_PACK, number__gt=packet.number
    )
    following = ahead.order_by("number").first() if wanted else packet
    spot = f"packet-{following.number}" if following else "hand-over"
    return f"{reverse('orders:post_run', args=[packet.run_id])}#{spot}"


@for_roles(OWNER, PACKER)
@require_POST
def lacks(request: StudioRequest, packet_id: int) -> HttpResponse:
    """Take a packet out because something of it could not be found."""
    packet = get_object_or_404(Packet, pk=packet_id)
    form = LacksForm(request.POST, packet=packet)
    if not form.is_valid():
        messages.error(request, " ".join(sentences_of(form)))
        return redirect(place_after(packet, wanted=False))
    missing = form.cleaned_data["item"]
    try:
        packet = desk.take_packet_out(packet, missing=missing, now=request.now)
    except StudioError as refused:
        messages.error(request, str(refused))
        return redirect(place_after(packet, wanted=False))
    return answer(
        request,
        taken_out(packet, missing.name),
        place_after(packet, wanted=True),
        undo_url=reverse("orders:packet_back", args=[packet.pk]),
        undo_words="It was found: put the packet back",
    )


def sentences_of(form: LacksForm) -> list[str]:
    return [str(one) for errors in form.errors.values() for one in errors]


def taken_out(packet: Packet, name: str) -> str:
    numbers = " and ".join(order.number for order in packet.orders.all())
    return (
        f"{name} could not be found, so packet {packet.number} is out of the run. "
        f"Throw away the slip with the code {packet.short_code}; no other packet gets "
        f"its number. {numbers} asks about it now."
    )


@for_roles(OWNER, PACKER)
@require_POST
def put_back(request: StudioRequest, packet_id: int) -> HttpResponse:
    packet = get_object_or_404(Packet, pk=packet_id)
    packet = desk.put_packet_back(packet, now=request.now)
    if packet.state == Packet.State.UNDONE:
        messages.error(
            request,
            f"Packet {packet.number} stays out: its order has moved on or is in "
            "another packet by now. Look at the Post page.",
        )
    else:
        messages.success(request, f"Packet {packet.number} is in the run again.")
    return redirect(place_after(packet, wanted=False))


# ------------------------------------------------------------ the pile


@for_roles(OWNER, PACKER)
@require_POST
def posted(request: StudioRequest, run_id: int) -> HttpResponse:
    """Post the pile in one act, all of it or what is ticked, with the receipt."""
    run = get_object_or_404(PostRun, pk=run_id)
    live = list(Packet.objects.live().filter(run=run))
    form = PostedForm(request.POST, live=live)
    if not form.is_valid():
        return run_page(request, run, form)
    try:
        gone = desk.post_packets(
            form.chosen,
            proof=form.cleaned_data["proof"],
            request_id=form.cleaned_data["request_id"],
            now=request.now,
            by=request.person,
        )
    except StudioError as refused:
        form.refuse(refused)
        return run_page(request, run, form)
    here = reverse("orders:post_run", args=[run.pk])
    if not gone:
        return redirect(here)
    undo = undo_url(run, gone)
    return answer(
        request, posted_words(gone), here, undo_url=undo, undo_words="Not posted"
    )


def posted_words(gone: list[Packet]) -> str:
    proof = gone[0].proof
    count = "1 packet is" if len(gone) == 1 else f"{len(gone)} packets are"
    return f"{count} posted, " + (
        f"receipt {proof}." if proof else "without a receipt."
    )


def undo_url(run: PostRun, gone: Iterable[Packet]) -> str:
    keys = ",".join(str(packet.pk) for packet in gone)
    url = reverse("orders:post_run_not_posted", args=[run.pk])
    return f"{url}?packets={keys}"


@for_roles(OWNER, PACKER)
@require_POST
def not_posted(request: StudioRequest, run_id: int) -> HttpResponse:
    """Take a posting back, for the packets that are named in the address."""
    run = get_object_or_404(PostRun, pk=run_id)
    form = RequestIdForm(request.POST)
    keys = [one for one in request.GET.get("packets", "").split(",") if one.isdecimal()]
    if not form.is_valid():
        messages.error(request, " ".join(map(str, form.errors["request_id"])))
        return redirect("orders:post_run", run_id=run.pk)
    try:
        back = desk.unpost_packets(
            run.packets.filter(pk__in=keys),
            request_id=form.cleaned_data["request_id"],
            now=request.now,
            by=request.person,
        )
    except StudioError as refused:
        messages.error(request, str(refused))
    else:
        count = "1 packet is" if len(back) == 1 else f"{len(back)} packets are"
        messages.success(request, f"{count} here again, packed and not posted.")
    return redirect("orders:post_run", run_id=run.pk)


# ------------------------------------------------------------ the short code


@for_roles(OWNER, PACKER)
@require_GET
def packet_find(request: StudioRequest, code: str) -> HttpResponse:
    """Lead from a code, scanned or typed, to its packet in its run."""
    tidy = "".join(code.split()).upper()
    packet = Packet.objects.filter(short_code=tidy).first()
    if packet is None:
        context = {"code": code, "room": "post"}
        return render(request, "orders/packet_find.html", context, status=404)
    url = reverse("orders:post_run", args=[packet.run_id])
    return redirect(f"{url}#packet-{packet.number}")


@for_roles(OWNER, PACKER)
@require_GET
def packet_typed(request: StudioRequest) -> HttpResponse:
    code = request.GET.get("code", "").strip()
    if not code:
        return render(request, "orders/packet_find.html", {"code": "", "room": "post"})
    return packet_find(request, code)
