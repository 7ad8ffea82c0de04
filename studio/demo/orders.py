"""The demo's orders: read from files as a shop would give them, then dealt with.

What a file cannot say (a collection, a swap agreed, what a free one is for) is done
by the actions a page would call.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, datetime, time, timedelta
from pathlib import Path

from inventory.models import Item, Outlet
from orders import actions as desk
from orders.actions.intake import save_match, take_file
from orders.filereading import guess_columns, read_file
from orders.models import FileMatch, Order
from orders.queries.post_day import post_day
from studio.days import at_clock
from studio.demo.files import FOLDER, act, moment
from studio.models import Person

POSTED_ON = (
    "2027-02-23",
    "2027-02-24",
    "2027-02-25",
    "2027-02-26",
    "2027-03-01",
    "2027-03-02",
)
# When a day's file was read; the others were read late on their own day.
READ_AT = {
    "2027-02-24-mislaid": "2027-03-03 08:00",
    "2027-02-28-web": "2027-03-01 18:00",
    "2027-03-01-web": "2027-03-02 22:30",
    "2027-03-01-phone": "2027-03-02 22:31",
    "2027-03-02-web": "2027-03-02 22:32",
    "2027-03-02-phone": "2027-03-02 22:33",
    "2027-03-03-web": "2027-03-03 08:10",
}
DEALT_WITH_AT = moment("2027-03-03 08:20")
LATE = time(23, 30)
LIMIT_BYTES = 1_000_000

Act = tuple[datetime, Callable[[], object]]


def order_acts() -> Iterator[Act]:
    """Return each file read and each pile posted, at its moment."""
    for path in sorted((FOLDER / "orders").glob("*.csv")):
        yield read_at(path), lambda path=path: read_orders(path)  # type: ignore[misc]
    for text in POSTED_ON:
        day = date.fromisoformat(text)
        yield at_clock(day, time(14, 30)), lambda day=day: post(day)  # type: ignore[misc]
    yield DEALT_WITH_AT, deal_with_orders


def read_at(path: Path) -> datetime:
    if path.stem in READ_AT:
        return moment(READ_AT[path.stem])
    return at_clock(date.fromisoformat(path.stem[:10]), LATE)


def outlet_of(path: Path) -> Outlet:
    word = path.stem[11:]
    return Outlet.objects.get(code="web" if word == "mislaid" else word)


def match_for(path: Path, content: bytes) -> FileMatch:
    """Match the columns as she would the first time: by what the file calls them."""
    outlet = outlet_of(path)
    headings = read_file(path.name, content, limit_bytes=LIMIT_BYTES).headings
    return save_match(
        f"{outlet.name} list",
        outlet=outlet,
        columns=guess_columns(headings),
        headings=headings,
    )


def read_orders(path: Path) -> None:
    content = path.read_bytes()
    take_file(
        match_for(path, content),
        file_name=path.name,
        content=content,
        request_id=act(f"file {path.stem}"),
        now=read_at(path),
        by=Person.objects.get(role=Person.Role.OWNER),
    )


def post(day: date) -> None:
    """Print, pack and post everything that can go on a day."""
    now = at_clock(day, time(14, 30))
    packer = Person.objects.get(role=Person.Role.PACKER)
    run = desk.make_post_run(
        day,
        packets=post_day(now).new_figures,
        request_id=act(f"run {day}"),
        now=now,
        by=packer,
    )
    desk.post_packets(
        run.packets.all(),
        request_id=act(f"posted {day}"),
        proof=f"M {day:%d%m}",
        now=now + timedelta(hours=2),
        by=packer,
    )


def order(number: str) -> Order:
    return Order.objects.get(number=number)


def deal_with_orders() -> None:
    """Do what no file can say."""
    now = DEALT_WITH_AT
    desk.set_hold(order("L-0440"), until=moment("2027-03-05 23:59"))
    desk.set_collection(
        order("L-0443"),
        on=date(2027, 3, 13),
        at="Cobbleford Spring Stitch Fair",
        now=now,
    )
    desk.agree_swap(
        order("L-0445").lines.get(),
        item=Item.objects.get(code="FB-02"),
        refund_pence=50,
        request_id=act("swap L-0445"),
        now=now,
    )
    desk.say_why_free(
        order("L-0449"), kind=Order.Kind.GOODWILL, for_order=order("L-0401")
    )
    desk.say_why_free(
        order("L-0450"), kind=Order.Kind.REPLACEMENT, for_order=order("L-0409")
    )
    desk.open_postal_claim(
        order("L-0409"), opened_on=date(2027, 3, 2), note="Broken in the post."
    )
