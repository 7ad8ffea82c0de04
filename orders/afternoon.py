"""Draw a packing afternoon as one strip of cloth: what is packed, and what is left.

The strip runs from the first minute of packing to the last collection; the dark part
is the packing, the stitched line the moment to leave.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from studio.days import show_clock
from studio.maths import svg

WIDE = 360
HIGH = 96
LEFT = 8
LENGTH = WIDE - 2 * LEFT
TOP = 30
DEEP = 30
CLOTH = "#d9deec"
DYED = "#2a3a7c"
SEAM = "#9c2a24"


@dataclass(frozen=True)
class Afternoon:
    """The hours that matter; packing may end after the time to leave."""

    starts_at: datetime
    done_at: datetime
    leave_by: datetime
    closes_at: datetime

    @property
    def title(self) -> str:
        spare = self.minutes(self.done_at, self.leave_by)
        ends = f"Packing ends at {show_clock(self.done_at)}"
        if spare < 0:
            return f"{ends}, {-spare} minutes after the time to leave."
        return f"{ends}, {spare} minutes before the time to leave."

    @property
    def description(self) -> str:
        return (
            f"Packing from {show_clock(self.starts_at)}; leave by "
            f"{show_clock(self.leave_by)}; last collection "
            f"{show_clock(self.closes_at)}."
        )

    @property
    def last(self) -> datetime:
        return max(self.done_at, self.closes_at)

    def minutes(self, first: datetime, then: datetime) -> int:
        return int((then - first).total_seconds()) // 60

    def x(self, moment: datetime) -> Fraction:
        whole = max(1, self.minutes(self.starts_at, self.last))
        part = Fraction(max(0, self.minutes(self.starts_at, moment)), whole)
        return LEFT + part * LENGTH


def drawing(day: Afternoon) -> str:
    """Return the strip as an SVG that says its times in words as well."""
    done, leave = day.x(day.done_at), day.x(day.leave_by)
    marks = [
        svg.mark("rect", x=LEFT, y=TOP, width=LENGTH, height=DEEP, fill=CLOTH),
        svg.mark("rect", x=LEFT, y=TOP, width=done - LEFT, height=DEEP, fill=DYED),
        svg.mark(
            "path",
            d=f"M{svg.plain(leave)} {TOP - 8}V{TOP + DEEP + 8}",
            stroke=SEAM,
            stroke_width=3,
            stroke_dasharray="6 4",
        ),
        svg.text(show_clock(day.starts_at), LEFT, TOP - 10, 15),
        svg.text(
            f"leave {show_clock(day.leave_by)}",
            leave,
            TOP - 12,
            15,
            text_anchor="end",
            font_weight="bold",
        ),
        svg.text(
            f"packed {show_clock(day.done_at)}",
            max(done, Fraction(LEFT + 96)),
            TOP + DEEP + 22,
            15,
            text_anchor="end",
            font_weight="bold",
        ),
    ]
    return svg.picture(
        day.title, day.description, marks, box=(WIDE, HIGH), size_px=(WIDE, HIGH)
    )
