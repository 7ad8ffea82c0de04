"""The year before, counted by a second route: straight from the files, by hand sums."""

import csv
from collections import Counter
from datetime import date, timedelta
from fractions import Fraction

import pytest

from inventory.models import Item, SalesDay, SpellOut
from inventory.slot_demand import at_least_demand
from production.models import Line, SellingDay
from production.queries.sizes import sizes_to_make
from studio.demo.files import FOLDER, moment

LAST_DAY = date(2027, 3, 2)
FIRST_DAY = LAST_DAY - timedelta(days=363)


def plain_rows(path):
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def steady_from_the_files(code):
    """Count web, telephone and post: the old list, then the order files."""
    old = sum(
        int(row["sold"])
        for row in plain_rows(FOLDER / "sales_history.csv")
        if row["item"] == code
        and row["outlet"] in ("web", "phone", "post")
        and row["day"] >= FIRST_DAY.isoformat()
    )
    new = 0
    for path in (FOLDER / "orders").glob("*.csv"):
        for row in plain_rows(path):
            day, month, year = row["Placed"].split()[0].split("/")
            placed = date(int(year), int(month), int(day))
            is_sale = row["Paid on"] != "no charge"
            if row["Item"] == code and is_sale and placed <= LAST_DAY:
                new += int(row["Number"])
    return old + new


def lines_at(now):
    designs = sizes_to_make(today=now.date(), now=now, cover_days=42)
    return {line.item.code: line for design in designs for line in design.lines}


@pytest.mark.parametrize(
    "code", ["SG-030", "SG-045", "SG-090", "RF-045", "RF-090", "RF-135", "BK-030"]
)
def test_a_years_sales_of_a_size_are_those_of_the_files(demo, code):
    assert lines_at(demo)[code].record.steady == steady_from_the_files(code)


def test_days_in_stock_leave_out_the_three_spells(demo):
    """11 Apr–30 May 49, 18 Jul–12 Sep 56, 21 Nov–9 Jan 49 days: 154 of 364.

    The last six SG-045 left by Tue 2 March; from when the promise stood at nought the
    book itself opened a spell, whose days up to 2 March come on top.
    """
    spell = SpellOut.objects.get(item__code="SG-045", ended_on=None)
    since = (LAST_DAY - spell.began_on).days + 1

    record = lines_at(demo)["SG-045"].record

    assert record.days_out == 154 + since
    assert record.days == 364


def test_the_size_that_was_out_sells_faster_than_the_one_that_was_always_there(demo):
    lines = lines_at(demo)
    middle, large = lines["SG-045"], lines["SG-090"]

    assert middle.record.days_in_stock < large.record.days_in_stock
    assert middle.rate.per_week > large.rate.per_week
    assert middle.rate.low_80 < middle.rate.per_week < middle.rate.high_80


def test_what_is_owed_is_added_to_what_should_be_made(demo):
    line = lines_at(demo)["SG-045"]

    assert (line.free, line.planned) == (-2, 2)
    assert line.make == line.enough
    assert "2 are owed and 2 are planned" in line.reason


def test_television_and_fairs_stand_apart_from_the_steady_trade(demo):
    """RF-090 on six slots: 24 + 18 + 40 + 22 + 30 + 26 = 160; fairs 7 + 6 = 13."""
    record = lines_at(demo)["RF-090"].record

    assert (record.television, record.fairs) == (160, 13)


def test_the_six_slots_are_the_record_of_the_comparable_set(demo):
    """Worked by hand: above 18, 22, 24, 26 the curve stands at 5/6, 2/3, 1/2, 1/3."""
    lines = Line.objects.filter(
        item__code="RF-090", selling_day__starts_at__lt=moment("2027-02-01 00:00")
    ).exclude(selling_day__kind=SellingDay.Kind.FAIR)
    records = [(line.sold, line.sold_out_minute is not None) for line in lines]

    curve = at_least_demand(records)

    assert Counter(records) == Counter(
        [(18, False), (22, False), (24, False), (26, False), (30, True), (40, True)]
    )
    assert [step.share_above for step in curve.steps][:4] == [
        Fraction(5, 6),
        Fraction(2, 3),
        Fraction(1, 2),
        Fraction(1, 3),
    ]


def test_no_sale_was_kept_for_a_day_on_which_there_was_none_to_sell(demo):
    for spell in SpellOut.objects.exclude(ended_on=None).filter(
        began_on__lt=date(2027, 2, 21)
    ):
        sold = SalesDay.objects.filter(
            item=spell.item, day__gte=spell.began_on, day__lt=spell.ended_on
        ).exclude(outlet__kind__in=("television", "fair"))
        assert list(sold) == []


def test_everything_sold_has_a_history(demo):
    without = Item.objects.filter(is_sold=True, sales_days=None)

    assert list(without) == []
