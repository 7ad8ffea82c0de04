"""The studio's clock: real, unless the demo has made it stand still."""

from __future__ import annotations

from datetime import date, datetime

from django.utils import timezone

from studio.models import StudioSettings


def now() -> datetime:
    """Return the studio's moment; ask once per request or action and pass it down.

    Sign-in and its expiry use `django.utils.timezone.now` instead: a clock that
    stands must not keep a door open.
    """
    stands_at = (
        StudioSettings.objects.filter(pk=1)
        .values_list("clock_stands_at", flat=True)
        .first()
    )
    return stands_at or timezone.now()


def today(moment: datetime) -> date:
    """Return the calendar day in the studio's zone."""
    return timezone.localdate(moment)
