"""The loft on Wed 3 March with the demo's real catalogue: places, pictures, hours."""

from datetime import datetime

from inventory import actions as stock
from inventory.models import Item
from orders import actions as desk
from orders.models import Packet
from orders.queries.post_day import post_day
from studio.days import LONDON
from studio.demo.catalogue import load_catalogue
from studio.models import Person
from tests.orders import world
from tests.orders.world import BEFORE, MORNING, PLANNED, request_id

AFTERNOON = datetime(2027, 3, 3, 13, 0, tzinfo=LONDON)


def build_loft():
    """Fill the book from the catalogue, count the shelf, take the open orders."""
    load_catalogue()
    counts = world.shelf_counts()
    for item in Item.objects.filter(is_sold=True).select_related("home_place"):
        stock.record_count(
            item,
            place=item.home_place,
            found=counts[item.code],
            counted_at=BEFORE,
            request_id=request_id(f"count {item.code}"),
            now=BEFORE,
        )
    world.keep_for_fair()
    world.keep_buffers()
    world.build_orders()


def make_run(now=MORNING, words="run"):
    """Freeze what can go, as the Post page's button does."""
    day = post_day(now, planned=PLANNED)
    return desk.make_post_run(
        day.day, packets=day.new_figures, request_id=request_id(words), now=now
    )


def packet_of(number, part=1):
    return Packet.objects.get(orders__number=number, part=part)


def person(role):
    return Person.objects.get(role=role)
