"""What is odd at the bench and should be said on the first page, one sentence each."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from inventory import half_sets as pure_half_sets
from inventory.models import BundleContents, Item, PartsLine, Place, Sample
from inventory.queries.balances import sellable_at_home
from production import layout_advice
from production.models import Layout, Line, SellingDay
from production.queries.layouts import as_plain, layouts_in_use
from production.queries.made_goods import MadeGoods, made_goods
from studio.days import london_day, show_day_short
from studio.lengths import show_inches
from studio.models import WorkSession
from studio.money import mills_to_pence

LOOK_BACK = timedelta(days=14)
GOING_PLACES = (Place.Kind.BAG, Place.Kind.CRATE)
SIZE_WORDS = {3: "three", 6: "six", 9: "nine", 12: "twelve"}


@dataclass(frozen=True)
class Notice:
    """What it is about, what to say, and the page of the next step."""

    about: str
    sentence: str
    next_step_url_name: str = ""
    next_step_args: tuple[str | int, ...] = ()


def half_sets(now: datetime, made: MadeGoods | None = None) -> list[Notice]:
    """Say which loose pieces have no partner, the most money asleep first."""
    made = made or made_goods(now)
    pieces = list(Item.objects.filter(kind=Item.Kind.PIECE))
    loose = sellable_at_home(pieces)
    found = pure_half_sets.half_sets(
        made.parts.ways,
        {item.code: loose[item.pk] for item in pieces},
        {item.code: mills_to_pence(item.cost_mills) for item in pieces},
        {item.code: set_name(item) for item in made.items if item.finished_size},
    )
    return [Notice(half.piece, half.sentence, "production:bench") for half in found]


def set_name(item: Item) -> str:
    """Write "nine-inch set" or "4½-inch set"."""
    size = item.finished_size
    if size is None:
        return f"{item.code} set"
    whole = SIZE_WORDS.get(int(size)) if size == int(size) else None
    return f"{whole or show_inches(size).removesuffix(' in')}-inch set"


def layout_faults(layouts: Sequence[Layout] | None = None) -> list[Notice]:
    """Say which layouts never give enough of a piece for their own set."""
    in_use = layouts_in_use() if layouts is None else layouts
    faults = layout_advice.layout_faults(as_plain(in_use), piece_recipes())
    return [
        Notice(fault.layout, fault.sentence, "production:bench") for fault in faults
    ]


def piece_recipes() -> dict[str, dict[str, int]]:
    """Return the pieces of one set, of each product in its usual way: one query."""
    recipes: dict[str, dict[str, int]] = {}
    lines = (
        PartsLine.objects.filter(
            item__kind=Item.Kind.PIECE, gives_back=False, parts_list__rank=1
        )
        .select_related("item", "parts_list__item")
        .order_by("parts_list__item__code", "pk")
    )
    for line in lines:
        recipes.setdefault(line.parts_list.item.code, {})[line.item.code] = line.count
    return recipes


def session_faults(now: datetime) -> list[Notice]:
    """Say which sessions of the last fortnight were in the diary but not worked."""
    today = london_day(now)
    sessions = WorkSession.objects.filter(
        day__lt=today,
        day__gte=today - LOOK_BACK,
        starts__isnull=False,
        minutes_worked=0,
    ).order_by("day")
    return [
        Notice(
            show_day_short(session.day),
            f"The diary shows {show_day_short(session.day)}; no minutes were worked.",
            "production:bench",
        )
        for session in sessions
    ]


def sample_faults(now: datetime) -> list[Notice]:
    """Say which packed samples are sewn in cloth that viewers cannot buy."""
    coming = SellingDay.objects.filter(ends_at__gte=now).order_by("starts_at").first()
    if coming is None:
        return []
    samples = (
        Sample.objects.filter(
            state=Sample.State.KEPT,
            place__kind__in=GOING_PLACES,
            uses__out_of_print=True,
            uses__kind=Item.Kind.BUNDLE,
        )
        .distinct()
        .prefetch_related("uses__contents")
    )
    offered = offered_bundles(coming)
    return [
        Notice(
            sample.code,
            sample_sentence(sample, gone, offered),
            "production:selling_day_show",
            (coming.pk,),
        )
        for sample in samples
        for gone in sample.uses.all()
        if gone.out_of_print and gone.kind == Item.Kind.BUNDLE
    ]


def offered_bundles(selling_day: SellingDay) -> list[BundleContents]:
    """Return the bundles in print, those of the day first, then those in stock."""
    on_the_day = set(
        Line.objects.filter(selling_day=selling_day).values_list("item_id", flat=True)
    )
    in_print = list(
        BundleContents.objects.filter(
            item__out_of_print=False, item__kind=Item.Kind.BUNDLE
        ).select_related("item")
    )
    held = sellable_at_home([contents.item for contents in in_print])
    offered = [c for c in in_print if c.item_id in on_the_day or held[c.item_id] > 0]
    return sorted(offered, key=lambda c: (c.item_id not in on_the_day, c.item.code))


def sample_sentence(
    sample: Sample, gone: Item, offered: Iterable[BundleContents]
) -> str:
    start = (
        f"{sample.code} is sewn in {range_of(gone)}, which cannot be bought any more"
    )
    like_it = alternative(gone, list(offered))
    if like_it is None:
        return f"{start}: say so, or leave it at home."
    return f"{start}: say so, or show {like_it.range_name or like_it.item.name}."


def range_of(item: Item) -> str:
    contents = getattr(item, "contents", None)
    return contents.range_name if contents and contents.range_name else item.name


def alternative(gone: Item, offered: list[BundleContents]) -> BundleContents | None:
    """Choose a bundle of the same form, on the day before in stock, nearest in count."""
    contents = getattr(gone, "contents", None)
    if contents is None:
        return None
    same = [c for c in offered if c.form == contents.form]
    place = {c.pk: number for number, c in enumerate(same)}
    return min(
        same, key=lambda c: (abs(c.count - contents.count), place[c.pk]), default=None
    )
