"""The state of the demo studio on the terminal, in the same sentences as the page."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from datetime import datetime

from studio.days import show_clock, show_day
from studio.models import Person, StudioSettings
from studio.today.page import today_at
from studio.today.words import Today

WIDTH = 78
MOST_SAID = 8


def report(now: datetime) -> Iterator[str]:
    """Return the lines to print: the day, then each section with what it says."""
    studio = StudioSettings.objects.get(pk=1)
    owner = Person.objects.filter(role=Person.Role.OWNER).order_by("pk").first()
    day = today_at(now, studio=studio, name=owner.first_name if owner else "you")
    yield f"{studio.name}, {show_day(now.date())}, {show_clock(now)}"
    yield from wrapped(day.sentence)
    yield from sections(day)


def sections(day: Today) -> Iterator[str]:
    for section in day.sections:
        yield ""
        yield from wrapped(section.heading)
        said = [one.sentence for one in section.said]
        for sentence in said[:MOST_SAID]:
            yield from wrapped(sentence, bullet="  - ")
        if len(said) > MOST_SAID:
            yield f"  - … and {len(said) - MOST_SAID} more on the page."


def wrapped(sentence: str, bullet: str = "") -> list[str]:
    return textwrap.wrap(
        sentence,
        WIDTH,
        initial_indent=bullet,
        subsequent_indent=" " * len(bullet),
        break_long_words=False,
        break_on_hyphens=False,
    )
