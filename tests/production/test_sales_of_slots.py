"""What slots, repeats and fairs sell stands in the sales of their day: once, and right.

Sums worked by hand.
"""

from datetime import date, datetime, timedelta
from importlib import import_module
from types import SimpleNamespace

import pytest
from django.apps import apps

from inventory import actions as stock
from inventory.models import OccasionSales, Outlet, SalesDay
from inventory.queries.sales import sales_records
from production import actions as making
from production.models import Line, SellingDay
from production.queries.take_it import goes_by_post
from tests.factories.production import LONDON, a_channel, a_slot, a_workshop

pytestmark = pytest.mark.django_db

ON_AIR = datetime(2027, 3, 3, 15, 0, tzinfo=LONDON)
DAY = date(2027, 3, 3)


@pytest.fixture
def items():
    return a_workshop(sets={"RF-090": 48})


def a_line(items, code="RF-090", **more):
    line = making.set_line(a_slot(**more), item=items[code], wanted=48)
    return Line.objects.select_related("selling_day__outlet", "item").get(pk=line.pk)


def sales():
    rows = SalesDay.objects.exclude(sold=0).order_by("day", "item__code")
    return [(row.day, row.outlet.code, row.item.code, row.sold) for row in rows]


def test_a_slot_settled_twice_counts_once_and_corrected_downwards_counts_less(items):
    line = a_line(items)
    found = []

    for sold in (31, 31, 29):
        making.set_sold(line, sold=sold)
        found.append(sales())

    before = [(DAY, "tinderbrook", "RF-090", 31)]
    assert found == [before, before, [(DAY, "tinderbrook", "RF-090", 29)]]


def test_taps_on_air_count_the_whole_so_far_never_the_steps(items):
    line = a_line(items)
    making.record_tally(line, minute=10, gone=12)
    making.record_tally(line, minute=20, gone=30)
    making.record_tally(line, minute=20, gone=30)
    tapped = sales()

    making.take_back_tally(line, gone=30)

    assert tapped == [(DAY, "tinderbrook", "RF-090", 30)]
    assert sales() == [(DAY, "tinderbrook", "RF-090", 12)]


def test_taps_then_what_was_written_afterwards_are_one_figure(items):
    line = a_line(items)
    making.record_tally(line, minute=20, gone=30)

    making.set_sold(line, sold=33)

    assert sales() == [(DAY, "tinderbrook", "RF-090", 33)]


def test_a_repeat_and_a_fair_count_at_their_own_outlet_and_day(items):
    fair, _ = Outlet.objects.get_or_create(
        code="fair", defaults={"name": "Fairs", "kind": "fair"}
    )
    repeat = a_line(
        items, kind=SellingDay.Kind.REPEAT, starts_at=ON_AIR + timedelta(days=1)
    )
    stall = a_line(
        items,
        kind=SellingDay.Kind.FAIR,
        starts_at=ON_AIR + timedelta(days=10),
        outlet=fair,
    )
    making.set_sold(repeat, sold=9)
    making.set_sold(stall, sold=4)

    assert sales() == [
        (date(2027, 3, 4), "tinderbrook", "RF-090", 9),
        (date(2027, 3, 13), "fair", "RF-090", 4),
    ]


def test_a_launch_online_counts_by_its_orders_alone(items):
    line = a_line(items, kind=SellingDay.Kind.ONLINE)

    making.set_sold(line, sold=9)

    assert sales() == []


def test_a_day_that_was_put_off_takes_its_sales_along(items):
    line = a_line(items)
    making.set_sold(line, sold=9)

    making.change_selling_day(
        line.selling_day,
        starts_at=ON_AIR + timedelta(days=7),
        ends_at=ON_AIR + timedelta(days=7, hours=1),
    )

    assert sales() == [(date(2027, 3, 10), "tinderbrook", "RF-090", 9)]


def test_a_line_taken_off_sold_nothing(items):
    line = a_line(items)
    making.set_sold(line, sold=9)

    making.drop_line(line)

    assert sales() == []


def test_a_record_corrected_below_nought_judges_nothing(items):
    """The item counts as its material, as one without a record by post does."""
    line, day = a_line(items), date(2027, 2, 10)
    web, _ = Outlet.objects.get_or_create(
        code="web", defaults={"name": "Web shop", "kind": "web"}
    )
    found = []

    for count in (1, -3):
        stock.count_sale(line.item, outlet=web, day=day, count=count)
        records = sales_records([line.item], first_day=day, last_day=DAY)
        known = SimpleNamespace(records=records, web_prices={line.item_id: 2100})
        found.append((records[line.item_id].steady, goes_by_post(line, known)))

    assert found == [(1, True), (-2, False)]


# ------------------------------------------------- a book from before this record


def bring_in():
    import_module("inventory.migrations.0005_occasions_into_sales").bring_in(apps, None)


def test_figures_that_stood_with_their_lines_alone_come_into_the_record(items):
    """The book began on 1 February: typed in before, or missing; then lived, 33 + 2."""
    typed = a_line(items, starts_at=datetime(2026, 4, 15, 15, tzinfo=LONDON))
    missing = a_line(items, starts_at=datetime(2026, 9, 23, 15, tzinfo=LONDON))
    lived = a_line(items)
    for line, sold in ((typed, 24), (missing, 18), (lived, 33)):
        Line.objects.filter(pk=line.pk).update(sold=sold)
    for line, sold in ((typed, 24), (lived, 2)):
        SalesDay.objects.create(
            item=line.item,
            outlet=a_channel(),
            day=line.selling_day.starts_at.date(),
            sold=sold,
        )

    bring_in()

    assert [sold for _, _, _, sold in sales()] == [24, 18, 35]

    making.set_sold(typed, sold=22)
    making.set_sold(lived, sold=30)

    assert [sold for _, _, _, sold in sales()] == [22, 18, 32]


def test_the_bringing_in_can_be_undone(items):
    line = a_line(items)
    Line.objects.filter(pk=line.pk).update(sold=33)
    bring_in()

    import_module("inventory.migrations.0005_occasions_into_sales").take_out(apps, None)

    assert (sales(), OccasionSales.objects.count()) == ([], 0)
