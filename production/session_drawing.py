"""Draw the sessions of a plan as bars: what they hold, and what is left of them.

One row a session, to one scale of minutes. A filled stretch is one layout's sheets, a
pale one work planned before, and the outline is the net time of the session.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from production.day_plan import PlanRun, PlanSession
from production.day_words import session_words
from studio.days import show_day_short
from studio.maths import svg

WIDTH = 640
LEFT = 132
RIGHT = 92
ROW = 52
BAR_HEIGHT = 32
TEXT = 15
PAPER = "#fdfbf5"
FILLS = ("#2a3a7c", "#4676a0", "#6b4a2f", "#56692d", "#a3476c")
BEFORE = "#d9d2c2"


def draw_sessions(sessions: Sequence[PlanSession], title: str) -> str:
    """Return a picture of the sessions; nothing when there are none."""
    if not sessions:
        return ""
    longest = max(session.net_minutes for session in sessions)
    scale = Fraction(WIDTH - LEFT - RIGHT, max(1, longest))
    codes = sorted({run.layout for session in sessions for run in session.runs})
    fills = {code: FILLS[n % len(FILLS)] for n, code in enumerate(codes)}
    marks = [
        mark
        for row, session in enumerate(sessions)
        for mark in _row(row, session, scale, fills)
    ]
    high = ROW * len(sessions) + 8
    return svg.picture(
        title,
        " ".join(_words(session) for session in sessions),
        marks,
        box=(WIDTH, high),
        size_px=(WIDTH, high),
    )


def _words(session: PlanSession) -> str:
    day = show_day_short(session.day)
    if not session.runs:
        return f"{day}: nothing to cut, {session.free_minutes} minutes free."
    return (
        f"{day}: {session_words(session.runs)} {session.free_minutes} minutes are free."
    )


def _row(
    row: int, session: PlanSession, scale: Fraction, fills: dict[str, str]
) -> Iterator[str]:
    top = 4 + ROW * row
    middle = top + BAR_HEIGHT // 2 + 5
    yield svg.text(show_day_short(session.day), 0, middle, TEXT)
    at = Fraction(LEFT)
    if session.taken_minutes:
        width = session.taken_minutes * scale
        yield _bar(at, top, width, BEFORE)
        at += width
    for run in session.runs:
        width = run.minutes * scale
        yield _bar(at, top, width, fills[run.layout])
        yield from _label(run, at, middle, width)
        at += width
    yield svg.mark(
        "rect",
        x=LEFT,
        y=top,
        width=session.net_minutes * scale,
        height=BAR_HEIGHT,
        fill="none",
        stroke=svg.INK,
        stroke_width=2,
    )
    beside = LEFT + session.net_minutes * scale + 8
    yield svg.text(f"{session.free_minutes} free", beside, middle, TEXT)


def _bar(x: Fraction, y: int, width: Fraction, fill: str) -> str:
    return svg.mark(
        "rect", x=x, y=y, width=width, height=BAR_HEIGHT, fill=fill, stroke=PAPER
    )


def _label(run: PlanRun, x: Fraction, y: int, width: Fraction) -> Iterator[str]:
    words = f"{run.sheets} {run.layout}"
    if width >= 9 * len(words):
        yield svg.text(words, x + width / 2, y, TEXT, text_anchor="middle", fill=PAPER)
