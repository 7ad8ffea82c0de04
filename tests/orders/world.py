"""The demo's loft on the morning of Wed 3 March, read from the demo's own files.

What the thirty-two posted orders took, what went to the channel, the show sets and
the incomplete set are left out of the counts, so that the shelf is as at 08:30.
"""

from __future__ import annotations

import csv
import json
from collections import Counter
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from uuid import NAMESPACE_URL, uuid5

from inventory import actions as stock
from inventory.models import Claim, Item, Outlet
from orders import actions as desk
from orders.addresses import Address, parse_one_line
from orders.models import Order, PostFormat, PostPrice, PostService, Wrap
from orders.queries.open_orders import Expected
from studio import money
from studio.computer import ROOT
from studio.days import LONDON
from studio.models import (
    Absence,
    PackerHours,
    Person,
    PostStop,
    StudioSettings,
)
from studio.models import Counter as PostCounter

DEMO = ROOT / "fixtures" / "demo"
MORNING = datetime(2027, 3, 3, 8, 30, tzinfo=LONDON)
BEFORE = datetime(2027, 2, 21, 18, 0, tzinfo=LONDON)
MOTHERS_DAY = date(2027, 3, 7)
SHOW_AND_INCOMPLETE = {"RF-090": 3, "SG-030": 1}
# What the bench would tell: the next cutting of the 4½-inch set.
PLANNED = {
    "SG-045": Expected(date(2027, 3, 6), "SG-045 is next cut on Sat 6 March."),
}


def rows(name):
    with (DEMO / name).open(newline="", encoding="utf-8") as table:
        return list(csv.DictReader(table))


def order_rows():
    return [row for path in sorted((DEMO / "orders").iterdir()) for row in rows(path)]


def request_id(words):
    return uuid5(NAMESPACE_URL, f"demo {words}")


def build_world():
    """Fill an empty book with goods, prices, the post and the 28 open orders."""
    build_studio()
    build_post()
    build_goods()
    build_orders()


def build_studio():
    told = json.loads((DEMO / "studio.json").read_text(encoding="utf-8"))
    StudioSettings.objects.update_or_create(
        pk=1,
        defaults={
            "name": told["name"],
            "return_address": "\n".join(told["return_address"]),
            "clock_stands_at": MORNING,
            "courier_pence": money.parse_pounds(told["courier"]),
            "courier_before": time.fromisoformat(told["courier_before"]),
        },
    )
    people = {
        one["name"]: Person.objects.get_or_create(
            name=one["name"], defaults={"role": one["role"]}
        )[0]
        for one in told["people"]
    }
    build_hours(people["Posy Oakenby"], told)
    for code, name, kind, _ in told["outlets"]:
        Outlet.objects.create(code=code, name=name, kind=kind)


def build_hours(packer, told):
    hours, counter, stop = told["packer_hours"], told["counter"], told["post_stop"]
    for weekday in hours["weekdays"]:
        PackerHours.objects.create(
            person=packer,
            weekday=weekday,
            starts=time.fromisoformat(hours["starts"]),
            ends=time.fromisoformat(hours["ends"]),
        )
    for day in hours["absent"]:
        Absence.objects.create(person=packer, day=date.fromisoformat(day))
    PostCounter.objects.create(
        name=counter["name"],
        weekday_last=time.fromisoformat(counter["weekday_last"]),
        saturday_last=time.fromisoformat(counter["saturday_last"]),
        packets_a_visit=counter["packets_a_visit"],
        minutes_away=counter["minutes_away"],
    )
    PostStop.objects.create(
        first_day=date.fromisoformat(stop["first"]),
        last_day=date.fromisoformat(stop["last"]),
        reason=stop["reason"],
        typed_in_at=MORNING - timedelta(days=3),
    )


def build_post():
    told = json.loads((DEMO / "post.json").read_text(encoding="utf-8"))
    wraps = {
        one["code"]: Wrap.objects.create(
            code=one["code"],
            name=one["name"],
            adds_tenths_mm=one["tenths_mm"],
            adds_grams=one["grams"],
        )
        for one in told["wraps"]
    }
    services = [PostService.objects.create(**one) for one in told["services"]]
    for band in told["formats"]:
        prices = {one: money.parse_pounds(band.pop(one.code)) for one in services}
        wrap = wraps[band.pop("wrap")]
        fmt = PostFormat.objects.create(wrap=wrap, **band)
        for service, pence in prices.items():
            PostPrice.objects.create(
                format=fmt,
                service=service,
                pence=pence,
                valid_from=date.fromisoformat(told["valid_from"]),
            )


def build_goods():
    shelf = stock.ensure_place("templates", "Template shelf")
    counts = shelf_counts()
    for row in rows("items.csv"):
        stock.add_item_with_count(
            code=row["code"],
            name=row["name"],
            kind=row["kind"],
            count=counts[row["code"]],
            request_id=request_id("opening"),
            now=BEFORE,
            cost_mills=money.parse_cost(row["material cost"]),
            grams=int(row["grams"]),
            packed_length_mm=int(row["length mm"]),
            packed_width_mm=int(row["width mm"]),
            packed_thickness_tenths_mm=int(Decimal(row["thickness mm"]) * 10),
            may_go_as_letter=row["may go as letter"] == "yes",
            out_of_print=row["out of print"] == "yes",
            is_sold=True,
            home_place=shelf,
        )
    keep_for_fair()
    keep_buffers()


