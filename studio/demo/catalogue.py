"""The demo's people, places, items, recipes and prices, put in through the actions."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal
from typing import Any

from inventory import actions as stock
from inventory.models import (
    BundleContents,
    Design,
    Item,
    Outlet,
    PieceShape,
    Place,
    Supplier,
    SupplierItem,
)
from orders.models import PostFormat, PostPrice, PostService, Wrap
from studio import lengths, money
from studio.demo.files import rows, typed, yes
from studio.models import (
    Absence,
    Counter,
    MoneyLine,
    PackerHours,
    Person,
    PostStop,
    StudioSettings,
    WorkSession,
)

PRICES_FROM = date(2026, 4, 1)


def load_studio(facts: dict[str, Any]) -> None:
    """Write the settings, the people and their hours."""
    StudioSettings.objects.get_or_create(
        pk=1,
        defaults={
            "name": facts["name"],
            "return_address": "\n".join(facts["return_address"]),
            "phone": facts["phone"],
            "email": facts["email"],
            "host_name": facts["host_name"],
            "clock_stands_at": facts["clock"],
            "courier_pence": money.parse_pounds(facts["courier"]),
            "courier_before": time.fromisoformat(facts["courier_before"]),
            "free_postage_from_pence": money.parse_pounds(facts["free_postage_from"]),
            "helper_pence_an_hour": 1400,
            "packing_pence_an_hour": 1300,
        },
    )
    for row in facts["people"]:
        person, is_new = Person.objects.get_or_create(
            name=row["name"],
            defaults={
                "role": row["role"],
                "pence_an_hour": money.parse_pounds(row.get("an_hour", "0")),
            },
        )
        if is_new:
            person.set_unusable_password()
            person.save(update_fields=["password"])
    load_post_hours(facts)
    load_money(facts)


def load_post_hours(facts: dict[str, Any]) -> None:
    packer = Person.objects.get(role=Person.Role.PACKER)
    hours, counter, stop = facts["packer_hours"], facts["counter"], facts["post_stop"]
    for weekday in hours["weekdays"]:
        PackerHours.objects.get_or_create(
            person=packer,
            weekday=weekday,
            defaults={"starts": hours["starts"], "ends": hours["ends"]},
        )
    for day in hours["absent"]:
        Absence.objects.get_or_create(person=packer, day=day)
    Counter.objects.get_or_create(name=counter.pop("name"), defaults=counter)
    PostStop.objects.get_or_create(
        first_day=stop["first"],
        last_day=stop["last"],
        defaults={"reason": stop["reason"], "typed_in_at": stop["typed_in"]},
    )


def load_money(facts: dict[str, Any]) -> None:
    MoneyLine.objects.get_or_create(
        text="In the bank",
        moved_on=facts["bank_on"],
        defaults={
            "pence": money.parse_pounds(facts["bank"]),
            "category": "opening",
        },
    )
    for text, pounds, day in facts["money"]:
        MoneyLine.objects.get_or_create(
            text=text,
            expected_on=day,
            defaults={"pence": money.parse_pounds(pounds), "category": "bill"},
        )


def load_ground(facts: dict[str, Any]) -> None:
    """Write the places, outlets, designs and sessions."""
    for code, name, kind, shelf, order in facts["places"]:
        stock.ensure_place(
            code, name, kind=kind, counts_as_shelf=shelf, walk_order=order
        )
    for code, name, kind, place in facts["outlets"]:
        Outlet.objects.get_or_create(
            code=code,
            defaults={
                "name": name,
                "kind": kind,
                "place": Place.objects.get(code=place) if place else None,
            },
        )
    for code, name, words, block in facts["designs"]:
        Design.objects.get_or_create(
            code=code, defaults={"name": name, "other_words": words, "block": block}
        )
    helper = Person.objects.get(role=Person.Role.WORKSHOP)
    for row in rows("sessions.csv"):
        WorkSession.objects.get_or_create(
            person=helper,
            day=row["day"],
            defaults={
                "starts": row["starts"] or None,
                "ends": row["ends"] or None,
                "net_minutes": int(row["net minutes"]),
                "minutes_worked": int(row["worked"]) if row["worked"] else None,
                "note": row["note"],
            },
        )


def load_items() -> None:
    """Write pieces, parts, sheets and everything that is sold."""
    place = {one.code: one for one in Place.objects.all()}
    for row in rows("pieces.csv"):
        item = stock.add_item(
            code=row["code"],
            name=row["name"],
            kind=Item.Kind.PIECE,
            grams=int(row["grams"]),
            cost_mills=money.parse_cost(row["material cost"]),
            home_place=place["pieces"],
        )
        PieceShape.objects.get_or_create(item=item, defaults=shape(row))
    for row in rows("parts.csv"):
        stock.add_item(
            code=row["code"],
            name=row["name"],
            kind=row["kind"],
            cost_mills=money.parse_cost(row["material cost"]),
            home_place=place[row["place"]],
        )
    stock.add_item(
        code="SHEET",
        name="Clear acrylic sheet, 3 mm, 600 × 400 mm",
        kind=Item.Kind.SHEET,
        cost_mills=8600,
        home_place=place["rack"],
    )
    for row in rows("items.csv"):
        load_sold_item(row, place[row["place"]])
    load_bundles()
    load_parts_lists()


def shape(row: dict[str, str]) -> dict[str, Any]:
    return {
        "outline": row["outline"],
        "width_inches": lengths.parse_length(row["width in"]),
        "height_inches": lengths.parse_length(row["height in"]),
        "narrow_inches": lengths.parse_length(row["narrow in"])
        if row["narrow in"]
        else None,
        "engraving": row["engraving"],
    }


def load_sold_item(row: dict[str, str], place: Place) -> None:
    design = Design.objects.filter(code=row["design"]).first()
    item = stock.add_item(
        code=row["code"],
        name=row["name"],
        kind=row["kind"],
        design=design,
        finished_size=lengths.parse_length(row["finished in"])
        if row["finished in"]
        else None,
        other_words=row["other words"],
        cost_mills=money.parse_cost(row["material cost"]),
        grams=int(row["grams"]),
        packed_length_mm=int(row["length mm"]),
        packed_width_mm=int(row["width mm"]),
        packed_thickness_tenths_mm=int(Decimal(row["thickness mm"]) * 10),
        may_go_as_letter=yes(row["may go as letter"]),
        out_of_print=yes(row["out of print"]),
        home_place=place,
        is_sold=True,
    )
    for code, column in [
        ("web", "web price"),
        ("phone", "web price"),
        ("post", "web price"),
        ("fair", "web price"),
        ("tinderbrook", "channel price"),
    ]:
        if row[column]:
            stock.set_price(
                item,
                outlet=Outlet.objects.get(code=code),
                price_pence=money.parse_pounds(row[column]),
                valid_from=PRICES_FROM,
            )


def load_bundles() -> None:
    for row in rows("bundles.csv"):
        BundleContents.objects.get_or_create(
            item=Item.objects.get(code=row["code"]),
            defaults={
                "form": row["form"],
                "count": int(row["count"]),
                "prints": int(row["prints"]),
                "range_name": row["range"],
                "usable_width_inches": lengths.parse_length(row["usable width in"]),
                "usable_length_inches": lengths.parse_length(row["usable length in"]),
            },
        )


def load_parts_lists() -> None:
    items = Item.objects.in_bulk(field_name="code")
    ways: dict[tuple[str, int, str], tuple[dict[Item, int], dict[Item, int]]] = {}
    for row in rows("parts_lists.csv"):
        needs, gives = ways.setdefault(
            (row["item"], int(row["rank"]), row["way"]), ({}, {})
        )
        side = gives if yes(row["gives back"]) else needs
        side[items[row["part"]]] = int(row["count"])
    for (code, rank, name), (needs, gives) in ways.items():
        stock.set_parts_list(
            items[code], needs=needs, gives_back=gives, name=name, rank=rank
        )


def load_suppliers(facts: dict[str, Any]) -> None:
    items = Item.objects.in_bulk(field_name="code")
    for row in facts["suppliers"]:
        supplier, _ = Supplier.objects.get_or_create(
            name=row["name"],
            defaults={
                "lead_working_days": row["lead"],
                "carriage_pence": money.parse_pounds(row["carriage"]),
            },
        )
        for code, price, box in row["items"]:
            SupplierItem.objects.get_or_create(
                supplier=supplier,
                item=items[code],
                defaults={"price_mills": money.parse_cost(price), "box_size": box},
            )


def load_post_prices() -> None:
    facts = typed("post.json")
    for row in facts["wraps"]:
        Wrap.objects.get_or_create(
            code=row["code"],
            defaults={
                "name": row["name"],
                "adds_tenths_mm": row["tenths_mm"],
                "adds_grams": row["grams"],
            },
        )
    for row in facts["services"]:
        PostService.objects.get_or_create(
            code=row["code"],
            defaults={"name": row["name"], "delivery_days": row["delivery_days"]},
        )
    for row in facts["formats"]:
        load_format(dict(row), facts["valid_from"])


def load_format(row: dict[str, Any], valid_from: str) -> None:
    prices = {code: row.pop(code) for code in ("standard", "next-day")}
    wrap = Wrap.objects.get(code=row.pop("wrap"))
    made, _ = PostFormat.objects.get_or_create(
        code=row.pop("code"), defaults={**row, "wrap": wrap}
    )
    for code, pounds in prices.items():
        PostPrice.objects.get_or_create(
            format=made,
            service=PostService.objects.get(code=code),
            valid_from=valid_from,
            defaults={"pence": money.parse_pounds(pounds)},
        )


def load_catalogue() -> None:
    facts = typed("studio.json")
    load_studio(facts)
    load_ground(facts)
    load_items()
    load_suppliers(facts)
    load_post_prices()
