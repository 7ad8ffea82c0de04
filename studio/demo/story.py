"""What happened at the demo studio up to Wednesday 3 March 2027, half past eight.

Each act goes through the same action a page would call, at the moment it happened.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, datetime, timedelta
from typing import Any

from inventory import actions as stock
from inventory.models import (
    Claim,
    Entry,
    Item,
    Outlet,
    Place,
    SalesDay,
    Sample,
    SpellOut,
    State,
    Supplier,
)
from production import actions as bench
from production.models import Layout, Line, SellingDay, SpoiledPieces
from production.queries.sending import sending_reference
from studio import money
from studio.days import london_day
from studio.demo.files import act, moment, rows, typed, yes
from studio.maths.sheets.keeping import read_kept
from studio.models import Person, WorkSession

OPENING = moment("2027-02-21 20:00")
SENT_AT = moment("2027-02-25 11:10")
SPOILT_AT = moment("2027-02-27 10:20")
SET_ASIDE_AT = moment("2027-02-28 18:00")
BAG_PACKED_AT = moment("2027-03-02 09:30")
BECAUSE = "Set aside by hand."


def load_history() -> None:
    """Write the year of sales before this book, as it was kept on paper."""
    outlets = {one.code: one for one in Outlet.objects.all()}
    items = Item.objects.in_bulk(field_name="code")
    SalesDay.objects.bulk_create(
        [
            SalesDay(
                outlet=outlets[row["outlet"]],
                item=items[row["item"]],
                day=row["day"],
                sold=int(row["sold"]),
            )
            for row in rows("sales_history.csv")
        ],
        ignore_conflicts=True,
    )
    for row in rows("spells_out.csv"):
        SpellOut.objects.get_or_create(
            item=items[row["item"]],
            began_on=date.fromisoformat(row["from"]),
            defaults={"ended_on": date.fromisoformat(row["until"])},
        )
    load_past_days(outlets, items)


def load_past_days(outlets: dict[str, Outlet], items: dict[str, Item]) -> None:
    days: dict[str, SellingDay] = {}
    for row in rows("past_selling_days.csv"):
        days[row["key"]] = bench.add_selling_day(
            name=row["name"],
            kind=row["kind"],
            starts_at=moment(row["starts"]),
            ends_at=moment(row["ends"]),
            outlet=outlets[row["outlet"]],
            repeat_of=days.get(row["repeat of"]),
        )
    for row in rows("past_lines.csv"):
        line = bench.set_line(
            days[row["selling day"]],
            item=items[row["item"]],
            wanted=int(row["sent"]),
            price_pence=money.parse_pounds(row["price each"])
            if row["price each"]
            else None,
        )
        line.sent = int(row["sent"])
        line.sold = int(row["sold"])
        line.sold_out_minute = int(row["sold-out minute"] or 0) or None
        line.save(update_fields=["sent", "sold", "sold_out_minute"])
        know_occasion(line)


def know_occasion(line: Line) -> None:
    """Say that the sales kept on paper hold what this line sold already."""
    day = line.selling_day
    stock.count_occasion(
        line.item,
        outlet=day.outlet,
        day=london_day(day.starts_at),
        reference=sending_reference(day),
        sold=line.sold,
        already=line.sold or 0,
    )


def load_layouts() -> None:
    """Keep each layout with its sheet, which was laid beforehand and is measured."""
    sheets = typed("layout_sheets.json")
    items = Item.objects.in_bulk(field_name="code")
    gives: dict[str, dict[Item, int]] = {}
    minutes: dict[str, int] = {}
    by_products: dict[str, set[Item]] = {}
    for row in rows("layouts.csv"):
        gives.setdefault(row["layout"], {})[items[row["piece"]]] = int(row["count"])
        minutes[row["layout"]] = int(row["minutes"])
        if yes(row["by-product"]):
            by_products.setdefault(row["layout"], set()).add(items[row["piece"]])
    for code, pieces in gives.items():
        bench.keep_layout(
            code,
            kept_sheet=read_kept(json.dumps(sheets[code])).as_text(),
            sheet=items["SHEET"],
            minutes=minutes[code],
            gives=pieces,
            by_products=by_products.get(code, set()),
            request_id=act(f"layout {code}"),
        )


def load_opening() -> None:
    """Count everything in on Sunday 21 February in the evening."""
    items = Item.objects.in_bulk(field_name="code")
    shelf = {row["item"]: int(row["count"]) for row in rows("opening_counts.csv")}
    paper = {row["code"]: int(row["count"]) for row in rows("parts.csv")}
    owner = Person.objects.get(role=Person.Role.OWNER)
    for code, count in {**shelf, **paper}.items():
        item = items[code]
        stock.add_item_with_count(
            code=code,
            name=item.name,
            kind=item.kind,
            count=count,
            request_id=act("opening"),
            now=OPENING,
            by=owner,
        )


def load_selling_days() -> None:
    """Write the coming slots and the fair, with their terms and lines."""
    outlets = {one.code: one for one in Outlet.objects.all()}
    days: dict[str, SellingDay] = {}
    for row in typed("selling_days.json"):
        days[row["key"]] = bench.add_selling_day(
            name=row["name"],
            kind=row["kind"],
            starts_at=moment(row["starts"]),
            ends_at=moment(row["ends"]),
            outlet=outlets[row["outlet"]],
            fixed_by=maybe(row.get("fixed_by")),
            goods_in_at=maybe(row.get("goods_in")),
            repeat_of=days.get(row.get("repeat_of", "")),
            pitch_pence=money.parse_pounds(row.get("pitch", "0")),
            crates=row.get("crates"),
        )
        bench.set_terms(days[row["key"]], **terms_of(dict(row["terms"])))
        load_lines(days[row["key"]], row.get("wanted", {}))
    load_fair_lines(days["F1"])
    load_line_of_the_slot(days["S1"], days["S2"])


def maybe(text: str | None) -> datetime | None:
    return moment(text) if text else None


def terms_of(row: dict[str, Any]) -> dict[str, Any]:
    for pounds, pence in [
        ("carton_charge", "carton_charge_pence"),
        ("late_fine", "late_fine_pence"),
        ("postage_help", "postage_help_pence"),
    ]:
        if pounds in row:
            row[pence] = money.parse_pounds(row.pop(pounds))
    return row


def channel_price(item: Item) -> int | None:
    price = item.prices.filter(outlet__code="tinderbrook").first()
    return price.price_pence if price else None


def load_lines(selling_day: SellingDay, wanted: dict[str, int | None]) -> None:
    for code, count in wanted.items():
        item = Item.objects.get(code=code)
        bench.set_line(
            selling_day,
            item=item,
            wanted=count,
            price_pence=channel_price(item),
            pinned=False,
        )


def load_fair_lines(fair: SellingDay) -> None:
    for row in rows("kept_for_fair.csv"):
        bench.set_line(
            fair,
            item=Item.objects.get(code=row["item"]),
            wanted=int(row["count"]),
            pinned=False,
        )


def load_line_of_the_slot(slot: SellingDay, repeat: SellingDay) -> None:
    for row in rows("sent_to_channel.csv"):
        item = Item.objects.get(code=row["item"])
        for selling_day in (slot, repeat):
            bench.set_line(
                selling_day,
                item=item,
                wanted=int(row["count"]) if selling_day is slot else None,
                price_pence=channel_price(item),
            )


def send_to_channel() -> None:
    """Leave 268 packs and sets at the channel's door on 25 February."""
    slot = SellingDay.objects.get(starts_at=moment("2027-03-03 15:00"))
    items = Item.objects.in_bulk(field_name="code")
    bench.send_goods(
        slot,
        {items[row["item"]]: int(row["count"]) for row in rows("sent_to_channel.csv")},
        request_id=act("sent to the channel"),
        now=SENT_AT,
        by=Person.objects.get(role=Person.Role.OWNER),
    )


