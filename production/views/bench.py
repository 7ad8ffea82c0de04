"""The bench: what the next session holds, what lies loose, what was logged last."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from uuid import UUID, uuid4

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET

from inventory.half_sets import HalfSet
from production.bench_forms import HoursForm
from production.models import Batch, Layout
from production.queries import bench as diary
from production.queries import loose
from production.queries.bench import LoggedWork, SessionWork
from production.queries.layouts import layouts_in_use
from production.queries.loose import Bench
from production.queries.minutes import LayoutMinutes, minutes_of
from production.views.minutes import worth_saying
from production.views.undoing import undo_offered
from studio.access import OWNER, WORKSHOP, StudioRequest, for_roles
from studio.days import show_day_short
from studio.forms import RequestIdForm
from studio.models import StudioSettings, WorkSession


@dataclass(frozen=True)
class BatchRow:
    """One batch as it stands on the page, with the number of its form."""

    batch: Batch
    gives: str = ""
    request_id: UUID = field(default_factory=uuid4)


@dataclass(frozen=True)
class SessionRow:
    """One session as it stands on the page."""

    work: SessionWork
    cutting: tuple[BatchRow, ...]
    other: tuple[BatchRow, ...]
    completes: str = ""
    pace: str = ""

    @property
    def session(self) -> WorkSession:
        return self.work.session


@dataclass(frozen=True)
class AskedRow:
    """A session that has passed, and the form for its minutes."""

    session: WorkSession
    sentence: str
    form: HoursForm


@dataclass(frozen=True)
class LogRow:
    """Something logged, and the number of the form that takes it back."""

    work: LoggedWork
    request_id: UUID = field(default_factory=uuid4)


@for_roles(OWNER, WORKSHOP)
@require_GET
def bench(request: StudioRequest) -> HttpResponse:
    """Show the coming sessions, the loose pieces and the latest logs."""
    coming = diary.coming_sessions(request.today)
    the_bench, layouts = loose.the_bench(now=request.now), layouts_in_use()
    upcoming, minutes = next_work(coming), minutes_of(layouts)
    spoil = usual_spoil(request.studio)
    context = {
        "sentence": opening(upcoming, request.today),
        "upcoming": upcoming,
        "action": next_action(request, upcoming, has_layouts=bool(layouts)),
        "may_write_layouts": request.person.role == OWNER,
        "sessions": session_rows(coming, upcoming, the_bench, spoil, minutes),
        "waiting": [batch_row(batch) for batch in diary.batches_without_session()],
        "asked": asked_rows(request.today),
        "drawers": loose.drawers(the_bench.pieces.values()),
        "half_sets": half_set_sentences(request, the_bench),
        "possible": set_words(loose.sets_made(loose.together(the_bench)), the_bench),
        "layouts": [(one, diary.gives_words(one), picture(one)) for one in layouts],
        "minutes": worth_saying(minutes.values()),
        "faults": loose.faults_of(layouts, the_bench),
        "logs": [LogRow(one) for one in diary.latest_logs()],
        "form": RequestIdForm(),
        "undo": undo_offered(request),
    }
    return render(request, "production/bench_home.html", context)


def next_work(coming: Sequence[SessionWork]) -> SessionWork | None:
    """Return the first coming session that has minutes to cut in."""
    return next((work for work in coming if work.session.net_minutes), None)


def usual_spoil(studio: StudioSettings | None) -> Fraction:
    return Fraction(studio.usual_spoil_per_hundred if studio else 5, 100)


def opening(work: SessionWork | None, today: date) -> str:
    if work is None:
        return "No session is in the diary. Ask the helper when he can come."
    minutes = f"{name_of_session(work.session, today)} has {work.session.net_minutes}"
    if not work.batches:
        return f"{minutes} minutes; nothing is planned in it yet."
    if work.minutes_over:
        return (
            f"{minutes} minutes, but {work.planned_minutes} are planned: "
            f"{work.minutes_over} too many."
        )
    return f"{minutes} minutes; {work.planned_minutes} are planned."


def name_of_session(session: WorkSession, today: date) -> str:
    ahead = (session.day - today).days
    if ahead == 0:
        return "Today’s session"
    if 0 < ahead < 7:
        return f"{session.day:%A}’s session"
    return f"The session on {show_day_short(session.day)}"


def next_action(
    request: StudioRequest, work: SessionWork | None, *, has_layouts: bool
) -> dict[str, str]:
    if work is None:
        return {
            "url": reverse("production:session_add"),
            "words": "Add a session",
            "why": "Sheets can only be planned where there is time to cut them.",
        }
    key = [work.session.pk]
    if request.person.role == WORKSHOP:
        return {
            "url": reverse("production:cutting", args=key),
            "words": "Start the session",
            "why": "Keep that page open: it works without a signal and sends later.",
        }
    if not has_layouts:
        return {
            "url": reverse("production:layout_add"),
            "words": "Write a layout down",
            "why": "Which pieces one sheet gives: then sheets can be planned.",
        }
    if not work.cutting:
        return {
            "url": reverse("production:sheets_plan") + f"?session={work.session.pk}",
            "words": "Plan its sheets",
            "why": f"{work.free_minutes} minutes are free.",
        }
    return {
        "url": reverse("production:session_card", args=key),
        "words": "Print the session card",
        "why": "One sheet for the wall, with boxes to tick and the code of the page.",
    }


def session_rows(
    coming: Sequence[SessionWork],
    upcoming: SessionWork | None,
    the_bench: Bench,
    spoil: Fraction,
    minutes: Mapping[int, LayoutMinutes],
) -> list[SessionRow]:
    """Return a row a session; the next one says what its sheets complete."""
    return [
        SessionRow(
            work,
            tuple(batch_row(batch) for batch in work.cutting),
            tuple(batch_row(batch) for batch in work.other),
            completes_sentence(work, the_bench, spoil) if work is upcoming else "",
            pace_sentence(work, minutes),
        )
        for work in coming
    ]


def batch_row(batch: Batch) -> BatchRow:
    if batch.layout is None:
        return BatchRow(batch)
    return BatchRow(batch, diary.gives_words(batch.layout, batch.count))


def completes_sentence(work: SessionWork, the_bench: Bench, spoil: Fraction) -> str:
    """Say what the session's sheets complete, together with what lies loose."""
    if not any(batch.left for batch in work.cutting):
        return ""
    now, then = loose.completed_by(the_bench, work.cutting, spoil)
    more = {code: then[code] - now.get(code, 0) for code in then}
    words = set_words({code: n for code, n in more.items() if n > 0}, the_bench)
    if not words:
        return "Its sheets complete no set by themselves: a partner is missing."
    return f"With the usual spoil its sheets complete {words}, no piece counted twice."


