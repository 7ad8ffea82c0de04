"""Put ten years of work behind the demo studio: 200 sizes, 100,000 orders, 1,000,000
movements.

The rows are written straight into the tables of an SQLite file, past the actions,
because a million acts one by one would take an hour. Nothing but speed is gained by
that: the balances are what the movements add up to, and `balance_differences` proves
it afterwards. The demo's own open work stays as it is, on top.

BENCH_POST_MEASURED_YEARS makes a younger book at the same pace, and
BENCH_POST_MEASURED_ORDERS_A_YEAR a quieter one for a quick try; there are always ten
movements for each order.
"""

import random
from collections import Counter
from datetime import UTC, datetime, time, timedelta
from fractions import Fraction

from django.db import connection, transaction

from inventory.models import (
    Design,
    Item,
    Outlet,
    OutletItem,
    PartsLine,
    PartsList,
    Place,
    SalesDay,
    SpellOut,
)
from orders.models import PostFormat, PostService
from production.models import Line, SellingDay, Tally
from studio.models import Person, WorkSession
from tests.measured.row_writer import RowWriter
from tests.measured.years_of_orders import write_orders
from tests.measured.years_of_stock import (
    FIRST_DAY,
    LAST_DAY,
    SIZES,
    YEARS,
    write_balances,
    write_opening,
    write_workshop,
)

PIECES_A_SIZE = 3
SPELLS_A_SIZE_A_YEAR = 2
SELLING_DAYS_A_YEAR = 12
LINES_A_SELLING_DAY = 6
SESSIONS_A_WEEK = 3


class TenYears:
    """Everything the rows point to, and what has been written so far."""

    def __init__(self):
        self.chance = random.Random(2017)
        self.rows = RowWriter()
        self.moved = Counter()
        self.sold = Counter()
        self.movements = 0
        self.places = dict(Place.objects.values_list("code", "pk"))
        by_post = Outlet.objects.filter(kind__in=["web", "phone", "post"])
        self.outlets = list(by_post.values_list("pk", flat=True))
        self.owner = Person.objects.get(role=Person.Role.OWNER)
        self.sheet = Item.objects.filter(kind=Item.Kind.SHEET).first()
        self.sizes = []
        self.pieces = {}
        self.format = PostFormat.objects.first().pk
        self.service = PostService.objects.first().pk

    def write_all(self):
        write_sizes(self)
        write_opening(self)
        write_orders(self)
        write_workshop(self)
        write_balances(self)
        write_selling_days(self)
        write_sales(self)
        self.rows.write()


# ------------------------------------------------------------------ the catalogue


def write_sizes(book):
    """Fill the demo's sizes up to 200, each with pieces, a parts list and prices."""
    there = list(Item.objects.filter(kind=Item.Kind.TEMPLATE_SET))
    designs = [
        Design.objects.create(code=f"D{number:02}", name=f"Design {number}")
        for number in range(10)
    ]
    for number in range(len(there), SIZES):
        size = a_size(book, designs[number % len(designs)], number)
        book.sizes.append(size)


def a_size(book, design, number):
    item = Item.objects.create(
        code=f"S{number:03}",
        name=f"{design.name} set, size {number}",
        kind=Item.Kind.TEMPLATE_SET,
        design=design,
        finished_size=Fraction(number + 8, 4),
        cost_mills=2000 + number,
        grams=60 + number % 90,
        packed_length_mm=200,
        packed_width_mm=150,
        packed_thickness_tenths_mm=65,
        home_place_id=book.places["templates"],
        is_sold=True,
    )
    pieces = [
        Item.objects.create(
            code=f"P{number:03}{letter}",
            name=f"Piece {letter} of size {number}",
            kind=Item.Kind.PIECE,
            grams=20,
            cost_mills=400,
            home_place_id=book.places["pieces"],
        )
        for letter in "ABC"[:PIECES_A_SIZE]
    ]
    book.pieces[item.pk] = [piece.pk for piece in pieces]
    parts_list = PartsList.objects.create(item=item)
    PartsLine.objects.bulk_create(
        PartsLine(parts_list=parts_list, item=piece, count=1) for piece in pieces
    )
    OutletItem.objects.bulk_create(
        OutletItem(
            outlet_id=outlet,
            item=item,
            price_pence=1500 + 10 * number + 25 * year,
            valid_from=FIRST_DAY.replace(year=FIRST_DAY.year + year),
        )
        for outlet in book.outlets
        for year in range(YEARS)
    )
    return item


# ------------------------------------------------------- sales and selling days


def write_sales(book):
    for (outlet, item, day), sold in book.sold.items():
        book.rows.add(
            SalesDay,
            id=book.rows.new_key(SalesDay),
            outlet_id=outlet,
            item_id=item,
            day=day,
            sold=sold,
        )
    SpellOut.objects.bulk_create(
        SpellOut(item=size, began_on=began, ended_on=began + timedelta(days=5))
        for size in book.sizes
        for began in spread(SPELLS_A_SIZE_A_YEAR * YEARS)
    )


def spread(count):
    step = (LAST_DAY - FIRST_DAY) / count
    return [FIRST_DAY + step * number for number in range(count)]


def write_selling_days(book):
    helper = Person.objects.get(role=Person.Role.WORKSHOP)
    WorkSession.objects.bulk_create(
        WorkSession(person=helper, day=day, net_minutes=165, minutes_worked=160)
        for day in spread(SESSIONS_A_WEEK * 52 * YEARS)
    )
    outlet = Outlet.objects.filter(kind=Outlet.Kind.TELEVISION).first()
    for number, day in enumerate(spread(SELLING_DAYS_A_YEAR * YEARS)):
        starts = datetime.combine(day, time(15), UTC)
        slot = SellingDay.objects.create(
            name=f"Slot of {day}",
            kind=SellingDay.Kind.SLOT,
            starts_at=starts,
            ends_at=starts + timedelta(hours=1),
            outlet=outlet,
        )
        for place in range(LINES_A_SELLING_DAY):
            item = book.sizes[(number + place) % len(book.sizes)]
            line = Line.objects.create(
                selling_day=slot, item=item, wanted=40, sent=40, sold=31
            )
            book.sold[outlet.pk, item.pk, str(day)] += line.sold
            Tally.objects.bulk_create(
                Tally(line=line, minute=minute, gone=minute // 2)
                for minute in range(10, 60, 10)
            )


def write_ten_years():
    """Write everything in one transaction, without waiting for the disk."""
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA synchronous=OFF")
        cursor.execute("PRAGMA cache_size=-400000")
    with transaction.atomic():
        book = TenYears()
        book.write_all()
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return book
