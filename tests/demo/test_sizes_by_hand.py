"""What the demo's own year says of its sizes, worked by hand from its record."""

from datetime import date, timedelta
from math import comb

import pytest

from inventory.models import Item
from inventory.queries.sales import sales_records
from inventory.queries.sales_by_outlet import size_sales
from inventory.selling.rates import Occasions, SizeSales, honest_sizes
from studio.lengths import show_inches
from studio.sales_proof import sales_differences

LAST_DAY = date(2027, 3, 2)
FIRST_DAY = LAST_DAY - timedelta(days=363)


def told_of(design):
    items = list(
        Item.objects.filter(design__code=design, is_sold=True).order_by("code")
    )
    records = sales_records(items, first_day=FIRST_DAY, last_day=LAST_DAY)
    return honest_sizes(
        [
            SizeSales(
                show_inches(item.finished_size) + " in",
                sold=record.steady,
                returned=0,
                days_in_stock=record.days_in_stock,
                days_out=record.days_out,
                television=Occasions(record.television),
                fairs=Occasions(record.fairs),
            )
            for item in items
            if item.finished_size is not None
            for record in [records[item.pk]]
        ]
    )


def test_the_record_of_each_size_is_that_of_the_files(demo):
    """Steady, days in stock and out, on air in six slots and at two fairs."""
    items = Item.objects.filter(design__code="RF", is_sold=True).order_by("code")

    found = size_sales(items, today=demo.date())

    assert list(found.values()) == [
        SizeSales("4½ in", 109, 0, 364, 0, Occasions(109, 0, 6), Occasions(9, 0, 2)),
        SizeSales("9 in", 170, 0, 336, 28, Occasions(160, 0, 6), Occasions(13, 0, 2)),
        SizeSales("13½ in", 50, 0, 294, 70),
    ]


def test_the_sales_since_the_book_began_are_those_of_its_orders_and_days(demo):
    assert sales_differences() == []


def test_rates_shares_and_what_was_missed_of_a_design_in_three_sizes(demo):
    """109 in 52 weeks, 170 in 48, 50 in 42: 2.096, 3.542 and 1.190, in all 6.828.

    Out for 4 weeks at 3.542 is 14.2 missed; for 10 weeks at 1.190, 11.9.
    """
    lines = told_of("RF").lines

    assert [line.sales.kept for line in lines] == [109, 170, 50]
    assert [line.rate.per_week for line in lines] == pytest.approx(
        [109 / 52, 170 / 48, 50 / 42]
    )
    assert [round(line.share, 3) for line in lines] == [0.307, 0.519, 0.174]
    assert [round(line.missed.likely, 1) for line in lines] == [0.0, 14.2, 11.9]


def test_an_hour_on_television_stays_out_of_the_rate(demo):
    """Six slots sold 160 of the nine-inch, two fairs 13."""
    nine = told_of("RF").lines[1]

    assert nine.apart == (
        "160 sold on television; the minutes on air are not written.",
        "13 sold at fairs.",
    )
    assert nine.rate.sold == 170


def test_the_lead_of_the_nine_inch_is_proved_by_whole_numbers(demo):
    """If both sold alike, 170 of 279 sales are binomial with part 336 / 700."""
    [first, _] = told_of("RF").gaps

    part, rest = 336, 700 - 336
    tail = sum(comb(279, k) * part**k * rest ** (279 - k) for k in range(170, 280))
    # Three pairs among three sizes.
    assert first.luck == pytest.approx(3 * 2 * tail / 700**279, rel=1e-9)
    assert first.proved
