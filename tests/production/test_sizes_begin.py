"""Sizes in a young book are not judged by days of which it knows nothing."""

from datetime import date, datetime, timedelta

import pytest
from django.urls import reverse

from inventory import actions as stock
from inventory.models import SalesDay
from production.queries.sizes import LEAST_DAYS, sizes_to_make
from studio.days import LONDON
from tests.factories.orders import a_person, an_outlet
from tests.factories.production import an_item, the_studio

pytestmark = pytest.mark.django_db
BEGAN = datetime(2027, 3, 1, 9, 0, tzinfo=LONDON)


def a_young_book(sold_on=()):
    design = stock.add_design(code="HC", name="Honeycomb")
    item = an_item("HC-010", "set", 20, now=BEGAN, design=design, is_sold=True)
    for day in sold_on:
        SalesDay.objects.create(outlet=an_outlet(), item=item, day=day, sold=1)
    return item


def the_line(days_later):
    today = BEGAN.date() + timedelta(days=days_later)
    now = BEGAN + timedelta(days=days_later)
    [design] = sizes_to_make(today=today, now=now, cover_days=42)
    [line] = design.lines
    return line


@pytest.mark.parametrize(
    ("days_later", "days"), [(0, 0), (1, 1), (20, 20), (364, 364), (500, 364)]
)
def test_days_are_counted_from_the_first_that_the_book_knows(days_later, days):
    """Worked by hand: from 1 March up to the day before, a year at most."""
    a_young_book()

    assert the_line(days_later).record.days_in_stock == days


def test_sales_written_down_from_before_begin_the_record():
    a_young_book(sold_on=[date(2027, 2, 19)])

    record = the_line(0).record

    assert (record.days_in_stock, record.steady) == (10, 1)


def test_a_record_of_less_than_two_weeks_says_no_number():
    a_young_book(sold_on=[date(2027, 3, 2)])

    early, late = the_line(LEAST_DAYS - 1), the_line(LEAST_DAYS)

    assert (early.enough, early.make) == (None, 0)
    assert "it can from 14 days in stock on." in early.reason
    assert late.enough is not None


def test_the_page_of_a_young_book_does_not_say_that_nothing_is_needed(
    client, monkeypatch
):
    the_studio()
    a_young_book()
    monkeypatch.setattr("studio.clock.now", lambda: BEGAN + timedelta(days=2))
    client.force_login(a_person())

    page = client.get(reverse("studio:sizes")).content.decode()

    assert "The record is too short to say which sizes want making." in page
    assert "nothing needs making" not in page
