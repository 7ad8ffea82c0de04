"""Write the demo's papers as files: slips, pick list, run list, labels, session card.

Printing the slips is the act it is on the Post page: it freezes the day's run, so that
the numbers and codes on paper are the ones the pages know.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

from django.conf import settings

from orders import actions as desk
from orders.models import PostRun
from orders.prints.labels import labels_pdf
from orders.prints.pick_list import pick_list_pdf
from orders.prints.run_list import post_run_pdf
from orders.prints.slips import packing_slips_pdf
from orders.queries.post_day import post_day
from production.prints import session_card_pdf
from studio.days import london_day, show_day_short
from studio.demo.files import act
from studio.models import Person, WorkSession
from studio.printing import pdf_available
from studio.today.bench import planned_by_code


def write_papers(now: datetime) -> Iterator[str]:
    """Write every paper and say where; without the libraries say what to do."""
    can_print, why = pdf_available()
    if not can_print:
        yield why
        yield "Until then every paper opens as a page that prints from the browser."
        return
    folder = settings.PAPERS_DIR
    folder.mkdir(parents=True, exist_ok=True)
    yield f"Papers are in {folder}:"
    for name, words, make in papers(now):
        path = folder / name
        write(path, make())
        yield f"  - {path.name}: {words}"


def write(path: Path, content: bytes) -> None:
    """Put the whole file there at once, so that none is ever half written."""
    half = path.with_suffix(".part")
    half.write_bytes(content)
    half.replace(path)


def papers(now: datetime) -> Iterator[tuple[str, str, Callable[[], bytes]]]:
    run = todays_run(now)
    if run is not None:
        count = run.packets.count()
        yield (
            "packing-slips.pdf",
            f"{count} packing slips, A5",
            lambda: packing_slips_pdf(run, now),
        )
        yield (
            "pick-list.pdf",
            "the pick list in walking order",
            lambda: pick_list_pdf(run, now),
        )
        yield "post-run.pdf", "the list for the counter", lambda: post_run_pdf(run, now)
        yield "address-labels.pdf", "address labels", lambda: labels_pdf(run, now)
    session = next_session(now)
    if session is not None:
        day = show_day_short(session.day)
        yield (
            "session-card.pdf",
            f"the card for the workshop on {day}",
            lambda: session_card_pdf(session, now),
        )


def todays_run(now: datetime) -> PostRun | None:
    day = post_day(now, planned=planned_by_code(now))
    if not day.packets:
        return None
    return desk.make_post_run(
        day.day,
        packets=day.new_figures,
        request_id=act(f"run {day.day}"),
        now=now,
        by=Person.objects.filter(role=Person.Role.OWNER).first(),
    )


def next_session(now: datetime) -> WorkSession | None:
    return (
        WorkSession.objects.filter(day__gte=london_day(now), net_minutes__gt=0)
        .order_by("day", "starts")
        .first()
    )
