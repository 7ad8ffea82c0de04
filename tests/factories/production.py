"""A small studio to cut and sell in, built through the studio's own actions."""

from datetime import datetime, time
from itertools import count
from uuid import UUID
from zoneinfo import ZoneInfo

from inventory import actions as stock
from inventory.models import Item, Outlet, Place, Supplier, SupplierItem
from production import actions as making
from production.models import SellingDay
from studio.models import Person, StudioSettings

LONDON = ZoneInfo("Europe/London")
MONDAY_1_FEB = datetime(2027, 2, 1, 9, 0, tzinfo=LONDON)
_numbers = count(1)

# Six layouts of the acceptance stories: minutes a sheet, and what one sheet gives.
LAYOUTS = {
    "LA": (22, {"A425": 15}),
    "LB": (26, {"SQ350": 24}),
    "LE": (21, {"A1025": 1, "SQ950": 1, "SQ350": 6}),
    "LP": (16, {"A1025": 1, "SQ950": 1}),
    "LG": (30, {"A388": 10, "C200": 10, "SQ350": 6}),
}
SETS = {
    "SG-030": ("Sandglass set, 3 in", ("A425", "SQ350", "BKLT-SG")),
    "SG-090": ("Sandglass set, 9 in", ("A1025", "SQ950", "BKLT-SG")),
    "RF-090": ("Ringfence set, 9 in", ("A388", "SQ350", "C200", "BKLT-RF")),
}


def new_id():
    """Return a request id that no other form has had."""
    return UUID(int=next(_numbers))


def a_person(name="Merle Oakenby", role="owner"):
    person, _ = Person.objects.get_or_create(name=name, defaults={"role": role})
    return person


def the_studio(**more):
    studio, _ = StudioSettings.objects.update_or_create(
        pk=1,
        defaults={"name": "Marrowick Patch Loft", "return_address": "3 Weir Lane"}
        | more,
    )
    return studio


def an_item(code, kind="piece", held=0, now=MONDAY_1_FEB, **more):
    return stock.add_item_with_count(
        code=code,
        name=more.pop("name", code),
        kind=kind,
        count=held,
        request_id=new_id(),
        now=now,
        **more,
    )


def a_workshop(sheets=14, loose=None, sets=None, booklets=400, layouts=LAYOUTS):
    """Lay out drawers, rack and recipes; return the items by code."""
    the_studio()
    loose, sets = loose or {}, sets or {}
    drawers = stock.ensure_place("pieces", "Piece drawers", kind="drawer")
    rack = stock.ensure_place("rack", "Sheet rack")
    items = {"SHEET": an_item("SHEET", "sheet", sheets, home_place=rack)}
    codes = {code for _, gives in layouts.values() for code in gives}
    for code in sorted(codes):
        items[code] = an_item(code, "piece", loose.get(code, 0), home_place=drawers)
    for code in ("BKLT-SG", "BKLT-RF"):
        items[code] = an_item(code, "booklet", booklets)
    for code, (name, parts) in SETS.items():
        items[code] = an_item(
            code, "set", sets.get(code, 0), name=name, is_sold=True, cost_mills=2040
        )
        stock.set_parts_list(items[code], needs={items[part]: 1 for part in parts})
    for code, (minutes, gives) in layouts.items():
        making.add_layout(
            code,
            sheet=items["SHEET"],
            minutes=minutes,
            gives={items[piece]: number for piece, number in gives.items()},
        )
    return items


def a_channel(code="tinderbrook", name="Tinderbrook TV"):
    place = stock.ensure_place(
        code, f"At {name}, still ours", kind=Place.Kind.CHANNEL, counts_as_shelf=False
    )
    outlet, _ = Outlet.objects.get_or_create(
        code=code,
        defaults={"name": name, "kind": Outlet.Kind.TELEVISION, "place": place},
    )
    return outlet


def a_slot(
    starts_at=datetime(2027, 3, 3, 15, 0, tzinfo=LONDON),
    kind=SellingDay.Kind.SLOT,
    hours=1,
    **more,
):
    more.setdefault("name", f"Slot of {starts_at:%d %B %Y}")
    more.setdefault("outlet", None) or more.update(outlet=a_channel())
    return making.add_selling_day(
        kind=kind,
        starts_at=starts_at,
        ends_at=starts_at.replace(hour=starts_at.hour + hours),
        **more,
    )


def a_session(day, starts=time(9), ends=time(12), **more):
    return making.add_session(
        a_person("Rufus Penhallin", "workshop"),
        day=day,
        starts=starts,
        ends=ends,
        **more,
    )


def a_supplier(item, *, lead=6, box=5, name="Brindlewick Sheet", price_mills=8600):
    supplier, _ = Supplier.objects.get_or_create(
        name=name, defaults={"lead_working_days": lead}
    )
    return SupplierItem.objects.create(
        supplier=supplier, item=item, price_mills=price_mills, box_size=box
    )


def held(code, *, state="sellable", place=None):
    """Count what the book says is in places of ours."""
    balances = (
        Item.objects.get(code=code)
        .balances.filter(state=state)
        .exclude(place__kind=Place.Kind.OUTSIDE)
    )
    if place:
        balances = balances.filter(place__code=place)
    return sum(balance.count for balance in balances)
