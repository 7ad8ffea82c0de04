"""A small shop with orders in it, built through the studio's own actions."""

from datetime import datetime, time
from itertools import count
from uuid import UUID
from zoneinfo import ZoneInfo

from inventory import actions as stock
from inventory.models import Outlet
from orders import actions as desk
from orders.addresses import parse_one_line
from orders.models import Order, PostFormat, PostPrice, PostService, Wrap
from studio.models import Counter, Person

LONDON = ZoneInfo("Europe/London")
MORNING = datetime(2027, 3, 3, 8, 30, tzinfo=LONDON)
YESTERDAY = datetime(2027, 3, 2, 10, 0, tzinfo=LONDON)
_numbers = count(1)

# Code, kind, limits in mm and g, wrap mm/10 and g, minutes, standard and next-day pence.
BANDS = [
    ("LTR", "Letter", "letter", (240, 165, 5), 100, "envelope", 2, 95, 175),
    (
        "LL250",
        "Large letter",
        "large-letter",
        (353, 250, 25),
        250,
        "mailer",
        4,
        215,
        350,
    ),
    ("SP", "Small parcel", "parcel", (450, 350, 160), 2000, "box", 6, 430, 560),
]
WRAPS = {"envelope": (5, 6), "mailer": (30, 45), "box": (100, 120)}


def new_id():
    """Return a request id that no other form has had."""
    return UUID(int=next(_numbers) + 10**9)


def a_person(name="Merle Oakenby", role="owner"):
    person, _ = Person.objects.get_or_create(name=name, defaults={"role": role})
    return person


def an_outlet(code="web", kind="web"):
    outlet, _ = Outlet.objects.get_or_create(
        code=code, defaults={"name": f"Outlet {code}", "kind": kind}
    )
    return outlet


def a_set(code="RF-090", held=5, **more):
    """A template set that is sold, measured and on the shelf."""
    measures = {
        "packed_length_mm": 160,
        "packed_width_mm": 120,
        "packed_thickness_tenths_mm": 110,
        "grams": 120,
        "is_sold": True,
    }
    return stock.add_item_with_count(
        code=code,
        name=more.pop("name", f"Set {code}"),
        kind=more.pop("kind", "set"),
        count=held,
        request_id=new_id(),
        now=datetime(2027, 2, 1, 9, 0, tzinfo=LONDON),
        **(measures | more),
    )


def asked(*lines, **more):
    """What a form would say: lines of (item, count) or (item, count, pence)."""
    name = more.pop("buyer", "Averil Oddlestone")
    address = more.pop("address", "1 Rope Lane, Marrowick, ZY1 1AP")
    return desk.AskedOrder(
        number=more.pop("number", None) or f"T-{next(_numbers):04}",
        outlet=more.pop("outlet", None) or an_outlet(),
        buyer=desk.Buyer(name, parse_one_line(address)),
        lines=tuple(
            desk.AskedLine(line[0], line[1], line[2] if len(line) > 2 else 2100)
            for line in lines
        ),
        placed_at=more.pop("placed_at", YESTERDAY),
        **more,
    )


def an_order(*lines, request_id=None, now=MORNING, **more):
    """An order in the book; without lines it asks for one set."""
    lines = lines or ((a_set(), 1),)
    return desk.take_order(
        asked(*lines, **more), request_id=request_id or new_id(), now=now
    )


def an_unpaid_order(*lines, **more):
    return an_order(*lines, paid=Order.Paid.AWAITED, **more)


def a_post():
    """A counter, three formats and two services."""
    wraps = {
        code: Wrap.objects.create(
            code=code, name=code.capitalize(), adds_tenths_mm=tenths, adds_grams=grams
        )
        for code, (tenths, grams) in WRAPS.items()
    }
    slow = PostService.objects.create(code="standard", name="Standard", delivery_days=3)
    quick = PostService.objects.create(
        code="next-day", name="Next-day", delivery_days=1
    )
    for rank, band in enumerate(BANDS, start=1):
        code, name, kind, sides, grams, wrap, minutes, *pence = band
        fmt = PostFormat.objects.create(
            code=code,
            name=name,
            kind=kind,
            rank=rank,
            longest_tenths_mm=sides[0] * 10,
            middle_tenths_mm=sides[1] * 10,
            shortest_tenths_mm=sides[2] * 10,
            max_grams=grams,
            wrap=wraps[wrap],
            packing_minutes=minutes,
        )
        for service, price in zip((slow, quick), pence, strict=True):
            PostPrice.objects.create(
                format=fmt, service=service, pence=price, valid_from=YESTERDAY.date()
            )
    return Counter.objects.create(
        name="Marrowick counter", weekday_last=time(16, 45), saturday_last=time(11, 30)
    )
