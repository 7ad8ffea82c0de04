"""The record that all of "which sizes next" rests on: sales, returns, days in stock.

Sums and days worked by hand.
"""

from datetime import date, datetime, timedelta
from fractions import Fraction

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory import actions as stock
from inventory.errors import NotACount, SameRequestOtherContent
from inventory.models import (
    ClosedSpell,
    Item,
    OccasionSales,
    Outlet,
    SaleReturn,
    SalesDay,
    SpellOut,
)
from inventory.queries.sales import sales_records
from inventory.queries.sales_by_outlet import (
    group_sales_by_outlet,
    group_size_sales,
    sales_by_outlet,
    size_sales,
)
from inventory.selling.rates import Occasions, SizeSales, honest_sizes
from studio.days import LONDON
from tests.factories.production import an_item, new_id

pytestmark = pytest.mark.django_db

BEGAN = datetime(2027, 2, 1, 9, 0, tzinfo=LONDON)
TODAY = date(2027, 3, 3)
SALE_DAY = date(2027, 2, 10)
# The record from 1 February up to the day before 3 March.
THIRTY_DAYS = 30


def moment(day, hour=9):
    return datetime(day.year, day.month, day.day, hour, tzinfo=LONDON)


def an_outlet(code="web", kind="web"):
    outlet, _ = Outlet.objects.get_or_create(
        code=code, defaults={"name": code.title(), "kind": kind}
    )
    return outlet


def a_size(code="RF-090", size="9", held=20, now=BEGAN, **more):
    return an_item(
        code, "set", held, now=now, is_sold=True, finished_size=Fraction(size), **more
    )


def sold(item, count, day=SALE_DAY, outlet=None):
    stock.count_sale(item, outlet=outlet or an_outlet(), day=day, count=count)


def came_back(item, count, request_id=None, outlet=None, day=SALE_DAY):
    return stock.count_return(
        item,
        outlet=outlet or an_outlet(),
        day=day,
        count=count,
        request_id=request_id or new_id(),
        now=moment(TODAY),
    )


def occasion(item, count, *, day=SALE_DAY, reference="selling day 1", **more):
    outlet = more.pop("outlet", None) or an_outlet("tinderbrook", "television")
    stock.count_occasion(
        item, outlet=outlet, day=day, reference=reference, sold=count, **more
    )


def out(item, first, end=None):
    SpellOut.objects.create(item=item, began_on=first, ended_on=end)


def of_outlet(item, code="web"):
    found = sales_by_outlet([item], first_day=BEGAN.date(), last_day=date(2027, 3, 2))
    [one] = [sales for sales in found[item.pk] if sales.outlet.code == code]
    return one


def size(item, **more):
    return size_sales([item], today=TODAY, **more)[item.pk]


# ------------------------------------------------------------ what came back


def test_a_return_comes_off_the_day_of_the_sale():
    nine = a_size()
    sold(nine, 5)

    came_back(nine, 2)

    [row] = SalesDay.objects.all()
    assert (row.day, row.sold, row.returned) == (SALE_DAY, 5, 2)
    assert (of_outlet(nine).sold, of_outlet(nine).returned) == (5, 2)
    assert size(nine).kept == 3


def test_the_same_return_said_twice_counts_once():
    nine, request_id = a_size(), new_id()
    sold(nine, 5)

    for _ in range(2):
        came_back(nine, 2, request_id)

    assert size(nine).returned == 2
    assert SaleReturn.objects.count() == 1


def test_the_same_request_for_another_return_is_refused():
    nine, request_id = a_size(), new_id()
    came_back(nine, 2, request_id)

    with pytest.raises(SameRequestOtherContent):
        came_back(nine, 1, request_id)
    with pytest.raises(NotACount):
        came_back(nine, 0)

    assert size(nine).returned == 2


def test_a_return_taken_back_twice_is_taken_back_once():
    nine = a_size()
    sold(nine, 5)
    found = came_back(nine, 2)

    for _ in range(2):
        stock.take_back_return(found, now=moment(TODAY))

    assert (size(nine).sold, size(nine).returned) == (5, 0)


def test_a_return_follows_the_entry_it_came_in_with():
    """Taken back it is no return; its taking back taken back, it is one again."""
    nine = a_size()
    tray = stock.ensure_place("returns", "Returns tray", kind="tray")
    entry = stock.move_stock(
        nine,
        count=1,
        from_place=stock.outside_place("sold"),
        to_place=tray,
        request_id=new_id(),
        now=moment(TODAY),
        to_state="to-look-at",
        verb="came-back",
    )
    stock.count_return(
        nine,
        outlet=an_outlet(),
        day=SALE_DAY,
        count=1,
        request_id=new_id(),
        now=moment(TODAY),
        entry=entry,
    )
    found = []

    for _ in range(3):
        found.append(size(nine).returned)
        entry = stock.take_back_entry(entry, request_id=new_id(), now=moment(TODAY))

    assert found == [1, 0, 1]


