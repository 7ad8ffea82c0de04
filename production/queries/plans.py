"""The plan of a selling day: sheets in sessions, what to order, what does not fit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

from inventory.models import Item
from inventory.queries.balances import sellable_at_home
from production import day_words as words
from production.day_plan import (
    PlanDate,
    PlanLine,
    PlanOrder,
    PlanPiece,
    PlanRun,
    PlanSession,
    SellingDayPlan,
    SumLine,
    steps,
)
from production.models import Batch, Layout, Line, SellingDay
from production.needs import LineNeed, PartNeed
from production.queries.calendar import (
    ready_by,
    sessions_before,
    taken_minutes,
    working_week,
)
from production.queries.layouts import as_plain, layouts_in_use
from production.queries.made_goods import MadeGoods
from production.queries.needs import NeedsFound, number_of, selling_day_needs
from production.queries.ordering import Uses, orders_for
from production.session_fit import Run, Session, fit_into_sessions
from production.sheetplan import SheetPlan, plan_sheets
from studio.days import london_day, show_clock
from studio.models import StudioSettings, WorkSession


@dataclass(frozen=True)
class Workshop:
    """What there is to cut with: layouts, sessions, sheets and the usual spoil."""

    layouts: tuple[Layout, ...]
    sessions: tuple[WorkSession, ...]
    taken: Mapping[int, int]
    rack: Mapping[Item, int]
    spoil: Fraction

    def session_times(self) -> list[Session]:
        return [
            Session(s.day, max(0, s.net_minutes - self.taken.get(s.pk, 0)))
            for s in self.sessions
        ]


def plan_for(
    selling_day: SellingDay,
    *,
    now: datetime,
    made: MadeGoods | None = None,
    layouts: Sequence[Layout] | None = None,
) -> SellingDayPlan:
    """Return the whole explained answer for one selling day.

    Numbers she wrote stay as they are; the plan is made around them. It is made anew
    each time, as if this day's own planned batches were not there. `made` and
    `layouts` spare a page that has read them already from reading them again.
    """
    found = selling_day_needs(selling_day, now=now, made=made)
    in_use = layouts_in_use() if layouts is None else layouts
    shop = workshop_for(selling_day, found.elsewhere, in_use, now=now)
    parts = {item.code: item for item in items_of(found)}
    pieces, others = parted(found, parts)
    sheets = plan_sheets(
        {need.code: need.lacking for need in pieces if need.lacking},
        as_plain(shop.layouts),
        shop.session_times(),
        sum(max(0, count) for count in shop.rack.values()),
        shop.spoil,
    )
    sessions = plan_sessions(shop, sheets)
    orders = what_to_order(selling_day, found, others, parts, shop, sessions, now=now)
    return put_together(selling_day, found, pieces, sheets, sessions, orders, shop, now)


def workshop_for(
    selling_day: SellingDay,
    elsewhere: Sequence[Batch],
    layouts: Sequence[Layout],
    *,
    now: datetime,
) -> Workshop:
    studio = StudioSettings.objects.filter(pk=1).first()
    return Workshop(
        layouts=tuple(layouts),
        sessions=tuple(sessions_before(ready_by(selling_day), now=now)),
        taken=taken_minutes(elsewhere),
        rack=rack_of(layouts, elsewhere),
        spoil=Fraction(studio.usual_spoil_per_hundred if studio else 5, 100),
    )


def rack_of(layouts: Iterable[Layout], elsewhere: Iterable[Batch]) -> dict[Item, int]:
    """Count the sheets in the rack that no other planned work will take."""
    kinds = {layout.sheet.pk: layout.sheet for layout in layouts}
    rack = sellable_at_home(kinds.values())
    for batch in elsewhere:
        if batch.layout is not None and batch.layout.sheet_id in rack:
            rack[batch.layout.sheet_id] -= batch.left
    return {item: rack[pk] for pk, item in kinds.items()}


def items_of(found: NeedsFound) -> list[Item]:
    return list(Item.objects.filter(code__in=[p.code for p in found.needs.parts]))


def parted(
    found: NeedsFound, parts: Mapping[str, Item]
) -> tuple[list[PartNeed], list[PartNeed]]:
    """Part what is cut from sheets from what is bought."""
    cut: list[PartNeed] = []
    bought: list[PartNeed] = []
    for need in found.needs.parts:
        is_piece = parts[need.code].kind == Item.Kind.PIECE
        (cut if is_piece else bought).append(need)
    return cut, bought


def plan_sessions(shop: Workshop, plan: SheetPlan) -> tuple[PlanSession, ...]:
    return tuple(
        PlanSession(
            session_id=session.pk,
            day=session.day,
            net_minutes=session.net_minutes,
            taken_minutes=min(session.net_minutes, shop.taken.get(session.pk, 0)),
            runs=tuple(plan_run(run) for run in line.runs),
        )
        for session, line in zip(shop.sessions, plan.sessions, strict=True)
    )


def plan_run(run: Run) -> PlanRun:
    return PlanRun(run.code, run.sheets, run.minutes * run.sheets)


def what_to_order(
    selling_day: SellingDay,
    found: NeedsFound,
    others: Iterable[PartNeed],
    parts: Mapping[str, Item],
    shop: Workshop,
    sessions: Sequence[PlanSession],
    *,
    now: datetime,
) -> tuple[PlanOrder, ...]:
    """Return the orders for sheets, for paper and boxes, and for bought goods."""
    today = london_day(now)
    week = working_week(today)
    packed = packing_day(selling_day, today)
    uses = [
        *sheet_uses(shop, sessions),
        *(Uses(parts[n.code], n.loose, ((packed, n.needed),)) for n in others),
        *(
            Uses(line.item, 0, ((packed, found.need_of(line).to_buy),))
            for line in found.lines
        ),
    ]
    return orders_for(uses, week=week, today=today)


def packing_day(selling_day: SellingDay, today: date) -> date:
    """Return the last working day before goods are due, when sets are packed."""
    day = working_week(today).working_days_before(ready_by(selling_day), 1)
    return max(day, today)


def sheet_uses(shop: Workshop, sessions: Sequence[PlanSession]) -> list[Uses]:
    sheet_of = {layout.code: layout.sheet for layout in shop.layouts}
    taken: dict[Item, list[tuple[date, int]]] = {item: [] for item in shop.rack}
    for session in sessions:
        for run in session.runs:
            taken[sheet_of[run.layout]].append((session.day, run.sheets))
    return [Uses(item, shop.rack[item], tuple(days)) for item, days in taken.items()]


def put_together(
    selling_day: SellingDay,
    found: NeedsFound,
    pieces: Sequence[PartNeed],
    sheets: SheetPlan,
    sessions: tuple[PlanSession, ...],
    orders: tuple[PlanOrder, ...],
    shop: Workshop,
    now: datetime,
) -> SellingDayPlan:
    today, starts_on = london_day(now), london_day(selling_day.starts_at)
    lines = tuple(plan_line(line, found) for line in found.lines)
    left_out = tuple(plan_run(run) for run in sheets.left_out)
    begin_by = latest_beginning(sheets, shop)
    opening = words.opening_sentence(
        today=today,
        starts_on=starts_on,
        is_repeat=selling_day.kind == SellingDay.Kind.REPEAT,
        lines=lines,
        sheets=sheets.sheets,
        minutes=sheets.minutes,
        sessions=sum(1 for session in sessions if session.runs),
        minutes_missing=sheets.minutes_left_out,
    )
    begin = words.begin_sentence(begin_by, sheets.ends_on)
    return SellingDayPlan(
        selling_day_id=selling_day.pk,
        name=selling_day.name,
        kind=selling_day.kind,
        made_on=today,
        starts_on=starts_on,
        ready_by=ready_by(selling_day),
        opening=opening,
        lines=lines,
        pieces=plan_pieces(pieces, sheets, shop.spoil),
        layouts=tuple(
            (line.layout.code, line.sheets, line.minutes, line.sentence)
            for line in sheets.lines
        ),
        sessions=sessions,
        orders=orders,
        dates=plan_dates(selling_day, lines, sessions, orders, today),
        left_out=left_out,
        sheets=sheets.sheets,
        minutes=sheets.minutes,
        sheets_in_rack=sum(shop.rack.values()),
        ends_on=sheets.ends_on,
        begin_by=begin_by,
        reasons=tuple(sentence for sentence in (begin, *sheets.reasons) if sentence),
    )


def plan_line(line: Line, found: NeedsFound) -> PlanLine:
    need, proposal = found.need_of(line), found.proposals.get(line.item.pk)
    number = number_of(line, proposal)
    return PlanLine(
        line_id=line.pk,
        code=line.item.code,
        name=line.item.name,
        wanted=line.wanted,
        is_pinned=line.is_pinned,
        is_proposed=line.wanted is None and number is not None,
        sent=need.sent,
        from_shelf=need.from_shelf,
        to_make=need.to_make,
        to_buy=need.to_buy,
        ready_now=need.ready_now,
        steps=line_steps(need, is_hers=line.wanted is not None),
        sentence=words.line_sentence(need, proposal, known=number is not None),
        proposal=proposal,
    )


def line_steps(need: LineNeed, *, is_hers: bool) -> tuple[SumLine, ...]:
    whose = "your number" if is_hers else "proposed from the record"
    return steps(
        [
            ("Wanted", need.wanted, whose),
            ("already there", -min(need.sent, need.wanted), ""),
            ("from the shelf", -need.from_shelf, "kept for it, or free to promise"),
        ]
    )


def plan_pieces(
    pieces: Iterable[PartNeed], plan: SheetPlan, spoil: Fraction
) -> tuple[PlanPiece, ...]:
    coming = {line.piece: line for line in plan.pieces}
    return tuple(
        PlanPiece(
            code=need.code,
            steps=steps(
                [
                    *((f"for {code}", count, "") for code, count in need.used_for),
                    ("loose and free", -min(need.loose, need.needed), ""),
                ]
            ),
            good_wanted=need.lacking,
            to_cut=coming[need.code].to_cut if need.code in coming else 0,
            will_cut=coming[need.code].will_cut if need.code in coming else 0,
        )
        for need in pieces
    )


def latest_beginning(plan: SheetPlan, shop: Workshop) -> date | None:
    """Return the last session in which cutting may begin so that all still fits.

    The same sheets, fitted from the last session backwards.
    """
    if plan.left_out or not plan.lines:
        return None
    backwards = shop.session_times()[::-1]
    runs = [Run(x.layout.code, x.layout.minutes, x.sheets) for x in plan.lines]
    fit = fit_into_sessions(runs, backwards)
    used = [s.day for s, r in zip(backwards, fit.by_session, strict=True) if r]
    return min(used, default=None)


def plan_dates(
    selling_day: SellingDay,
    lines: Iterable[PlanLine],
    sessions: Iterable[PlanSession],
    orders: Iterable[PlanOrder],
    today: date,
) -> tuple[PlanDate, ...]:
    """Return the dated steps in order; on one day, orders come before work."""
    lines = list(lines)
    made = sum(line.to_make for line in lines)
    to_come = made + sum(line.from_shelf + line.to_buy for line in lines)
    packed = packing_day(selling_day, today)
    found = [
        *(
            PlanDate(order.last_day, order.sentence, order.is_late)
            for order in orders
            if order.last_day
        ),
        *(
            PlanDate(session.day, words.session_words(session.runs), False)
            for session in sessions
            if session.runs
        ),
        *(
            [PlanDate(packed, f"Make up {words.numbered(made, 'set')} by then.", False)]
            if made
            else []
        ),
        *day_dates(selling_day, to_come, today),
    ]
    return tuple(sorted(found, key=lambda step: step.day))


def day_dates(selling_day: SellingDay, to_come: int, today: date) -> list[PlanDate]:
    moments = [
        (selling_day.fixed_by, "Numbers are fixed at", False),
        (selling_day.goods_in_at, "Goods-in at", to_come > 0),
        (selling_day.starts_at, f"{selling_day.name} begins at", False),
    ]
    return [
        PlanDate(
            london_day(moment),
            f"{what} {show_clock(moment)}.",
            is_open and london_day(moment) < today,
        )
        for moment, what, is_open in moments
        if moment is not None
    ]
