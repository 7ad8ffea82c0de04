"""The Saturday of the cutting log with a bad signal: before anything is cut."""

from datetime import date, datetime
from fractions import Fraction

from inventory import actions as stock
from inventory.models import PieceShape
from production import actions as making
from production.models import Layout
from tests.factories.production import (
    LONDON,
    a_person,
    a_session,
    a_workshop,
    new_id,
)

SATURDAY = date(2027, 3, 6)
EARLY = datetime(2027, 3, 1, 9, 0, tzinfo=LONDON)
SIDES = {
    "A425": "17/4",
    "SQ350": "7/2",
    "A388": "31/8",
    "C200": "2",
    "A1025": "41/4",
    "SQ950": "19/2",
}


def merle():
    return a_person()


def rufus():
    return a_person("Rufus Penhallin", "workshop")


def posy():
    return a_person("Posy Oakenby", "packer")


def a_bench(**more):
    """Lay out the workshop with every piece's size, so that sheets can be drawn."""
    items = a_workshop(**more)
    for code, side in SIDES.items():
        PieceShape.objects.create(
            item=items[code], width_inches=Fraction(side), height_inches=Fraction(side)
        )
    return items


def plan(code, sheets, session):
    return making.plan_cutting(
        Layout.objects.get(code=code),
        sheets=sheets,
        session=session,
        request_id=new_id(),
        now=EARLY,
    )


def promise(item, count):
    return stock.claim_stock(
        item,
        count=count,
        kind="paid",
        label="paid orders",
        request_id=new_id(),
        now=EARLY,
        overruled_because="promised before they were cut",
    )


def the_morning():
    """Give loose pieces, promises and a planned session: figures of the story."""
    items = a_bench(loose={"A425": 5, "SQ350": 9, "A388": 2}, sheets=14)
    promise(items["RF-090"], 14)
    promise(items["SG-030"], 10)
    session = a_session(SATURDAY)
    plan("LA", 3, session)
    plan("LG", 2, session)
    return items, session
