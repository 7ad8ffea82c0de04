"""Loose pieces: where they lie, what they complete together, what is still short."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from django.db.models import Sum

from inventory.half_sets import HalfSet, half_sets
from inventory.making_up import Mix, Wanted, best_mix
from inventory.models import Claim, Item, State
from inventory.pictures import with_pictures
from inventory.queries.balances import held_by_item, sellable_at_home
from inventory.queries.promises import Parts, parts_of
from production import layout_advice, needs
from production.layout_advice import Suggestion
from production.models import Batch, Layout
from production.queries.layouts import as_plain

PROMISED = (Claim.Kind.PAID, Claim.Kind.HOLD)
# More sets than one bench ever makes up; the pieces are the limit.
NO_LIMIT = 999


@dataclass(frozen=True)
class Drawer:
    """One place and the loose pieces in it."""

    name: str
    pieces: tuple[tuple[Item, int], ...]


@dataclass(frozen=True)
class PieceShort:
    """One piece of promised sets: needed, loose, short, coming from planned sheets."""

    code: str
    needed: int
    loose: int
    coming: int = 0

    @property
    def short(self) -> int:
        return max(0, self.needed - self.loose)

    @property
    def lacking(self) -> int:
        """Count what no planned sheet brings either."""
        return max(0, self.short - self.coming)

    @property
    def sentence(self) -> str:
        start = f"Promises need {self.needed} {self.code}; {self.loose} are loose"
        if not self.short:
            return f"{start}."
        more = f" {self.coming} good ones are planned." if self.coming else ""
        return f"{start}: {self.short} short.{more}"


@dataclass(frozen=True)
class Bench:
    """What making up has to go by: products, ways, free parts, promises."""

    products: Mapping[str, Item]
    pieces: Mapping[str, Item]
    parts: Parts
    promised: Mapping[str, int]

    @property
    def piece_recipes(self) -> dict[str, dict[str, int]]:
        """Return what the first way of each product takes of acrylic alone."""
        return {
            product: {p: n for p, n in way.needs.items() if p in self.pieces}
            for product, way in needs.usual_ways(self.parts.ways).items()
        }


def the_bench(*, now: datetime) -> Bench:
    """Read what making up goes by: a fixed number of queries."""
    products = {
        item.code: item
        for item in with_pictures(
            Item.objects.filter(parts_lists__isnull=False).distinct()
        )
    }
    pieces = {
        item.code: item
        for item in Item.objects.filter(kind=Item.Kind.PIECE)
        .select_related("shape", "contents", "home_place")
        .order_by("code")
    }
    return Bench(
        products=products,
        pieces=pieces,
        parts=parts_of(products.values(), now=now),
        promised=promised_sets(products.values(), now=now),
    )


def promised_sets(items: Iterable[Item], *, now: datetime) -> dict[str, int]:
    """Return how many of each are promised to people and not on the shelf."""
    items = list(items)
    sellable = sellable_at_home(items)
    claimed = dict(
        Claim.objects.filter(item__in=[item.pk for item in items], kind__in=PROMISED)
        .live(on=now)
        .values_list("item_id")
        .annotate(total=Sum("count"))
        .order_by()
    )
    short = {item.code: claimed.get(item.pk, 0) - sellable[item.pk] for item in items}
    return {code: count for code, count in short.items() if count > 0}


def drawers(pieces: Iterable[Item]) -> list[Drawer]:
    """Return the loose pieces by place in walking order: one query."""
    pieces = list(pieces)
    held = held_by_item(pieces)
    found: dict[str, list[tuple[Item, int]]] = defaultdict(list)
    for item in pieces:
        for one in held.get(item.pk, ()):
            if one.state == State.SELLABLE:
                found[one.place.name].append((item, one.count))
    return [Drawer(name, tuple(rows)) for name, rows in found.items()]


def together(bench: Bench, more: Mapping[str, int] | None = None) -> Mix:
    """Return what the loose pieces complete together, promises to people first.

    No piece is counted for two sets, and a spare of a shared piece is made up only
    where it is promised. `more` are good pieces still to be cut.
    """
    free = Counter(bench.parts.free)
    free.update(more or {})
    recipes = bench.piece_recipes
    spares = spares_among(recipes)
    wanted = [
        Wanted(
            product,
            must=bench.promised.get(product, 0),
            at_most=0 if product in spares else NO_LIMIT,
            gain_pence=1,
        )
        for product in bench.products
        if recipes.get(product)
    ]
    ways = [
        way
        for product, way in needs.usual_ways(bench.parts.ways).items()
        if recipes.get(product)
    ]
    return best_mix(wanted, ways, free)


def spares_among(recipes: Mapping[str, Mapping[str, int]]) -> set[str]:
    """Name the products that are one piece which others need too."""
    in_sets = {
        piece for recipe in recipes.values() if len(recipe) > 1 for piece in recipe
    }
    return {
        product
        for product, recipe in recipes.items()
        if len(recipe) == 1 and in_sets.intersection(recipe)
    }


def sets_made(mix: Mix) -> dict[str, int]:
    """Return how many of each product a mix makes up."""
    made = {line.wanted.product: line.promised + line.extra for line in mix.lines}
    return {product: count for product, count in made.items() if count}


def completed_by(
    bench: Bench, batches: Sequence[Batch], spoil: Fraction
) -> tuple[dict[str, int], dict[str, int]]:
    """Return the sets possible now, and those with the good pieces of the batches."""
    return (
        sets_made(together(bench)),
        sets_made(together(bench, good_pieces(batches, spoil))),
    )


def good_pieces(batches: Iterable[Batch], spoil: Fraction) -> Counter[str]:
    """Count the good pieces that sheets not cut yet may bring, rounded down."""
    cut: Counter[str] = Counter()
    for batch in batches:
        if batch.layout is not None:
            for gives in batch.layout.gives.all():
                cut[gives.piece.code] += gives.count * batch.left
    return Counter({code: int(count * (1 - spoil)) for code, count in cut.items()})


def pieces_short(
    bench: Bench, coming: Mapping[str, int] | None = None
) -> list[PieceShort]:
    """Return each piece that promised sets need, the shortest first.

    `coming` are good pieces that sheets planned for later will bring.
    """
    later = coming or {}
    wanted = needs.parts_of(bench.promised, bench.parts.ways, bench.parts.free)
    rows = [
        PieceShort(code, count, bench.parts.free.get(code, 0), later.get(code, 0))
        for code, count in wanted.items()
        if code in bench.pieces and count
    ]
    return sorted(rows, key=lambda row: (-row.short, row.code))


def mending_sheets(
    short: Iterable[PieceShort], layouts: Iterable[Layout], spoil: Fraction
) -> list[Suggestion]:
    """Return the sheet that mends a shortage: one for all of it where there is one."""
    plain = as_plain(layouts)
    lacking = {row.code: row.lacking for row in short if row.lacking}
    whole = layout_advice.sheet_for_shortfall(lacking, plain, spoil)
    if whole is not None:
        return [whole]
    singly = (
        layout_advice.sheet_for_shortfall({code: count}, plain, spoil)
        for code, count in lacking.items()
    )
    return [one for one in singly if one is not None]


def pieces_without_partner(bench: Bench) -> tuple[HalfSet, ...]:
    """Return the half sets among the loose pieces, the most money asleep first."""
    return half_sets(
        bench.parts.ways,
        bench.parts.free,
        {code: item.cost_mills // 10 for code, item in bench.pieces.items()},
    )


def faults_of(layouts: Iterable[Layout], bench: Bench) -> tuple[str, ...]:
    """Say which layouts do not give whole sets."""
    found = layout_advice.layout_faults(as_plain(layouts), bench.piece_recipes)
    return tuple(fault.sentence for fault in found)