def spoil_a_sheet() -> None:
    """Cut a sheet from the wrong file: six A575 lost."""
    bench.log_cutting(
        Layout.objects.get(code="LC"),
        sheets=1,
        spoiled=[
            (
                Item.objects.get(code="A575"),
                6,
                SpoiledPieces.Reason.WRONG_SIZE,
                "",
            )
        ],
        request_id=act("spoilt run"),
        now=SPOILT_AT,
        by=Person.objects.get(role=Person.Role.WORKSHOP),
        note="Wrong file.",
    )


def set_goods_aside() -> None:
    """Keep goods for the fair, and a buffer against miscounting."""
    fair = SellingDay.objects.get(starts_at=moment("2027-03-13 10:00"))
    for row in rows("kept_for_fair.csv"):
        stock.claim_stock(
            Item.objects.get(code=row["item"]),
            count=int(row["count"]),
            kind=Claim.Kind.KEPT,
            label=fair.name,
            reference=f"selling day {fair.pk}",
            outlet=fair.outlet,
            until=fair.ends_at,
            wanted_on=fair.starts_at.date(),
            request_id=act(f"fair {row['item']}"),
            now=SET_ASIDE_AT,
            overruled_because=BECAUSE,
        )
    for code, count in typed("studio.json")["buffers"].items():
        stock.claim_stock(
            Item.objects.get(code=code),
            count=count,
            kind=Claim.Kind.BUFFER,
            label="In case the count is wrong",
            request_id=act(f"buffer {code}"),
            now=SET_ASIDE_AT,
            overruled_because=BECAUSE,
        )


