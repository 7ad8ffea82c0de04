"""Calm charts: values in, a picture with a title and a description out.

The title is the sentence the chart is there to say. Every value stands in the
description too, and a page puts its table beside the chart. Dark on light in every
mark, so that a chart can be read in grey; no text is below 14 units.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import count, pairwise
from textwrap import wrap

from studio import money
from studio.errors import StudioError
from studio.maths import svg

Number = Fraction | int
Shown = Callable[[Number], str]

WIDTH = 640
LEFT = 16
RIGHT = 128
TOP = 44
TEXT = 16
SMALL_TEXT = 14
ROW = 56
PLOT_HEIGHT = 240
MOST_TICKS = 6
TITLE_LETTERS = 66

BAR = "#2a3a7c"
BAND = "#7f8bb3"
GRID = "#d9d2c2"
SOFT = "#4b4d66"


class ChartImpossible(StudioError):
    """Values that no chart can show."""

    def __init__(self, reason: str) -> None:
        self.reason = reason
        super().__init__(reason)

    def __str__(self) -> str:
        return self.reason


@dataclass(frozen=True)
class Bar:
    """One named value, nought or more."""

    label: str
    value: Number


@dataclass(frozen=True)
class Interval:
    """One named value with the least and the most it may be."""

    label: str
    low: Number
    value: Number
    high: Number


@dataclass(frozen=True)
class Level:
    """A value to compare with, drawn as a dashed line across."""

    label: str
    value: Number


@dataclass(frozen=True)
class _Scale:
    most: Number
    start: Number
    length: Number

    def at(self, value: Number) -> Fraction:
        return self.start + Fraction(value) * self.length / self.most


def bar_chart(
    title: str, bars: Sequence[Bar], unit: str = "", show: Shown = svg.plain
) -> str:
    """Draw one bar a row, with its value at its end."""
    _check([bar.value for bar in bars])
    scale = _across(max(bar.value for bar in bars))
    words = [f"{bar.label}: {_with_unit(show(bar.value), unit)}" for bar in bars]
    marks = _grid_down(scale, len(bars), show)
    for n, bar in enumerate(bars):
        marks += _bar_marks(n, bar, scale, _with_unit(show(bar.value), unit))
    return _framed(title, words, marks, TOP + ROW * len(bars) + 32)


def interval_chart(
    title: str, rows: Sequence[Interval], unit: str = "", show: Shown = svg.plain
) -> str:
    """Draw what each value is and how far off it may be."""
    _check([row.low for row in rows])
    for row in rows:
        if not row.low <= row.value <= row.high:
            raise ChartImpossible(
                f"The middle of {row.label} lies outside its own ends. Check the sum."
            )
    scale = _across(max(row.high for row in rows))
    words = [f"{row.label}: {_interval_words(row, unit, show)}" for row in rows]
    marks = _grid_down(scale, len(rows), show)
    for n, row in enumerate(rows):
        marks += _interval_marks(n, row, scale, _with_unit(show(row.value), unit))
    return _framed(title, words, marks, TOP + ROW * len(rows) + 32)


def step_chart(
    title: str,
    points: Sequence[tuple[Number, Number]],
    across_label: str,
    up_label: str,
    level: Level | None = None,
    show: Shown = svg.plain,
) -> str:
    """Draw a value that holds until the next step; points run from left to right."""
    _check([value for point in points for value in point])
    if any(after[0] <= before[0] for before, after in pairwise(points)):
        raise ChartImpossible("The steps do not run from left to right. Sort them.")
    across = _Scale(_nice_most(points[-1][0]), LEFT + 48, WIDTH - LEFT - 48 - 32)
    highest = max([point[1] for point in points] + ([level.value] if level else []))
    up = _Scale(_nice_most(highest), TOP + 24 + PLOT_HEIGHT, -PLOT_HEIGHT)
    words = [f"{across_label} {show(x)}: {show(y)}" for x, y in points]
    marks = [
        *_axes(across, up, across_label, up_label, show),
        *(_level_marks(level, across, up, show) if level else ()),
        _step_line(points, across, up),
    ]
    return _framed(title, words, marks, TOP + PLOT_HEIGHT + 80)


def pounds(pence: Number) -> str:
    """Show a value of pence, or a line of the grid between two pence, as pounds."""
    return money.show_pounds(money.round_half_up(Fraction(pence)))


def _check(values: Sequence[Number]) -> None:
    if not values:
        raise ChartImpossible("There is nothing to draw yet.")
    if min(values) < 0:
        raise ChartImpossible("This chart starts at nought; a value is below it.")


def _framed(title: str, words: Sequence[str], marks: Sequence[str], high: int) -> str:
    lines = wrap(title, TITLE_LETTERS) or [""]
    lower = 22 * (len(lines) - 1)
    heading = [
        svg.text(line, LEFT, 24 + 22 * n, TEXT, font_weight="bold")
        for n, line in enumerate(lines)
    ]
    return svg.picture(
        title,
        f"{'; '.join(words)}.",
        [*heading, svg.group(marks, transform=f"translate(0 {lower})")],
        box=(WIDTH, high + lower),
        size_px=(WIDTH, high + lower),
    )


def _across(most: Number) -> _Scale:
    return _Scale(_nice_most(most), LEFT, WIDTH - LEFT - RIGHT)


def _ticks(most: Number) -> list[Fraction]:
    """Steps of 1, 2 or 5 times a power of ten, at most six of them."""
    step = next(step for step in _steps(most) if step * MOST_TICKS >= most)
    last = -(-Fraction(most) // step)
    return [step * n for n in range(int(last) + 1)]


def _steps(most: Number) -> Iterator[Fraction]:
    power = Fraction(1)
    while power > most:
        power /= 10
    power /= 10
    for n in count():
        yield power * (1, 2, 5)[n % 3] * 10 ** (n // 3)


def _nice_most(most: Number) -> Fraction:
    return _ticks(most)[-1] if most else Fraction(1)


def _grid_down(scale: _Scale, rows: int, show: Shown) -> list[str]:
    ticks = _ticks(scale.most)
    floor = TOP + ROW * rows
    path = "".join(f"M{svg.plain(scale.at(tick))} {TOP}V{floor}" for tick in ticks)
    return [
        svg.mark("path", d=path, stroke=GRID, stroke_width=1),
        _small(show(ticks[0]), scale.start, floor + 20, "start"),
        *(
            _small(show(tick), scale.at(tick), floor + 20, "middle")
            for tick in ticks[1:]
        ),
    ]


def _bar_marks(row: int, bar: Bar, scale: _Scale, words: str) -> Iterator[str]:
    top = TOP + ROW * row
    end = scale.at(bar.value)
    yield svg.text(bar.label, LEFT, top + 18, TEXT)
    yield svg.mark("rect", x=LEFT, y=top + 26, width=end - LEFT, height=20, fill=BAR)
    yield svg.text(words, end + 8, top + 42, TEXT, font_weight="bold")


def _interval_marks(
    row: int, one: Interval, scale: _Scale, words: str
) -> Iterator[str]:
    top = TOP + ROW * row
    low, middle, high = (scale.at(value) for value in (one.low, one.value, one.high))
    yield svg.text(one.label, LEFT, top + 18, TEXT)
    yield svg.mark(
        "path",
        d=f"M{svg.plain(low)} {top + 36}H{svg.plain(high)}",
        stroke=BAND,
        stroke_width=14,
    )
    yield svg.mark("circle", cx=middle, cy=top + 36, r=8, fill=BAR)
    beside = max(high, middle + 8) + 8
    yield svg.text(words, beside, top + 42, TEXT, font_weight="bold")


def _interval_words(row: Interval, unit: str, show: Shown) -> str:
    low, middle, high = show(row.low), show(row.value), show(row.high)
    return f"{_with_unit(middle, unit)}, between {low} and {_with_unit(high, unit)}"


def _axes(
    across: _Scale, up: _Scale, across_label: str, up_label: str, show: Shown
) -> Iterator[str]:
    floor, left = up.start, across.start
    lines = "".join(
        f"M{svg.plain(left)} {svg.plain(up.at(tick))}h{svg.plain(across.length)}"
        for tick in _ticks(up.most)
    )
    yield svg.mark("path", d=lines, stroke=GRID, stroke_width=1)
    for tick in _ticks(up.most):
        at = up.at(tick) + 5
        yield _small(show(tick), left - 8, at, "end")
    for tick in _ticks(across.most):
        yield _small(show(tick), across.at(tick), floor + 22, "middle")
    yield _small(up_label, LEFT, TOP + 8, "start")
    yield _small(across_label, left + across.length, floor + 44, "end")


def _level_marks(
    level: Level, across: _Scale, up: _Scale, show: Shown
) -> Iterator[str]:
    y, end = up.at(level.value), across.start + across.length
    yield svg.mark(
        "path",
        d=f"M{svg.plain(across.start)} {svg.plain(y)}H{svg.plain(end)}",
        stroke=SOFT,
        stroke_width=2,
        stroke_dasharray="7 5",
    )
    yield _small(f"{level.label}: {show(level.value)}", end, y - 8, "end")


def _step_line(
    points: Sequence[tuple[Number, Number]], across: _Scale, up: _Scale
) -> str:
    (first_x, first_y), *further = points
    path = f"M{svg.plain(across.at(first_x))} {svg.plain(up.at(first_y))}"
    for x, y in further:
        path += f"H{svg.plain(across.at(x))}V{svg.plain(up.at(y))}"
    path += f"H{svg.plain(across.start + across.length)}"
    return svg.mark("path", d=path, fill="none", stroke=BAR, stroke_width=4)


def _small(words: str, x: Number, y: Number, anchor: str) -> str:
    return svg.text(words, x, y, SMALL_TEXT, text_anchor=anchor, fill=SOFT)


def _with_unit(shown: str, unit: str) -> str:
    return f"{shown} {unit}" if unit else shown
