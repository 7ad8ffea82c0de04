"""Which sheets to cut, with the fewest helper minutes, and in which sessions.

    pieces to cut = good pieces wanted / (1 - usual spoil), rounded up
    minimise  minutes, then sheets, then list order,
    where     sum over layouts of (pieces per sheet x sheets) >= pieces to cut

Pieces that a layout gives besides the ones it is cut for count like all others.
The least is proven: whole numbers under limits, see ``studio.maths.whole_numbers``.
Checked against sums worked by hand.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from math import ceil

from production.session_fit import Fit, Run, Session, fit_into_sessions
from studio.days import show_day_short
from studio.errors import StudioError
from studio.maths.whole_numbers import Limit, maximise


class AllSpoiled(StudioError):
    """A spoil rate that leaves no good piece."""

    def __init__(self, spoil: Fraction) -> None:
        self.spoil = spoil
        super().__init__(
            f"A spoil rate of {float(100 * spoil):g} in 100 cannot be planned with. "
            "Give a rate from 0 to below 100, please."
        )


class LayoutWithoutMinutes(StudioError):
    """A layout with no minutes for a sheet."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(
            f"Layout {code} has no minutes for a sheet. Give its minutes, please."
        )


@dataclass(frozen=True)
class Layout:
    """One saved cutting file: what one sheet gives, and helper minutes a sheet."""

    code: str
    gives: Mapping[str, int]
    minutes: int


@dataclass(frozen=True)
class LayoutLine:
    """How many sheets of one layout, and what they give."""

    layout: Layout
    sheets: int
    sentence: str

    @property
    def minutes(self) -> int:
        """Add up the helper minutes of these sheets."""
        return self.sheets * self.layout.minutes


@dataclass(frozen=True)
class PieceLine:
    """One piece: good ones wanted, to cut with spoil, coming off, over."""

    piece: str
    wanted_good: int
    to_cut: int
    will_cut: int

    @property
    def over(self) -> int:
        """Count what comes off the cutter beyond need, by-products included."""
        return self.will_cut - self.to_cut


@dataclass(frozen=True)
class SessionLine:
    """What one session cuts; ``sheets_so_far`` counts from the first session."""

    session: Session
    runs: tuple[Run, ...]
    sheets_so_far: int

    @property
    def minutes(self) -> int:
        """Add up the minutes of this session's sheets."""
        return sum(run.minutes * run.sheets for run in self.runs)

    @property
    def minutes_free(self) -> int:
        """Return the net minutes left for other work."""
        return self.session.net_minutes - self.minutes


@dataclass(frozen=True)
class Comparison:
    """The plan without counting by-products: each piece from its fullest layout."""

    sheets: int
    minutes: int


@dataclass(frozen=True)
class SheetPlan:
    """The answer: sheets by layout, pieces, sessions, and what is missing."""

    lines: tuple[LayoutLine, ...]
    pieces: tuple[PieceLine, ...]
    sessions: tuple[SessionLine, ...]
    left_out: tuple[Run, ...]
    no_layout_for: tuple[str, ...]
    sheets: int
    minutes: int
    sheets_short: int
    short_from: date | None
    ends_on: date | None
    proven: bool
    earliest_end_proven: bool
    compared_with: Comparison
    reasons: tuple[str, ...]

    @property
    def sheets_of(self) -> dict[str, int]:
        """Map layout code to sheets, layouts that are not cut left out."""
        return {line.layout.code: line.sheets for line in self.lines}

    @property
    def minutes_left_out(self) -> int:
        """Add up the minutes of sheets that no session has room for."""
        return sum(run.minutes * run.sheets for run in self.left_out)


def to_cut(wanted_good: int, spoil: Fraction) -> int:
    """Return how many pieces to cut so that enough good ones are expected."""
    if not 0 <= spoil < 1:
        raise AllSpoiled(spoil)
    return ceil(max(0, wanted_good) / (1 - spoil))


def plan_sheets(
    wanted_pieces: Mapping[str, int],
    layouts: Sequence[Layout],
    sessions: Iterable[Session],
    sheets_in_rack: int,
    spoil: Fraction,
) -> SheetPlan:
    """Plan whole sheets for the good pieces wanted, in the fewest minutes."""
    _check(layouts)
    needed = {piece: to_cut(n, spoil) for piece, n in wanted_pieces.items()}
    can_be_cut = {piece for layout in layouts for piece, n in layout.gives.items() if n}
    cuttable = {p: n for p, n in needed.items() if n and p in can_be_cut}
    counts, proven = _fewest_minutes(cuttable, layouts)
    lines = _layout_lines(layouts, counts)
    in_order = sorted(sessions, key=lambda session: session.day)
    runs = [Run(line.layout.code, line.layout.minutes, line.sheets) for line in lines]
    fit = fit_into_sessions(runs, in_order)
    session_lines = _session_lines(in_order, fit)
    draft = SheetPlan(
        lines=lines,
        pieces=_piece_lines(wanted_pieces, needed, lines),
        sessions=session_lines,
        left_out=fit.left_out,
        no_layout_for=tuple(p for p, n in needed.items() if n and p not in can_be_cut),
        sheets=sum(counts),
        minutes=sum(line.minutes for line in lines),
        sheets_short=max(0, sum(counts) - sheets_in_rack),
        short_from=_short_from(session_lines, sheets_in_rack),
        ends_on=max((s.session.day for s in session_lines if s.runs), default=None),
        proven=proven,
        earliest_end_proven=fit.exact,
        compared_with=_piece_by_piece(cuttable, layouts),
        reasons=(),
    )
    return _with_reasons(draft)