def more_minutes(batch: Batch, minutes: Mapping[int, LayoutMinutes]) -> int:
    """Return how many minutes more than planned a batch takes by its layout's logs."""
    said = minutes.get(batch.layout_id or 0)
    if said is None or said.offer_minutes is None:
        return 0
    return said.minutes_for(batch.count) - batch.minutes


def pace_sentence(work: SessionWork, minutes: Mapping[int, LayoutMinutes]) -> str:
    """Say what the planned sheets take at the pace of the logs, where that differs."""
    paced = sum(more_minutes(batch, minutes) for batch in work.cutting)
    if not paced:
        return ""
    takes = work.planned_minutes + paced
    apart = f"{abs(paced)} {'more' if paced > 0 else 'fewer'} than planned"
    start = f"At the pace of the logs all of it takes {takes} minutes, {apart}"
    over = takes - work.session.net_minutes
    if over > 0 and work.session.net_minutes:
        return f"{start} and {over} too many for the session."
    return f"{start}."


def set_words(sets: dict[str, int], the_bench: Bench) -> str:
    """List sets by name: "14 Ringfence set, 9 in and 4 Sandglass set, 3 in"."""
    words = [f"{n} × {the_bench.products[code].name}" for code, n in sets.items()]
    if len(words) < 2:
        return "".join(words)
    return f"{'; '.join(words[:-1])}; and {words[-1]}"


def half_set_sentences(request: StudioRequest, the_bench: Bench) -> list[str]:
    """Say which pieces lack a partner; what they cost is for the owner alone."""
    found = loose.pieces_without_partner(the_bench)
    if request.person.role == OWNER:
        return [half.sentence for half in found]
    return [plain_sentence(half) for half in found]


def plain_sentence(half: HalfSet) -> str:
    has = "has" if half.count == 1 else "have"
    start = f"{half.count} {half.piece} {has} no partner."
    if half.freeing is None:
        return f"{start} No single kind of piece would free them."
    free = half.freeing
    return (
        f"{start} {free.count} {free.piece} would complete {free.sets} {free.product}."
    )


def asked_rows(today: date) -> list[AskedRow]:
    return [
        AskedRow(
            session,
            diary.diary_sentence(session),
            HoursForm(auto_id=f"hours-{session.pk}-%s"),
        )
        for session in diary.unanswered_sessions(today)
    ]


def picture(layout: Layout) -> str:
    return diary.layout_picture(layout, 240)
