"""The record of sales is proved against orders, selling days and returns.

Sums worked by hand.
"""

from datetime import date, datetime, timedelta

import pytest
from django.core.management import call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory import actions as stock
from inventory.models import OccasionSales, SalesDay
from orders import actions as desk
from production import actions as making
from production.models import Line
from studio.days import LONDON
from studio.sales_proof import mend_sales, sales_differences
from tests.factories.orders import MORNING, a_set, an_order, an_outlet, new_id
from tests.factories.production import a_slot

pytestmark = pytest.mark.django_db

LATE = datetime(2027, 3, 1, 23, 30, tzinfo=LONDON)
SUMMER = datetime(2026, 7, 1, 0, 30, tzinfo=LONDON)
MARCH_1 = date(2027, 3, 1)


def words():
    return [str(one) for one in sales_differences()]


def a_line(item, sold):
    line = making.set_line(a_slot(), item=item, wanted=40)
    making.set_sold(line, sold=sold)
    return line


def a_lived_book():
    """Orders whole, part refunded, cancelled, swapped, free and returned; a slot."""
    ring, other = a_set(held=30), a_set("FB-02")
    an_order((ring, 3), placed_at=LATE)
    refunded = an_order((ring, 2), (other, 1), placed_at=LATE)
    desk.refund_line(refunded.lines.first(), now=MORNING)
    desk.cancel_order(an_order((ring, 1)), now=MORNING)
    swapped = an_order((ring, 1))
    desk.agree_swap(
        swapped.lines.get(),
        item=other,
        refund_pence=0,
        request_id=new_id(),
        now=MORNING,
    )
    an_order((ring, 1), kind="goodwill", paid="free")
    went = an_order((ring, 4), placed_at=LATE)
    desk.collect_order(went, request_id=new_id(), now=MORNING)
    desk.take_return(went.lines.get(), count=1, request_id=new_id(), now=MORNING)
    a_line(ring, 24)
    return ring


def test_a_book_that_was_lived_in_agrees():
    """3 + 4 on 1 March, 1 of them back; 1 swapped on the 2nd; 24 on air on the 3rd."""
    ring = a_lived_book()

    assert words() == []
    rows = SalesDay.objects.filter(item=ring).exclude(sold=0).order_by("day")
    assert [(row.sold, row.returned) for row in rows] == [(7, 1), (1, 0), (24, 0)]


def test_an_order_undone_and_done_again_agrees():
    order = an_order((a_set(), 2))
    desk.collect_order(order, request_id=new_id(), now=MORNING)
    desk.take_collection_back(order, request_id=new_id(), now=MORNING)
    desk.cancel_order(order, now=MORNING)
    desk.reopen_order(order, request_id=new_id(), now=MORNING)

    assert words() == []
    assert SalesDay.objects.get().sold == 2


def test_a_day_is_a_day_in_london():
    """Half past midnight in summer is the day before in UTC."""
    ring = a_set()
    an_order((ring, 1), placed_at=SUMMER, now=MORNING)

    assert sales_differences(since=date(2026, 1, 1)) == []
    assert SalesDay.objects.get().day == date(2026, 7, 1)


def test_each_day_that_differs_is_named_with_both_figures():
    ring = a_set()
    an_order((ring, 3), placed_at=LATE)
    SalesDay.objects.update(sold=5, returned=1)

    assert words() == [
        "RF-090, Outlet web, Mon 1 March 2027: the record says 5 sold and 1 back; "
        "orders, selling days and returns add up to 3 sold."
    ]


def test_a_day_of_which_the_record_knows_nothing_is_found():
    ring = a_set()
    an_order((ring, 3), placed_at=LATE)
    SalesDay.objects.all().delete()

    assert [one.added_up for one in sales_differences()] == [(3, 0)]


def test_two_days_that_make_up_for_each_other_are_two_differences():
    ring = a_set()
    an_order((ring, 3), placed_at=LATE)
    SalesDay.objects.update(day=MARCH_1 + timedelta(days=1))

    assert len(words()) == 2


def test_what_was_typed_in_from_before_the_book_began_is_left_out():
    """The book began on 1 February: that day and all before it are not compared."""
    ring = a_set()
    for day in (date(2026, 12, 24), date(2027, 2, 1)):
        stock.count_sale(ring, outlet=an_outlet(), day=day, count=2)

    assert words() == []

    stock.count_sale(ring, outlet=an_outlet(), day=date(2027, 2, 2), count=2)
    assert len(words()) == 1


def test_an_empty_book_agrees():
    assert words() == []


def test_mending_writes_the_days_as_they_add_up():
    ring = a_lived_book()
    before = list(SalesDay.objects.order_by("pk").values_list("sold", "returned"))
    SalesDay.objects.filter(item=ring).update(sold=9, returned=3)

    # Its four days: of the cancelled, free and swapped one, 1 March and the slot.
    assert mend_sales() == SalesDay.objects.filter(item=ring).count()
    assert list(SalesDay.objects.order_by("pk").values_list("sold", "returned")) == (
        before
    )
    assert mend_sales() == 0


def test_a_slot_whose_figure_never_came_in_is_mended_and_can_be_corrected():
    line = a_line(a_set(), 24)
    Line.objects.filter(pk=line.pk).update(sold=30)
    OccasionSales.objects.all().delete()
    SalesDay.objects.all().delete()

    mend_sales()
    making.set_sold(line, sold=28)

    assert (SalesDay.objects.get().sold, words()) == (28, [])


def test_the_questions_do_not_grow_with_the_orders():
    ring = a_set(held=30)
    counts = []

    for _ in range(2):
        an_order((ring, 1))
        with CaptureQueriesContext(connection) as asked:
            sales_differences()
        counts.append(len(asked))

    assert counts == [5, 5]


# --------------------------------------------------------------- the command


def test_the_command_names_the_day_and_says_what_to_do(capsys):
    an_order((a_set(), 3), placed_at=LATE)
    SalesDay.objects.update(sold=5)

    with pytest.raises(SystemExit) as ended:
        call_command("verify")

    printed = capsys.readouterr().out
    assert ended.value.code == 1
    assert "Mon 1 March 2027: the record says 5 sold; orders" in printed
    assert "1 days of sales, each item and outlet apart: 1 do not agree." in printed
    assert "run the same line with --sales" in printed
    assert "No balance was changed" not in printed


def test_the_command_mends_the_sales_when_asked(capsys):
    an_order((a_set(), 3), placed_at=LATE)
    SalesDay.objects.update(sold=5)

    call_command("verify", sales=True)

    printed = capsys.readouterr().out
    assert "Days of sales written as they add up: 1." in printed
    assert "1 days of sales, each item and outlet apart: all agree." in printed
    assert SalesDay.objects.get().sold == 3
