"""Say what odd minutes were, and take over the minutes that the logs have taught."""

from __future__ import annotations

from django.db import transaction

from production.errors import LayoutGivesNothing
from production.learning import MinutesMoved
from production.models import CuttingLog, Layout


def call_minutes(log: CuttingLog, *, called: str) -> CuttingLog:
    """Write what was said of a log's minutes; the same said twice is said once.

    Wrong minutes teach nothing, but they stay in the book as they were written.
    """
    log.minutes_called = CuttingLog.MinutesCalled(called)
    log.save(update_fields=["minutes_called"])
    return log


@transaction.atomic
def take_over_minutes(layout: Layout, *, minutes: int, said: int) -> Layout:
    """Let a layout say other minutes a sheet than it said when they were offered.

    Sent again it finds them there already. Raises MinutesMoved where the layout says
    something else by now. Sheets already planned keep the minutes they were planned in.
    """
    layout = Layout.objects.select_for_update().get(pk=layout.pk)
    if minutes <= 0:
        raise LayoutGivesNothing(layout.code)
    if layout.minutes not in (minutes, said):
        raise MinutesMoved(layout.code, layout.minutes, said)
    layout.minutes = minutes
    layout.save(update_fields=["minutes"])
    return layout
