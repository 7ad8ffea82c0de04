"""Take a selling day or not: its lines, hours and cash, gathered to be weighed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction

from inventory.day_demand import DayDemand, risk_of
from inventory.demand import Belief
from inventory.models import Item, Outlet, OutletItem
from inventory.queries.sales import SalesRecord, sales_records
from production.day_plan import PlanLine, SellingDayPlan, SumLine, steps
from production.left_over import worth_left
from production.models import Line, SellingDay, Terms
from production.quantities import LearnedDemand
from production.queries.cash import CashLine, cash_to
from production.queries.day_cash import cash_of, hour_pay, paid_by
from production.queries.day_numbers import demand_for, lasts_minutes
from production.queries.plans import plan_for
from production.queries.proposals import prices_of
from production.queries.sending import free_to_send
from production.take_it import (
    DayWeighed,
    LineAsked,
    verdict,
    weigh,
)
from production.terms_sums import AgreedTerms, LineMoney
from studio.days import london_day
from studio.models import Person
from studio.money import mills_to_pence, round_half_up, show_pounds

YEAR = 364
DAYS_IN_A_WEEK = 7
# What sells by post in less than four weeks says too little: a rule of the house.
LEAST_WEEKS = 4
# Wrapping and labelling one packet of one set: a rule of the house.
PACKING_MINUTES = 4
MINUTES_IN_AN_HOUR = 60
# A record of no sales is still half a sale: the rule of Jeffreys (from memory).
HALF_A_SALE = 0.5


@dataclass(frozen=True)
class TakeItPage:
    """What the page says: the sentence, the day weighed, hours, cash, what is unknown.

    `terms` is None where none are written; then nothing else is weighed.
    """

    sentence: str
    terms: Terms | None
    day: DayWeighed | None
    plan: SellingDayPlan
    hours: tuple[SumLine, ...]
    cash: CashLine | None
    cash_without: CashLine | None
    direct: tuple[str, ...]
    unknown: tuple[str, ...]

    @property
    def minutes(self) -> int:
        return self.hours[-1].total if self.hours else 0


@dataclass(frozen=True)
class Gathered:
    """The facts of the lines, by item or by line."""

    lines: Sequence[Line]
    plan: Mapping[int, PlanLine]
    prices: Mapping[int, int]
    web_prices: Mapping[int, int]
    demand: Mapping[int, DayDemand]
    records: Mapping[int, SalesRecord]
    free: Mapping[int, int]
    packing_pence: Fraction
    weeks: int
    is_firm: bool


def take_it_for(selling_day: SellingDay, *, now: datetime) -> TakeItPage:
    """Weigh a selling day against not going, from its terms, lines and plan."""
    plan = plan_for(selling_day, now=now)
    terms = Terms.objects.filter(selling_day=selling_day).first()
    hours = hours_of(selling_day, plan)
    if terms is None:
        sentence = "It cannot be said yet: the terms of the offer are not written."
        return TakeItPage(sentence, None, None, plan, hours, None, None, (), ())
    pay = people_pay()
    found = gather(selling_day, terms, plan, pay, now=now)
    asked, unknown, left_out = lines_asked(found)
    agreed = agreed_terms(terms, selling_day)
    pay_pence = hour_pay(plan.minutes, pay.get(Person.Role.WORKSHOP, 0))
    day = weigh(agreed, asked, pay_pence)
    cash = cash_of(selling_day, terms, agreed, plan, day, pay, now=now)
    without = cash_to(cash.until, now=now) if cash else None
    low = cash.low_pence if cash and cash.knows_bank else None
    return TakeItPage(
        sentence=verdict(day, left_out, low),
        terms=terms,
        day=day,
        plan=plan,
        hours=hours,
        cash=cash,
        cash_without=without,
        direct=direct_sentences(terms, day, found.packing_pence),
        unknown=(*unknown, *unknown_besides(terms, plan, cash, pay)),
    )


def hours_of(selling_day: SellingDay, plan: SellingDayPlan) -> tuple[SumLine, ...]:
    """Add up the minutes that are written down anywhere."""
    parts = [("Cutting", plan.minutes, f"{plan.sheets} sheets, the helper’s time")]
    parts.append((selling_day.name, lasts_minutes(selling_day), "the day itself"))
    return steps([part for part in parts if part[1]])


def people_pay() -> dict[str, int]:
    """Return what an hour of the helper and of the packer costs: one query."""
    people = Person.objects.filter(
        role__in=[Person.Role.WORKSHOP, Person.Role.PACKER], is_active=True
    ).order_by("-pk")
    return {person.role: person.pence_an_hour for person in people}


def weeks_until(day: date, today: date) -> int:
    return max(LEAST_WEEKS, (day - today).days // DAYS_IN_A_WEEK)


def gather(
    selling_day: SellingDay,
    terms: Terms,
    plan: SellingDayPlan,
    pay: Mapping[str, int],
    *,
    now: datetime,
) -> Gathered:
    lines = list(
        selling_day.lines.select_related("item__design", "selling_day").order_by("pk")
    )
    items = [line.item for line in lines]
    yesterday = london_day(now) - timedelta(days=1)
    first = yesterday - timedelta(days=YEAR - 1)
    packer = pay.get(Person.Role.PACKER, 0)
    return Gathered(
        lines=lines,
        plan={line.line_id: line for line in plan.lines},
        prices=prices_of(selling_day, items),
        web_prices=web_prices(items, london_day(now)),
        demand=demand_for(selling_day, lines),
        records=sales_records(items, first_day=first, last_day=yesterday),
        free=free_to_send(selling_day, items, now=now),
        packing_pence=Fraction(PACKING_MINUTES * packer, MINUTES_IN_AN_HOUR),
        weeks=weeks_until(
            paid_by(selling_day, terms) or london_day(selling_day.starts_at),
            london_day(now),
        ),
        is_firm=terms.basis == Terms.Basis.FIRM,
    )


def web_prices(items: Sequence[Item], day: date) -> dict[int, int]:
    """Return what the web shop asks for each item: one query."""
    rows = OutletItem.objects.filter(
        outlet__kind=Outlet.Kind.WEB,
        item__in=[item.pk for item in items],
        valid_from__lte=day,
    ).order_by("valid_from")
    return {row.item_id: row.price_pence for row in rows}


def lines_asked(found: Gathered) -> tuple[list[LineAsked], list[str], int]:
    """Return the lines that can be counted, what is not known, and how many cannot."""
    asked: list[LineAsked] = []
    unknown: list[str] = []
    left_out = 0
    for line in found.lines:
        number = found.plan[line.pk].number
        price = line.price_pence
        if price is None:
            price = found.prices.get(line.item_id)
        if number is None or price is None:
            lacks = "number" if number is None else "price"
            unknown.append(f"{line.item.name} has no {lacks}, so it is left out.")
            left_out += 1
        elif number:
            asked.append(line_asked(line, number, price, found))
            unknown += unknown_of(line, found)
    return asked, unknown, left_out


def line_asked(line: Line, number: int, price: int, found: Gathered) -> LineAsked:
    demand = found.demand[line.pk]
    expected = round(risk_of(demand, number).sold) if demand.is_known else None
    words = "by your guess" if demand.is_guess else "by the record"
    if demand.kind == "record and guess":
        words = "by the record and your guess"
    return LineAsked(
        name=line.item.name,
        money=LineMoney(
            line.item.code,
            price_pence=price,
            material_mills=line.item.cost_mills,
            sent=number,
        ),
        worth_pence=worth_at_home(line, number, found),
        expected=expected,
        expected_words=words,
        worth_words=worth_words(line, found),
    )


def worth_at_home(line: Line, number: int, found: Gathered) -> tuple[int, ...]:
    """Return what each set fetches by post in so many weeks, behind the shelf's own.

    One that is not wanted by then is still there, and counts as its material. So
    does each one without a price or a record by post.
    """
    material = mills_to_pence(line.item.cost_mills)
    if not goes_by_post(line, found):
        return (material,) * number
    record = found.records[line.item_id]
    days = Fraction(found.weeks * DAYS_IN_A_WEEK)
    belief = Belief(record.steady + HALF_A_SALE, float(record.days_in_stock / days))
    by_post = round_half_up(found.web_prices[line.item_id] - found.packing_pence)
    shelf = max(0, found.free[line.item_id] - found.plan[line.pk].from_shelf)
    return worth_left(LearnedDemand(belief), by_post, material, shelf, number)


def goes_by_post(line: Line, found: Gathered) -> bool:
    """Say whether its record can be judged; sales below nought are an error to mend."""
    record = found.records[line.item_id]
    known = record.days_in_stock > 0 and record.steady >= 0
    return known and line.item_id in found.web_prices


def worth_words(line: Line, found: Gathered) -> str:
    if not goes_by_post(line, found):
        return "its material"
    price = show_pounds(found.web_prices[line.item_id])
    return (
        f"by post at {price} less packing, as far as {found.weeks} weeks want them "
        "behind those on the shelf; the others count as their material"
    )


def unknown_of(line: Line, found: Gathered) -> list[str]:
    name, said = line.item.name, []
    if not (found.demand[line.pk].is_known or found.is_firm):
        said.append(
            f"Nobody knows how many of {name} will be wanted: write your own guess."
        )
    if line.item_id not in found.web_prices:
        said.append(
            f"{name} has no price by post, so one at home counts as its material."
        )
    elif not goes_by_post(line, found):
        said.append(
            f"{name} has no record by post, so one at home counts as its material."
        )
    if not line.item.cost_mills:
        said.append(f"{name} has no material cost, so its material counts as nought.")
    return said


def agreed_terms(terms: Terms, selling_day: SellingDay) -> AgreedTerms:
    """Return the terms as the sums take them; her own cost of one home goes first."""
    own = terms.left_over_pence
    return AgreedTerms(
        basis=terms.basis,  # type: ignore[arg-type]
        commission_per_hundred=Fraction(terms.commission_ten_thousandths, 100),
        card_fee_per_hundred=Fraction(terms.card_fee_ten_thousandths, 100),
        card_fee_pence=terms.card_fee_pence,
        customer_returns_per_hundred=Fraction(terms.customer_returns_hundredths),
        spoiled_per_hundred=Fraction(terms.spoiled_hundredths),
        carton_charge_pence=terms.carton_charge_pence if own is None else own,
        carton_holds=max(1, terms.carton_holds) if own is None else 1,
        return_carriage_pence=terms.return_carriage_pence if own is None else 0,
        carriage_out_pence=terms.carriage_out_pence,
        pitch_pence=selling_day.pitch_pence,
        paid_on=terms.paid_on,
    )


def direct_sentences(
    terms: Terms, day: DayWeighed, packing_pence: Fraction
) -> tuple[str, ...]:
    """Say what a direct order brings that we post: before its postage."""
    if not terms.direct_orders:
        return ()
    extra = terms.postage_help_pence - packing_pence
    brings = [
        f"{line.asked.name} {show_pounds(round_half_up(line.sums.net_sold + extra))}"
        for line in day.lines
    ]
    return (
        "Each direct order brings, before the postage that you pay: "
        f"{', '.join(brings)}. How many will come is not known, and none is counted.",
        f"One posted late costs {show_pounds(terms.late_fine_pence)}.",
    )


def unknown_besides(
    terms: Terms, plan: SellingDayPlan, cash: CashLine | None, pay: Mapping[str, int]
) -> list[str]:
    """Say what no figure of the page knows."""
    said = []
    if cash is None:
        said.append(
            "Nobody has written when the money comes: write it in the terms, and the "
            "cash until then is worked out."
        )
    elif not cash.knows_bank:
        said.append(
            "What is in the bank is not written, so only what comes and goes is told."
        )
    if plan.minutes and not pay.get(Person.Role.WORKSHOP):
        said.append("The helper’s pay an hour is not written, so it counts as nought.")
    made = sum(line.to_make for line in plan.to_make)
    if made:
        said.append(f"Making up {made} sets takes time that is not written anywhere.")
    said.append("Travel, packing for the day and your own pay are not counted.")
    return said