def pack_the_bag() -> None:
    """Take show sets to the bag; find a cracked piece; two returns come back."""
    shelf, bag = Place.objects.get(code="templates"), Place.objects.get(code="slot-bag")
    owner = Person.objects.get(role=Person.Role.OWNER)
    for code, count in [("RF-090", 2), ("SG-030", 1)]:
        stock.move_stock(
            Item.objects.get(code=code),
            count=count,
            from_place=shelf,
            to_place=bag,
            to_state=State.SHOW,
            request_id=act(f"show set {code}"),
            now=BAG_PACKED_AT,
            by=owner,
            verb=Entry.Verb.REGRADED,
            reason="Opened for showing.",
        )
    ringfence = Item.objects.get(code="RF-090")
    stock.mark_incomplete(
        ringfence,
        place=shelf,
        lacks={Item.objects.get(code="A388"): 1},
        request_id=act("cracked A388"),
        now=BAG_PACKED_AT + timedelta(minutes=5),
        by=owner,
        why="Its A388 is cracked.",
    )
    stock.move_stock(
        ringfence,
        count=2,
        from_place=stock.outside_place("sold"),
        to_place=Place.objects.get(code="returns"),
        to_state=State.TO_LOOK_AT,
        request_id=act("two returns"),
        now=BAG_PACKED_AT + timedelta(minutes=15),
        by=owner,
        verb=Entry.Verb.CAME_BACK,
        reason="Sent back by customers.",
    )


def order_bundles() -> None:
    """Order twelve packs of Rook Parliament for 11 March."""
    item = Item.objects.get(code="FB-05")
    supplier = Supplier.objects.get(name="Gossamill")
    stock.order_from_supplier(
        supplier,
        [(item, 12, item.cost_mills)],
        request_id=act("rook parliament"),
        ordered_on=date(2027, 3, 2),
        expected_on=date(2027, 3, 11),
        carriage_pence=supplier.carriage_pence,
    )


def plan_saturday() -> None:
    """Plan the sheet that the two waiting SG-045 need, for Saturday's session."""
    session = WorkSession.objects.get(day="2027-03-06")
    reason = "Owed to L-0433 and L-0451."
    bench.plan_cutting(
        Layout.objects.get(code="LC"),
        sheets=1,
        session=session,
        request_id=act("saturday LC"),
        now=BAG_PACKED_AT,
        reason=reason,
    )
    bench.plan_making_up(
        Item.objects.get(code="SG-045"),
        count=2,
        session=session,
        request_id=act("saturday SG-045"),
        now=BAG_PACKED_AT,
        reason=reason,
    )


def load_samples() -> None:
    items = Item.objects.in_bulk(field_name="code")
    for row in rows("samples.csv"):
        sample, is_new = Sample.objects.get_or_create(
            code=row["code"],
            defaults={
                "name": row["name"],
                "sewing_minutes": int(row["sewing hours"]) * 60,
                "place": Place.objects.get(code=row["place"]),
                "may_be_sold_from": row["may be sold from"] or None,
                "price_pence": money.parse_pounds(row["price"])
                if row["price"]
                else None,
                "note": row["note"],
            },
        )
        if is_new:
            sample.uses.set([items[code] for code in row["uses"].split()])


BEFORE_THE_ORDERS: tuple[Callable[[], None], ...] = (
    load_layouts,
    load_history,
    load_opening,
    load_selling_days,
    load_samples,
)
