"""What to cut for promises that lack pieces, and spoil that is hardly luck."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from fractions import Fraction

from inventory.models import Item
from inventory.queries.promises import parts_of
from production import needs as pure
from production import spoil
from production.layout_advice import sheet_for_shortfall
from production.models import Batch, CuttingLog, Layout, SpoiledPieces
from production.queries.layouts import as_plain, layouts_in_use
from production.queries.needs import promised_short
from production.sheetplan import plan_sheets
from studio.days import at_clock, london_day
from studio.models import StudioSettings


@dataclass(frozen=True)
class CuttingSuggestion:
    """Pieces that promises lack, the sheets to cut for them, and the reasons."""

    shortfall: tuple[tuple[str, int], ...]
    sheets: tuple[tuple[str, int], ...]
    minutes: int
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class SpoilNotice:
    """A piece of a layout that is spoiled too often for luck, and where it was."""

    piece: str
    layout: str
    spoiled: int
    cut: int
    chance: Fraction
    where: str
    sentence: str


def usual_spoil() -> Fraction:
    studio = StudioSettings.objects.filter(pk=1).first()
    return Fraction(studio.usual_spoil_per_hundred if studio else 5, 100)


def cutting_suggestion(now: datetime) -> CuttingSuggestion | None:
    """Suggest the sheets for promises that lack pieces; none when all can be made up.

    Sheets already planned count as cut, so that nothing is suggested twice.
    """
    shortfall = promised_shortfall(now)
    if not shortfall:
        return None
    layouts, rate = as_plain(layouts_in_use()), usual_spoil()
    short = tuple(shortfall.items())
    one = sheet_for_shortfall(shortfall, layouts, rate)
    if one is not None:
        sheets = ((one.best.layout.code, one.best.sheets),)
        return CuttingSuggestion(short, sheets, one.best.minutes, one.reasons)
    plan = plan_sheets(shortfall, layouts, [], 0, rate)
    return CuttingSuggestion(
        short,
        tuple(plan.sheets_of.items()),
        plan.minutes,
        tuple(line.sentence for line in plan.lines),
    )


def promised_shortfall(now: datetime) -> dict[str, int]:
    """Count the pieces that sets promised to people lack, over all of them jointly."""
    made = list(Item.objects.filter(parts_lists__isnull=False).distinct())
    parts = parts_of(made, now=now)
    wanted = pure.parts_of(promised_short(made, now=now), parts.ways, parts.free)
    pieces = set(
        Item.objects.filter(code__in=wanted, kind=Item.Kind.PIECE).values_list(
            "code", flat=True
        )
    )
    coming = planned_pieces()
    short = {
        code: count - parts.free.get(code, 0) - coming[code]
        for code, count in sorted(wanted.items())
        if code in pieces
    }
    return {code: count for code, count in short.items() if count > 0}


def planned_pieces() -> Counter[str]:
    coming: Counter[str] = Counter()
    planned = Batch.objects.filter(
        kind=Batch.Kind.CUTTING, state=Batch.State.PLANNED, selling_day=None
    ).prefetch_related("layout__gives__piece")
    for batch in planned:
        for gives in batch.layout.gives.all() if batch.layout else ():
            coming[gives.piece.code] += gives.count * batch.left
    return coming


def spoil_warnings(log: CuttingLog) -> list[SpoilNotice]:
    """Judge the spoil of a log together with the day's other logs of its layout.

    A phone that logs sheet by sheet must not keep a bad evening quiet.
    """
    return warnings_of(logs_on(london_day(log.logged_at), layout=log.layout))


def spoil_warnings_on(day: date) -> list[SpoilNotice]:
    """Judge the spoil of a whole day, layout by layout."""
    by_layout: dict[int, list[CuttingLog]] = {}
    for log in logs_on(day):
        by_layout.setdefault(log.layout_id, []).append(log)
    return [one for logs in by_layout.values() for one in warnings_of(logs)]


def logs_on(day: date, *, layout: Layout | None = None) -> list[CuttingLog]:
    start = at_clock(day, time.min)
    logs = CuttingLog.objects.filter(
        logged_at__gte=start,
        logged_at__lt=at_clock(day + timedelta(days=1), time.min),
        entry__reversed_by=None,
    )
    if layout is not None:
        logs = logs.filter(layout=layout)
    return list(
        logs.select_related("layout")
        .prefetch_related("layout__gives__piece", "spoiled__piece")
        .order_by("logged_at")
    )


def warnings_of(logs: Iterable[CuttingLog]) -> list[SpoilNotice]:
    """Judge logs of one layout, piece by piece."""
    logs = list(logs)
    rate = usual_spoil()
    if not logs:
        return []
    sheets = sum(log.sheets for log in logs)
    lost = [row for log in logs for row in log.spoiled.all()]
    found = []
    for gives in logs[0].layout.gives.all():
        rows = [row for row in lost if row.piece_id == gives.piece_id]
        spoiled = sum(row.count for row in rows)
        warning = spoil.warning(
            gives.piece.code, logs[0].layout.code, spoiled, gives.count * sheets, rate
        )
        if spoiled and warning is not None:
            found.append(with_where(warning, where_of(rows)))
    return found


def where_of(rows: Iterable[SpoiledPieces]) -> str:
    """Return the place on the bed where most of them were, if it was noted."""
    places: Counter[str] = Counter()
    for row in rows:
        if row.where:
            places[row.where] += row.count
    return places.most_common(1)[0][0] if places else ""


def with_where(warning: spoil.SpoilWarning, where: str) -> SpoilNotice:
    at = f" Most were at the {where}." if where else ""
    return SpoilNotice(
        piece=warning.piece,
        layout=warning.layout,
        spoiled=warning.spoiled,
        cut=warning.cut,
        chance=warning.chance,
        where=where,
        sentence=f"{warning.sentence}{at}",
    )
