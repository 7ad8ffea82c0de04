"""Write years of orders: taken in by file, posted the same day, told to the buyer."""

from dataclasses import dataclass
from datetime import time, timedelta

from inventory.models import Claim, Entry
from orders.models import (
    Customer,
    FileMatch,
    FileRow,
    FileRun,
    Message,
    Order,
    OrderLine,
    Packet,
    PacketLine,
    PostRun,
)
from tests.measured.years_of_stock import (
    FIRST_DAY,
    LAST_DAY,
    ORDERS,
    add_entry,
    stored,
)

ORDERS_A_CUSTOMER = 4


@dataclass(frozen=True)
class When:
    """A day, and the moments its orders come and go, as SQLite keeps them."""

    day: str
    placed: str
    posted: str


def write_orders(book):
    """Spread the orders over the working days; each day's go out that afternoon."""
    days = working_days(FIRST_DAY, LAST_DAY)
    match = FileMatch.objects.first().pk
    number = 0
    for place, day in enumerate(days, start=1):
        upto = ORDERS * place // len(days)
        if upto > number:
            write_day(book, match, day, range(number, upto))
        number = upto


def working_days(first, last):
    span = (last - first).days + 1
    days = (first + timedelta(days=number) for number in range(span))
    return [day for day in days if day.weekday() < 5]


def write_day(book, match, day, numbers):
    when = When(str(day), stored(day, time(9, 30)), stored(day, time(15, 30)))
    run, file_run = book.rows.new_key(PostRun), book.rows.new_key(FileRun)
    book.rows.add(
        PostRun,
        id=run,
        day=when.day,
        made_at=when.posted,
        request_id=book.rows.new_request(),
    )
    book.rows.add(
        FileRun,
        id=file_run,
        match_id=match,
        file_name=f"{day}.csv",
        digest=f"{file_run:064}",
        read_at=when.placed,
        rows=len(numbers),
        added=len(numbers),
        request_id=book.rows.new_request(),
    )
    for place, number in enumerate(numbers, start=1):
        order = write_order(book, number, when)
        lines = write_lines(book, order, number, when)
        write_packet(book, order, number, (run, place), when, lines)
        write_traces(book, order, (file_run, place), when)


def write_order(book, number, when):
    person = number // ORDERS_A_CUSTOMER
    door, name = f"{person}|weir lane|zy47tq", f"Buyer {person}"
    if number % ORDERS_A_CUSTOMER == 0:
        book.rows.add(
            Customer,
            id=book.rows.new_key(Customer),
            name=name,
            doorstep=door,
            address=f"{person} Weir Lane, Marrowick, ZY4 7TQ",
            first_seen_at=when.placed,
        )
    order = book.rows.new_key(Order)
    book.rows.add(
        Order,
        id=order,
        number=f"T-{number:06}",
        state=Order.State.POSTED.value,
        outlet_id=book.outlets[number % len(book.outlets)],
        customer_id=book.rows.last_key(Customer),
        placed_at=when.placed,
        typed_in_at=when.placed,
        paid=Order.Paid.PAID.value,
        paid_at=when.placed,
        recipient_name=name,
        address_lines=f"{person} Weir Lane",
        town="Marrowick",
        postcode="ZY4 7TQ",
        doorstep=door,
        posted_on=when.day,
        request_id=book.rows.new_request(),
    )
    return order


def write_lines(book, order, number, when):
    """Write one to three lines with their closed claims; return key and item."""
    lines = []
    outlet = book.outlets[number % len(book.outlets)]
    for size in book.chance.sample(book.sizes, 1 + number % 3):
        claim, line = book.rows.new_key(Claim), book.rows.new_key(OrderLine)
        book.rows.add(
            Claim,
            id=claim,
            item_id=size.pk,
            count=1,
            kind=Claim.Kind.PAID.value,
            label=f"T-{number:06}",
            reference=f"T-{number:06}",
            outlet_id=outlet,
            ranks_at=when.placed,
            opened_at=when.placed,
            closed_at=when.posted,
            closed_how=Claim.ClosedHow.GONE.value,
            request_id=book.rows.new_request(),
        )
        book.rows.add(
            OrderLine,
            id=line,
            order_id=order,
            item_id=size.pk,
            sends_id=size.pk,
            count=1,
            gone=1,
            price_pence=1999,
            claim_id=claim,
        )
        book.sold[outlet, size.pk, when.day] += 1
        lines.append((line, size.pk))
    return lines


def write_packet(book, order, number, place_in_run, when, lines):
    shelf, sold = book.places["templates"], book.places["sold"]
    moves = [(item, 1, shelf, sold) for _, item in lines]
    entry = add_entry(book, Entry.Verb.SOLD.value, when.posted, moves, f"T-{number:06}")
    packet, (run, place) = book.rows.new_key(Packet), place_in_run
    book.rows.add(
        Packet,
        id=packet,
        run_id=run,
        number=place,
        state=Packet.State.POSTED.value,
        short_code=f"T{number:06}",
        format_id=book.format,
        service_id=book.service,
        grams=120,
        thickness_tenths_mm=95,
        postage_pence=165,
        minutes=4,
        packed_at=when.posted,
        posted_at=when.posted,
        entry_id=entry,
    )
    through = Packet.orders.through
    book.rows.add(
        through, id=book.rows.new_key(through), packet_id=packet, order_id=order
    )
    for line, _ in lines:
        book.rows.add(
            PacketLine,
            id=book.rows.new_key(PacketLine),
            packet_id=packet,
            order_line_id=line,
            count=1,
        )


def write_traces(book, order, place_in_file, when):
    """Write the row of the file the order came from, and what the buyer was told."""
    file_run, place = place_in_file
    book.rows.add(
        FileRow,
        id=book.rows.new_key(FileRow),
        run_id=file_run,
        line_number=place,
        outcome=FileRow.Outcome.ADDED.value,
        cells='{"Buyer": "as typed"}',
        order_id=order,
    )
    book.rows.add(
        Message,
        id=book.rows.new_key(Message),
        order_id=order,
        about="posted",
        text="Your packet is in the post.",
        said_at=when.posted,
    )
