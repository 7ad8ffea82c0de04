"""Load the demo studio once, by running the real actions in the order they happened."""

from __future__ import annotations

from collections.abc import Callable

from django.db import transaction

from orders.models import Order
from studio.demo import story
from studio.demo.catalogue import load_catalogue
from studio.demo.orders import Act, order_acts
from studio.models import StudioSettings

LAST_ORDER = "L-0460"


class NotTheDemo(Exception):
    """The data folder holds somebody's own studio."""


def is_loaded() -> bool:
    return Order.objects.filter(number=LAST_ORDER).exists()


def load_demo(say: Callable[[str], None] = lambda sentence: None) -> bool:
    """Load everything in one transaction; return whether there was anything to do.

    Never writes into a studio that is not the demo's own.
    """
    if is_loaded():
        return False
    studio = StudioSettings.objects.filter(pk=1).first()
    if studio is not None:
        raise NotTheDemo(studio.name)
    with transaction.atomic():
        say("Writing down people, places, items, recipes and prices.")
        load_catalogue()
        say("Writing down a year of sales and what was on the shelves.")
        for load in story.BEFORE_THE_ORDERS:
            load()
        say("Taking in sixty orders from their files, and posting thirty-two.")
        for _, do in timeline():
            do()
    return True


def timeline() -> list[Act]:
    acts: list[Act] = [
        (story.SENT_AT, story.send_to_channel),
        (story.SPOILT_AT, story.spoil_a_sheet),
        (story.SET_ASIDE_AT, story.set_goods_aside),
        (story.BAG_PACKED_AT, story.pack_the_bag),
        (story.BAG_PACKED_AT, story.order_bundles),
        (story.BAG_PACKED_AT, story.plan_saturday),
        *order_acts(),
    ]
    return sorted(acts, key=lambda one: one[0])