def test_more_back_than_sold_reads_below_nought_and_is_said():
    nine = a_size()
    sold(nine, 1)
    came_back(nine, 3)

    assert of_outlet(nine).kept == -2
    assert size(nine).kept == -2
    [line] = honest_sizes([size(nine)]).lines
    assert (line.rate, line.share) == (None, None)
    assert line.sentence.startswith("Cannot say: 3 came back and only 1 went out.")


# ----------------------------------------------------------------- occasions


def test_a_slot_settled_twice_counts_once():
    nine = a_size()

    for _ in range(2):
        occasion(nine, 24)

    assert [row.sold for row in SalesDay.objects.all()] == [24]
    assert size(nine).television == Occasions(24, times=1)


def test_a_slot_corrected_downwards_takes_the_difference_off():
    nine = a_size()
    occasion(nine, 24)

    occasion(nine, 21)

    assert size(nine).television.sold == 21


def test_a_slot_whose_figure_is_not_known_any_more_sold_nothing():
    nine = a_size()
    occasion(nine, 24)

    occasion(nine, None)

    assert size(nine).television == Occasions()
    assert not OccasionSales.objects.exists()


def test_a_slot_moved_to_another_day_takes_its_sales_along():
    nine, later = a_size(), SALE_DAY + timedelta(days=7)
    occasion(nine, 24)

    occasion(nine, 25, day=later)

    assert [(row.day, row.sold) for row in SalesDay.objects.order_by("day")] == [
        (SALE_DAY, 0),
        (later, 25),
    ]


def test_two_slots_of_one_day_and_an_order_by_the_channel_add_up():
    nine = a_size()
    sold(nine, 3, outlet=an_outlet("tinderbrook", "television"))
    occasion(nine, 24)
    occasion(nine, 10, reference="selling day 2")

    occasion(nine, 20)

    assert size(nine).television == Occasions(33, times=2)


def test_what_was_typed_in_before_is_not_counted_again_but_can_be_corrected():
    nine = a_size()
    sold(nine, 24, outlet=an_outlet("tinderbrook", "television"))
    occasion(nine, 24, already=24)
    typed = size(nine).television.sold

    occasion(nine, 22, already=22)

    assert (typed, size(nine).television.sold) == (24, 22)


def test_an_hour_that_sold_none_is_an_hour_all_the_same():
    nine = a_size()

    occasion(nine, 0)

    told = size(nine, minutes_on_air={nine.pk: 60})
    assert told.television == Occasions(0, 60, 1)


def test_television_and_fairs_are_no_part_of_the_steady_trade():
    nine = a_size()
    sold(nine, 4)
    occasion(nine, 24)
    occasion(nine, 7, reference="selling day 2", outlet=an_outlet("fair", "fair"))

    told = size(nine)

    assert (told.sold, told.television.sold, told.fairs.sold) == (4, 24, 7)
    assert of_outlet(nine, "tinderbrook").days_in_stock == 0
    assert of_outlet(nine, "fair").times == 1


def test_a_correction_may_bring_a_day_below_nought():
    """Sold 2 and corrected by 5: -3 stand, beside 1 at another outlet."""
    nine = a_size()
    sold(nine, 2)
    sold(nine, -5)
    sold(nine, 1, outlet=an_outlet("phone", "phone"))

    assert (of_outlet(nine).sold, of_outlet(nine, "phone").sold) == (-3, 1)
    assert size(nine).kept == -2
    record = sales_records([nine], first_day=BEGAN.date(), last_day=date(2027, 3, 2))
    assert record[nine.pk].steady == -2
    assert honest_sizes([size(nine)]).lines[0].rate is None


# -------------------------------------------------------------- days in stock


def test_days_out_of_stock_and_days_closed_are_not_days_in_stock():
    """30 days; out 10-19 February: 10; closed 15-24 February: 10, 5 of them both.

    In stock 30 - 15 = 15; out while somebody could have bought 5.
    """
    nine = a_size()
    out(nine, date(2027, 2, 10), date(2027, 2, 20))
    ClosedSpell.objects.create(
        outlet=an_outlet(), began_on=date(2027, 2, 15), ended_on=date(2027, 2, 25)
    )

    assert (of_outlet(nine).days_in_stock, of_outlet(nine).days_out) == (15, 5)
    assert (size(nine).days_in_stock, size(nine).days_out) == (15, 5)