def _check(layouts: Iterable[Layout]) -> None:
    for layout in layouts:
        if layout.minutes <= 0:
            raise LayoutWithoutMinutes(layout.code)


def _fewest_minutes(
    needed: Mapping[str, int], layouts: Sequence[Layout]
) -> tuple[list[int], bool]:
    """Solve for the sheets saved against cutting every layout to the full."""
    full = [_to_cover_alone(layout, needed) for layout in layouts]
    limits = []
    for piece, count in needed.items():
        gives = {
            j: layout.gives[piece]
            for j, layout in enumerate(layouts)
            if layout.gives.get(piece)
        }
        covered = sum(give * full[j] for j, give in gives.items())
        limits.append(Limit(gives, covered - count))
    best = maximise(_costs(layouts, full), limits, full)
    sheets = [most - saved for most, saved in zip(full, best.values, strict=True)]
    return sheets, best.proven


def _to_cover_alone(layout: Layout, needed: Mapping[str, int]) -> int:
    return max(
        (ceil(Fraction(needed.get(p, 0), n)) for p, n in layout.gives.items() if n),
        default=0,
    )


def _costs(layouts: Sequence[Layout], full: Sequence[int]) -> list[int]:
    """Weigh minutes above sheets, and sheets above the order of the list."""
    order_span = 1
    order = [0] * len(layouts)
    for j in reversed(range(len(layouts))):
        order[j] = order_span
        order_span *= 1 + full[j]
    sheet_span = order_span * (1 + sum(full))
    return [
        layout.minutes * sheet_span + order_span - order[j]
        for j, layout in enumerate(layouts)
    ]


def _layout_lines(
    layouts: Sequence[Layout], counts: Sequence[int]
) -> tuple[LayoutLine, ...]:
    return tuple(
        LayoutLine(layout, count, _layout_sentence(layout, count))
        for layout, count in zip(layouts, counts, strict=True)
        if count
    )


def _layout_sentence(layout: Layout, count: int) -> str:
    sheets = "1 sheet" if count == 1 else f"{count} sheets"
    gives = _listed({piece: n * count for piece, n in layout.gives.items() if n})
    return f"{layout.code}: {sheets}, {count * layout.minutes} minutes, gives {gives}."


def _piece_lines(
    wanted: Mapping[str, int],
    needed: Mapping[str, int],
    lines: Sequence[LayoutLine],
) -> tuple[PieceLine, ...]:
    coming: dict[str, int] = dict.fromkeys(wanted, 0)
    for line in lines:
        for piece, count in line.layout.gives.items():
            coming[piece] = coming.get(piece, 0) + count * line.sheets
    return tuple(
        PieceLine(piece, wanted.get(piece, 0), needed.get(piece, 0), count)
        for piece, count in coming.items()
    )


def _session_lines(sessions: Sequence[Session], fit: Fit) -> tuple[SessionLine, ...]:
    lines, so_far = [], 0
    for session, runs in zip(sessions, fit.by_session, strict=True):
        so_far += sum(run.sheets for run in runs)
        lines.append(SessionLine(session, runs, so_far))
    return tuple(lines)


def _short_from(lines: Iterable[SessionLine], in_rack: int) -> date | None:
    return next((x.session.day for x in lines if x.sheets_so_far > in_rack), None)


def _piece_by_piece(needed: Mapping[str, int], layouts: Sequence[Layout]) -> Comparison:
    sheets: dict[str, int] = {}
    for piece, count in needed.items():
        fullest = max(layouts, key=lambda layout: layout.gives.get(piece, 0))
        own = ceil(Fraction(count, fullest.gives[piece]))
        sheets[fullest.code] = max(own, sheets.get(fullest.code, 0))
    minutes = {layout.code: layout.minutes for layout in layouts}
    return Comparison(
        sheets=sum(sheets.values()),
        minutes=sum(minutes[code] * count for code, count in sheets.items()),
    )


def _with_reasons(plan: SheetPlan) -> SheetPlan:
    reasons = [line.sentence for line in plan.lines]
    reasons += [
        f"No layout gives {piece}. Draw one, or take it off the list."
        for piece in plan.no_layout_for
    ]
    other = plan.compared_with
    if other.minutes > plan.minutes:
        reasons.append(
            f"Counting by-product pieces saves {other.minutes - plan.minutes} minutes: "
            f"each piece from its own layout takes {other.sheets} sheets and "
            f"{other.minutes} minutes."
        )
    if plan.left_out:
        left = _listed({run.code: run.sheets for run in plan.left_out})
        reasons.append(
            f"{left} find no room: {plan.minutes_left_out} minutes are missing."
        )
    if plan.sheets_short and plan.short_from:
        more = "sheet is" if plan.sheets_short == 1 else "sheets are"
        reasons.append(
            f"{plan.sheets_short} more {more} needed by "
            f"{show_day_short(plan.short_from)}."
        )
    return replace(plan, reasons=tuple(reasons))


def _listed(counts: Mapping[str, int]) -> str:
    words = [f"{count} {code}" for code, count in counts.items()]
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
