"""The phone page of the workshop, where its presses go, and what a session came to."""

from __future__ import annotations

from dataclasses import dataclass, field
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpResponse, JsonResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_GET, require_POST

from inventory.errors import AlreadyTakenBack, SameRequestOtherContent
from inventory.models import Item
from production import actions as making
from production import presses
from production.errors import NotAPress
from production.models import CuttingLog, Layout, SpoiledPieces
from production.presses import Json, Press
from production.queries import bench as diary
from production.queries.cut import sheets_done
from production.queries.layouts import layouts_in_use
from studio.access import OWNER, WORKSHOP, StudioRequest, for_roles
from studio.errors import StudioError
from studio.models import WorkSession

PANELS = ("sheet", "piece", "why", "where", "stop")
EDGES = (
    ("left edge", "Left edge"),
    ("right edge", "Right edge"),
    ("", "Somewhere else"),
)


@dataclass(frozen=True)
class Panel:
    """One layout on the phone: its sheet, its count, its pieces."""

    layout: Layout
    picture: str
    planned: int
    done: int
    pieces: tuple[Item, ...]
    sheet_id: UUID = field(default_factory=uuid4)
    undo_id: UUID = field(default_factory=uuid4)

    @property
    def left(self) -> int:
        return max(0, self.planned - self.done)


@for_roles(OWNER, WORKSHOP)
@require_GET
def cutting(request: StudioRequest, session_id: int) -> HttpResponse:
    """Show one layout with four buttons; every other panel is in the page, folded."""
    session = get_object_or_404(
        WorkSession.objects.select_related("person"), pk=session_id
    )
    panels = panels_of(session)
    asked = request.GET
    shows = asked.get("view", "sheet")
    context = {
        "session": session,
        "panels": panels,
        "current": current_panel(panels, asked.get("layout", "")),
        "shows": shows if shows in PANELS else "sheet",
        "chosen": {key: asked.get(key, "") for key in ("piece", "why")},
        "reasons": SpoiledPieces.Reason.choices,
        "edges": EDGES,
        "request_id": uuid4(),
        # Nothing that can be tapped by mistake stands near the four buttons.
        "clock_banner": False,
    }
    return render(request, "production/cutting_phone.html", context)


def panels_of(session: WorkSession) -> list[Panel]:
    """Return the layouts of the session in cutting order, then all others in use."""
    work = diary.session_work(session)
    planned: dict[int, int] = {}
    for batch in work.cutting:
        if batch.layout_id is not None:
            planned[batch.layout_id] = planned.get(batch.layout_id, 0) + batch.count
    layouts = {layout.pk: layout for layout in layouts_in_use()}
    order = [*(pk for pk in planned if pk in layouts), *layouts]
    return [
        panel_of(layouts[pk], planned.get(pk, 0), work.done[layouts[pk].code])
        for pk in dict.fromkeys(order)
    ]


def panel_of(layout: Layout, planned: int, done: int) -> Panel:
    return Panel(
        layout=layout,
        picture=diary.layout_picture(layout),
        planned=planned,
        done=done,
        pieces=tuple(gives.piece for gives in layout.gives.all()),
    )


def current_panel(panels: list[Panel], code: str) -> Panel | None:
    """Return the layout asked for, else the first with sheets left to cut."""
    asked = [panel for panel in panels if panel.layout.code == code]
    left = [panel for panel in panels if panel.left]
    return next(iter([*asked, *left, *panels]), None)


@for_roles(OWNER, WORKSHOP)
@require_POST
def cutting_log(request: StudioRequest) -> HttpResponse:
    """Take one press, from the phone's outbox or from a plain form."""
    if request.content_type == "application/json":
        return answer_phone(request)
    try:
        log = take(request, press_of_form(request.POST))
    except StudioError as wrong:
        messages.error(request, str(wrong))
    else:
        messages.success(request, done_sentence(log))
    return redirect(phone_page(request.POST))


def answer_phone(request: StudioRequest) -> JsonResponse:
    try:
        log = take(request, presses.press_of_text(request.body))
    except (NotAPress, AlreadyTakenBack, SameRequestOtherContent) as wrong:
        status = 400 if isinstance(wrong, NotAPress) else 409
        return JsonResponse({"sentence": str(wrong)}, status=status)
    except StudioError as wrong:
        return JsonResponse({"sentence": str(wrong)}, status=422)
    done = sheets_done([log.session])[log.session.pk] if log.session else {}
    return JsonResponse({"sentence": done_sentence(log), "done": dict(done)})


def take(request: StudioRequest, press: Press) -> CuttingLog:
    return making.take_press(press, now=request.now, by=request.person)


def press_of_form(sent: QueryDict) -> Press:
    plain: dict[str, Json] = {
        key: value for key, value in sent.items() if isinstance(value, str)
    }
    if plain.get("what") == "spoiled":
        line: dict[str, Json] = {key: plain.get(key) for key in ("piece", "reason")}
        plain["spoiled"] = [{**line, "where": plain.get("where")}]
    return presses.press_of(plain)


def phone_page(sent: QueryDict) -> str:
    """Return the page the form stood on, or the bench where it names no session."""
    session = sent.get("session", "")
    if not (session.isdecimal() and len(session) < 12):
        return reverse("production:bench")
    url = reverse("production:cutting", args=[int(session)])
    return f"{url}?{urlencode({'layout': sent.get('layout', '')})}"


def done_sentence(log: CuttingLog) -> str:
    if hasattr(log.entry, "reversed_by"):
        return f"Taken back: {diary.cutting_sentence(log)}"
    return f"Logged: {diary.cutting_sentence(log)}"


@for_roles(OWNER, WORKSHOP)
@require_POST
def cutting_take_back(request: StudioRequest, log_id: int) -> HttpResponse:
    """Take a log back from the bench page."""
    log = get_object_or_404(CuttingLog, pk=log_id)
    sent: dict[str, Json] = {
        "what": "take-back",
        "request_id": request.POST.get("request_id"),
        "takes_back": str(log.request_id),
    }
    try:
        done = take(request, presses.press_of(sent))
    except StudioError as wrong:
        messages.error(request, str(wrong))
    else:
        messages.success(request, done_sentence(done))
    return redirect("production:bench")