def test_a_day_is_closed_only_where_no_outlet_of_the_steady_trade_was_open():
    nine = a_size()
    an_outlet("fair", "fair")
    for code, last in (("web", 20), ("phone", 14)):
        ClosedSpell.objects.create(
            outlet=an_outlet(code, code),
            began_on=date(2027, 2, 10),
            ended_on=date(2027, 2, last + 1),
        )

    assert of_outlet(nine, "web").days_in_stock == THIRTY_DAYS - 11
    assert of_outlet(nine, "phone").days_in_stock == THIRTY_DAYS - 5
    assert size(nine).days_in_stock == THIRTY_DAYS - 5


def test_closing_an_outlet_keeps_the_days_until_it_opens_again():
    web = an_outlet()
    for is_open, day in ((False, 10), (False, 11), (True, 15), (False, 20), (True, 20)):
        stock.change_outlet(
            web, name="Web", is_open=is_open, now=moment(date(2027, 2, day))
        )

    [spell] = ClosedSpell.objects.all()
    assert (spell.began_on, spell.ended_on) == (date(2027, 2, 10), date(2027, 2, 15))


def test_a_size_that_came_into_the_book_later_is_judged_from_then():
    a_size("RF-045", "9/2")
    later = a_size(now=moment(date(2027, 2, 21)))

    assert size(later).days_in_stock == 10


def test_a_size_sold_on_paper_before_is_judged_from_where_the_book_begins():
    """Sales typed in from 2 January: 60 days up to 2 March."""
    nine, other = a_size(), a_size("RF-045", "9/2")
    sold(other, 1, day=date(2027, 1, 2))

    assert [size(one).days_in_stock for one in (nine, other)] == [60, 60]


def test_a_size_that_was_never_in_stock_has_no_days():
    a_size("RF-045", "9/2")
    nine = a_size(held=0)

    told = size(nine)

    assert (told.days_in_stock, told.days_out) == (0, 30)
    assert honest_sizes([told]).lines[0].rate is None


def test_a_book_without_any_act_says_nothing_of_a_size():
    gone = an_item(
        "RF-200", "set", 0, now=BEGAN, is_sold=False, finished_size=Fraction(20)
    )

    assert honest_sizes([size(gone)]).lines[0].rate is None


def test_no_day_counts_before_the_book_began():
    nine = a_size()

    assert size(nine, days=364).days_in_stock == THIRTY_DAYS
    assert size(nine, days=7).days_in_stock == 7


# ---------------------------------------------------------- two designs merged


def test_two_designs_merged_take_the_union_of_their_days():
    """One out 5-14 February, the other 10-19: none was there 10-14, 5 days."""
    nine, old = a_size(), a_size("RX-090")
    out(nine, date(2027, 2, 5), date(2027, 2, 15))
    out(old, date(2027, 2, 10), date(2027, 2, 20))
    sold(nine, 3, day=date(2027, 2, 20))
    sold(old, 2, day=date(2027, 2, 21))

    told = group_size_sales({"9 in": [nine, old]}, today=TODAY)["9 in"]

    assert told == SizeSales("9 in", sold=5, returned=0, days_in_stock=25, days_out=5)


def test_one_hour_that_offered_both_of_two_merged_designs_is_one_hour():
    nine, old = a_size(), a_size("RX-090")
    for item in (nine, old):
        occasion(item, 6)
    window = {"first_day": BEGAN.date(), "last_day": date(2027, 3, 2)}

    [air] = group_sales_by_outlet({"both": [nine, old]}, **window)["both"]

    assert (air.sold, air.times) == (12, 1)


def test_an_outlet_alone_is_judged_by_its_own_days():
    nine = a_size()
    sold(nine, 6)
    occasion(nine, 24)
    ClosedSpell.objects.create(outlet=an_outlet(), began_on=date(2027, 2, 21))

    web = of_outlet(nine).as_size("9 in")
    air = of_outlet(nine, "tinderbrook").as_size("9 in", minutes=50)

    assert web == SizeSales("9 in", 6, 0, days_in_stock=20)
    assert air == SizeSales("9 in", 0, 0, 0, television=Occasions(24, 50, 1))


# ------------------------------------------------------------------ questions


def test_two_hundred_sizes_ask_the_book_as_often_as_one():
    for number in range(200):
        Item.objects.create(
            code=f"S-{number:03}", name="A size", kind="set", is_sold=True
        )
    items = list(Item.objects.all())
    ClosedSpell.objects.create(outlet=an_outlet(), began_on=SALE_DAY)
    counts = []

    for some in (items[:1], items):
        with CaptureQueriesContext(connection) as asked:
            size_sales(some, today=TODAY)
        counts.append(len(asked))

    assert counts[0] == counts[1] <= 9