def shelf_counts():
    counts = Counter(
        {row["item"]: int(row["count"]) for row in rows("opening_counts.csv")}
    )
    counts -= Counter(
        {row["item"]: int(row["count"]) for row in rows("sent_to_channel.csv")}
    )
    counts -= Counter(SHOW_AND_INCOMPLETE)
    for row in order_rows():
        if row["Order"] <= "L-0432":
            counts[row["Item"]] -= int(row["Number"])
    return counts


def keep_for_fair():
    for row in rows("kept_for_fair.csv"):
        stock.claim_stock(
            Item.objects.get(code=row["item"]),
            count=int(row["count"]),
            kind=Claim.Kind.KEPT,
            label="the fair",
            request_id=request_id(f"fair {row['item']}"),
            now=BEFORE,
            overruled_because="kept before the orders came",
        )


def keep_buffers():
    told = json.loads((DEMO / "studio.json").read_text(encoding="utf-8"))
    for code, count in told["buffers"].items():
        stock.claim_stock(
            Item.objects.get(code=code),
            count=count,
            kind=Claim.Kind.BUFFER,
            label="buffer against miscounting",
            request_id=request_id(f"buffer {code}"),
            now=BEFORE,
            overruled_because="kept before the orders came",
        )


def build_parts():
    """Add pieces, papers and parts lists: only the promise by tonight needs them."""
    counts = shelf_counts()
    for row in rows("pieces.csv"):
        stock.add_item_with_count(
            code=row["code"],
            name=row["name"],
            kind="piece",
            count=counts[row["code"]],
            request_id=request_id("opening"),
            now=BEFORE,
        )
    for row in rows("parts.csv"):
        stock.add_item_with_count(
            code=row["code"],
            name=row["name"],
            kind=row["kind"],
            count=int(row["count"]),
            request_id=request_id("opening"),
            now=BEFORE,
        )
    items = Item.objects.in_bulk(field_name="code")
    needs = {}
    for row in rows("parts_lists.csv"):
        if row["rank"] == "1":
            needs.setdefault(row["item"], {})[items[row["part"]]] = int(row["count"])
    for code, parts in needs.items():
        stock.set_parts_list(items[code], needs=parts)


def build_orders():
    lines = {}
    for row in order_rows():
        if row["Order"] >= "L-0433":
            lines.setdefault(row["Order"], []).append(row)
    for number in sorted(lines, key=lambda one: (typed_in(lines[one][0]), one)):
        desk.take_order(
            asked_of(lines[number]),
            request_id=request_id(number),
            now=typed_in(lines[number][0]),
        )
    answer_what_she_knows()


def moment(text):
    return datetime.strptime(text, "%d/%m/%Y %H:%M").replace(tzinfo=LONDON)


def typed_in(row):
    """L-0433 was mislaid and typed in on the morning of 3 March."""
    if row["Order"] == "L-0433":
        return datetime(2027, 3, 3, 8, 0, tzinfo=LONDON)
    return moment(row["Placed"])


def asked_of(lines):
    first = lines[0]
    items = Item.objects.in_bulk(field_name="code")
    paid = {"": Order.Paid.AWAITED, "no charge": Order.Paid.FREE}
    return desk.AskedOrder(
        number=first["Order"],
        outlet=Outlet.objects.get(code="web"),
        buyer=desk.Buyer(first["Buyer"], address_of(first, "")),
        lines=tuple(
            desk.AskedLine(
                items[row["Item"]], int(row["Number"]), money.parse_pounds(row["Each"])
            )
            for row in lines
        ),
        placed_at=moment(first["Placed"]),
        paid=paid.get(first["Paid on"], Order.Paid.PAID),
        held_until=datetime(2027, 3, 5, 23, 59, tzinfo=LONDON),
        postage_charged_pence=money.parse_pounds(first["Postage"]),
        is_gift=first["Gift"] == "yes",
        recipient_name=first["Send to"],
        recipient_address=address_of(first, "Send to ") if first["Send to"] else None,
        card_text=first["Card words"],
        need_by=moment(f"{first['Needed by']} 12:00").date()
        if first["Needed by"]
        else None,
        kind={"L-0449": "goodwill", "L-0450": "replacement"}.get(
            first["Order"], "sale"
        ),
    )


def address_of(row, which):
    if not which:
        typed = [row["Address"], row["Postcode"], row["Country"]]
    else:
        typed = [row["Send to address"], row["Send to postcode"]]
    return parse_one_line(", ".join(part for part in typed if part))


def answer_what_she_knows():
    """Agree the swap of L-0445, and let L-0443 be fetched at the fair."""
    line = Order.objects.get(number="L-0445").lines.get()
    desk.agree_swap(
        line,
        item=Item.objects.get(code="FB-02"),
        refund_pence=50,
        request_id=request_id("swap L-0445"),
        now=datetime(2027, 3, 2, 12, 0, tzinfo=LONDON),
    )
    desk.set_collection(
        Order.objects.get(number="L-0443"),
        on=date(2027, 3, 13),
        at="the Cobbleford Spring Stitch Fair",
        now=MORNING,
    )


def make_gift(number):
    """Turn an order into a gift at the address it has."""
    order = Order.objects.get(number=number)
    return desk.set_gift(
        order,
        recipient_name=order.recipient_name,
        address=Address(
            tuple(order.address_lines.splitlines()), order.town, order.postcode
        ),
        now=MORNING,
    )
