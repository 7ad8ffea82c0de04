"""Goods made through the studio's own actions, and the small cast of the stories."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import factory

from inventory import actions as stock
from inventory.models import Claim, Item, Outlet, Place, State, Supplier
from studio.models import Person, StudioSettings
from tests.factories.production import new_id

MORNING = datetime(2027, 3, 3, 8, 30, tzinfo=ZoneInfo("Europe/London"))
BEFORE = MORNING - timedelta(days=3)


class ActionFactory(factory.Factory):
    """Make things by the action that makes them in the studio, never by hand."""

    class Meta:
        abstract = True

    @classmethod
    def _build(cls, model_class, *args, **kwargs):
        raise NotImplementedError("Goods exist in the book or not at all.")


class PersonFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Person
        django_get_or_create = ("name",)

    name = "Merle Oakenby"
    role = Person.Role.OWNER


class StudioFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = StudioSettings
        django_get_or_create = ("pk",)

    pk = 1
    name = "Marrowick Patch Loft"
    return_address = "3 Weir Lane\nMarrowick"


class PlaceFactory(ActionFactory):
    class Meta:
        model = Place

    code = "templates"
    name = "Template shelf"

    @classmethod
    def _create(cls, model_class, *args, **kwargs):
        return stock.ensure_place(kwargs.pop("code"), kwargs.pop("name"), **kwargs)


class ItemFactory(ActionFactory):
    """An item, and how many of it were found when the book was opened."""

    class Meta:
        model = Item

    code = factory.Sequence(lambda n: f"IT-{n:03}")
    name = factory.LazyAttribute(lambda made: f"Thing {made.code}")
    kind = Item.Kind.MADE
    is_sold = True
    held = 0
    now = BEFORE

    @classmethod
    def _create(cls, model_class, *args, **kwargs):
        return stock.add_item_with_count(
            count=kwargs.pop("held"), request_id=new_id(), **kwargs
        )


class SetFactory(ItemFactory):
    code = "RF-090"
    name = "Ringfence set, 9 in"
    kind = Item.Kind.TEMPLATE_SET


class PieceFactory(ItemFactory):
    kind = Item.Kind.PIECE
    is_sold = False


class ClaimFactory(ActionFactory):
    class Meta:
        model = Claim

    item = factory.SubFactory(SetFactory, held=10)
    count = 1
    kind = Claim.Kind.PAID
    label = "L-0433, a buyer"
    now = BEFORE
    overruled_because = ""

    @classmethod
    def _create(cls, model_class, *args, **kwargs):
        return stock.claim_stock(kwargs.pop("item"), request_id=new_id(), **kwargs)


class SupplierFactory(ActionFactory):
    class Meta:
        model = Supplier

    name = "Gossamill"
    lead_working_days = 5

    @classmethod
    def _create(cls, model_class, *args, **kwargs):
        return stock.add_supplier(**kwargs)


class WebShopFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Outlet
        django_get_or_create = ("code",)

    code = "web"
    name = "Web shop"
    kind = Outlet.Kind.WEB


def ringfence_at_half_past_eight():
    """Story O1: the nine-inch Ringfence on Wednesday 3 March 2027 at 08:30."""
    shelf = PlaceFactory()
    bag = PlaceFactory(code="slot-bag", name="Bag for the slot", kind="bag")
    tray = PlaceFactory(
        code="returns", name="Returns tray", kind="tray", counts_as_shelf=False
    )
    channel = PlaceFactory(
        code="tinderbrook",
        name="At Tinderbrook TV, still ours",
        kind="channel",
        counts_as_shelf=False,
    )
    parts = {
        code: PieceFactory(code=code, held=held)
        for code, held in (("A388", 6), ("SQ350", 3), ("C200", 8))
    }
    paper = {
        code: PieceFactory(code=code, held=400, kind=kind)
        for code, kind in (("BKLT-RF", "booklet"), ("CARD-090", "consumable"))
    }
    ringfence = SetFactory(held=69, home_place=shelf, finished_size="9")
    stock.set_parts_list(
        ringfence, needs=dict.fromkeys((*parts.values(), *paper.values()), 1)
    )
    move(ringfence, 48, shelf, channel)
    move(ringfence, 2, shelf, bag, State.SHOW)
    move(ringfence, 2, shelf, tray, State.TO_LOOK_AT)
    stock.mark_incomplete(
        ringfence,
        place=shelf,
        lacks={parts["A388"]: 1},
        request_id=new_id(),
        now=BEFORE,
        why="Its A388 is cracked.",
    )
    for number, count in enumerate((1, 1, 2, 1, 1, 1), start=1):
        ClaimFactory(item=ringfence, count=count, label=f"Order {number}")
    ClaimFactory(
        item=ringfence,
        kind=Claim.Kind.HOLD,
        label="Ione Ravelin",
        until=datetime(2027, 3, 5, 23, 59, tzinfo=ZoneInfo("Europe/London")),
    )
    ClaimFactory(item=ringfence, count=4, kind=Claim.Kind.KEPT, label="the fair")
    stock.set_buffer(ringfence, count=1, request_id=new_id(), now=BEFORE)
    return ringfence


def move(item, count, from_place, to_place, to_state=State.SELLABLE):
    return stock.move_stock(
        item,
        count=count,
        from_place=from_place,
        to_place=to_place,
        to_state=to_state,
        request_id=new_id(),
        now=BEFORE,
    )


# Story O2: what is in the drawers, what each thing is made from, its web price and
# material in thousandths of a pound, and what is promised of it.
DRAWER = {"A425": 31, "SQ350": 44, "A388": 26, "C200": 29, "A1025": 9, "SQ950": 8}
PAPER = {"GBOX": 6, "BKLT-SG": 400, "BKLT-RF": 400}
SHARED = {
    "SG-030": (("A425", "SQ350", "BKLT-SG"), 1350, 1830, 20),
    "RF-090": (("A388", "SQ350", "C200", "BKLT-RF"), 2100, 2040, 18),
    "SG-090": (("A1025", "SQ950", "BKLT-SG"), 2700, 7200, 4),
    "DU-SG": (
        ("A425", "SQ350", "A1025", "SQ950", "BKLT-SG", "GBOX"),
        3800,
        9490,
        0,
    ),
    "SP-350": (("SQ350",), 550, 500, 0),
}


def one_drawer_of_squares():
    """Story O2: nothing made up, 44 shared squares, and three promises."""
    web = WebShopFactory()
    parts = {code: PieceFactory(code=code, held=held) for code, held in DRAWER.items()}
    for code, held in PAPER.items():
        kind = Item.Kind.BOOKLET if code.startswith("BKLT") else Item.Kind.CONSUMABLE
        parts[code] = PieceFactory(code=code, held=held, kind=kind)
    made = {}
    for code, (needs, web_pence, cost_mills, promised) in SHARED.items():
        item = SetFactory(code=code, name=f"{code} as sold", cost_mills=cost_mills)
        stock.set_parts_list(item, needs={parts[part]: 1 for part in needs})
        stock.set_price(
            item, outlet=web, price_pence=web_pence, valid_from=BEFORE.date()
        )
        if promised:
            ClaimFactory(item=item, count=promised, overruled_because="It was paid.")
        made[code] = item
    # The gift box may also be made from the two finished sets; it then gives back one
    # booklet.
    stock.set_parts_list(
        made["DU-SG"],
        needs={made["SG-030"]: 1, made["SG-090"]: 1, parts["GBOX"]: 1},
        gives_back={parts["BKLT-SG"]: 1},
        name="From finished sets",
        rank=2,
    )
    return made
