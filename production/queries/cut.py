"""What came off the cutter and was not taken back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from django.db.models import QuerySet, Sum

from production.models import CuttingLog, Layout
from studio.models import WorkSession


def live_logs(
    layout: Layout | None = None, session: WorkSession | None = None
) -> QuerySet[CuttingLog]:
    """Return the logs that stand, the newest first; of one layout in one session.

    Without a layout every log that stands is meant.
    """
    logs = CuttingLog.objects.filter(entry__reversed_by=None).order_by("-pk")
    if layout is None:
        return logs
    return logs.filter(layout=layout, session=session)


def sheets_done(sessions: Iterable[WorkSession]) -> dict[int, Counter[str]]:
    """Count the sheets logged of each layout in each session: one query."""
    found: dict[int, Counter[str]] = {session.pk: Counter() for session in sessions}
    rows = (
        live_logs()
        .filter(session__in=list(found))
        .order_by()
        .values_list("session_id", "layout__code")
        .annotate(total=Sum("sheets"))
    )
    for session, code, total in rows:
        if session is not None:
            found[session][code] = total
    return found
