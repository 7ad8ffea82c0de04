"""Cash of one selling day until it is paid: what it buys, pays out and takes."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from fractions import Fraction

from inventory.models import Item
from production.day_plan import SellingDayPlan
from production.models import SellingDay, Terms
from production.queries.cash import CashLine, CashMove, cash_to
from production.queries.ordering import cheapest_suppliers
from production.take_it import DayWeighed, takings_pence
from production.terms_sums import AgreedTerms
from studio.days import london_day
from studio.models import Person
from studio.money import mills_to_pence, round_half_up

MINUTES_IN_AN_HOUR = 60


def paid_by(selling_day: SellingDay, terms: Terms) -> date | None:
    """Return the day on which the money is there; None where nobody wrote it."""
    if terms.basis == Terms.Basis.OWN:
        return london_day(selling_day.starts_at)
    return terms.paid_on


def hour_pay(minutes: int, pence_an_hour: int) -> int:
    return round_half_up(Fraction(minutes * pence_an_hour, MINUTES_IN_AN_HOUR))


def cash_of(
    selling_day: SellingDay,
    terms: Terms,
    agreed: AgreedTerms,
    plan: SellingDayPlan,
    day: DayWeighed,
    pay: Mapping[str, int],
    *,
    now: datetime,
) -> CashLine | None:
    """Return the bank to the pay date with what the day costs; None without one."""
    until = paid_by(selling_day, terms)
    if until is None:
        return None
    moves = [
        *order_moves(plan),
        *pay_moves(plan, pay.get(Person.Role.WORKSHOP, 0)),
        *day_moves(selling_day, terms, plan.made_on),
        CashMove(until, "what is expected to be paid", takings_pence(agreed, day)),
    ]
    return cash_to(until, now=now, more=[move for move in moves if move.pence])


def order_moves(plan: SellingDayPlan) -> list[CashMove]:
    """Return what must be bought, each paid for when it is needed: one query."""
    codes = [order.code for order in plan.orders if order.count]
    items = {item.code: item for item in Item.objects.filter(code__in=codes)}
    prices = cheapest_suppliers(items.values())
    return [
        CashMove(
            max(plan.made_on, order.needed_on or plan.made_on),
            f"{order.count} {order.name}",
            -mills_to_pence(order.count * prices[items[order.code].pk].price_mills),
        )
        for order in plan.orders
        if order.count
    ]


def pay_moves(plan: SellingDayPlan, pence_an_hour: int) -> list[CashMove]:
    return [
        CashMove(
            session.day, "the helper’s pay", -hour_pay(session.minutes, pence_an_hour)
        )
        for session in plan.cutting_sessions
    ]


def day_moves(selling_day: SellingDay, terms: Terms, today: date) -> list[CashMove]:
    """Return pitch and carriage: the pitch when numbers are fixed, or now."""
    fixed = london_day(selling_day.fixed_by) if selling_day.fixed_by else today
    there = london_day(selling_day.goods_in_at or selling_day.starts_at)
    return [
        CashMove(max(today, fixed), "the pitch", -selling_day.pitch_pence),
        CashMove(
            max(today, there), "getting the goods there", -terms.carriage_out_pence
        ),
    ]
