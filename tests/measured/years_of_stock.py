"""Write years of stock work: what was opened, cut, made up, and the balances."""

import os
from datetime import date, datetime, time, timedelta

from inventory.models import Balance, Entry, Movement

YEARS = int(os.environ.get("BENCH_POST_MEASURED_YEARS", "10"))
ORDERS_A_YEAR = int(os.environ.get("BENCH_POST_MEASURED_ORDERS_A_YEAR", "10000"))
ORDERS = YEARS * ORDERS_A_YEAR
MOVEMENTS_AN_ORDER = 10
SIZES = int(os.environ.get("BENCH_POST_MEASURED_SIZES", "200"))
# The day before the demo's own book begins.
LAST_DAY = date(2027, 2, 20)
FIRST_DAY = date(LAST_DAY.year - YEARS, 3, 1)
SELLABLE = "sellable"


def stored(day, clock):
    """Return a moment as SQLite keeps it."""
    return f"{datetime.combine(day, clock)}"


def add_entry(book, verb, moment, moves, reference=""):
    """Write one entry; `moves` are item, count, from, to as keys."""
    entry = book.rows.new_key(Entry)
    book.rows.add(
        Entry,
        id=entry,
        request_id=book.rows.new_request(),
        fingerprint=f"{entry:064}",
        verb=verb,
        reference=reference,
        by_id=book.owner.pk,
        happened_at=moment,
        recorded_at=moment,
    )
    for item, count, from_place, to_place in moves:
        book.rows.add(
            Movement,
            id=book.rows.new_key(Movement),
            entry_id=entry,
            item_id=item,
            count=count,
            from_place_id=from_place,
            from_state=SELLABLE,
            to_place_id=to_place,
            to_state=SELLABLE,
        )
        book.moved[item, from_place] -= count
        book.moved[item, to_place] += count
    book.movements += len(moves)
    return entry


def write_opening(book):
    """Open every size, and the sheets, with enough that no place ends below nought."""
    moment, opening = stored(FIRST_DAY, time(7)), book.places["opening"]
    sheets = (
        book.sheet.pk,
        20 + MOVEMENTS_AN_ORDER * ORDERS,
        opening,
        book.places["rack"],
    )
    add_entry(book, Entry.Verb.OPENED.value, moment, [sheets])
    for size in book.sizes:
        move = (size.pk, 4 * ORDERS // SIZES + 20, opening, book.places["templates"])
        add_entry(book, Entry.Verb.OPENED.value, moment, [move])


def write_workshop(book):
    """Cut and make up in turn, until there are ten movements for each order."""
    wanted = ORDERS * MOVEMENTS_AN_ORDER
    already, span = book.movements, (LAST_DAY - FIRST_DAY).days
    turn = 0
    while book.movements < wanted:
        size = book.sizes[turn // 2 % len(book.sizes)].pk
        done = (book.movements - already) * span // (wanted - already)
        verb, moves = (cutting, making_up)[turn % 2](book, size)
        moment = stored(FIRST_DAY + timedelta(days=done), time(10))
        add_entry(book, verb, moment, moves[: wanted - book.movements])
        turn += 1


def cutting(book, size):
    sheet = (book.sheet.pk, 1, book.places["rack"], book.places["used"])
    made, drawer = book.places["made"], book.places["pieces"]
    pieces = [(piece, 2, made, drawer) for piece in book.pieces[size]]
    return Entry.Verb.CUT.value, [*pieces, sheet]


def making_up(book, size):
    made, drawer = book.places["made"], book.places["pieces"]
    used, shelf = book.places["used"], book.places["templates"]
    taken = [(piece, 1, drawer, used) for piece in book.pieces[size]]
    return Entry.Verb.MADE_UP.value, [*taken, (size, 1, made, shelf)]


def write_balances(book):
    """Add what moved to the balances that were there, and make the missing ones."""
    kept = {
        (one.item_id, one.place_id): one
        for one in Balance.objects.filter(state=SELLABLE)
    }
    changed, new = [], []
    for (item, place), count in book.moved.items():
        balance = kept.get((item, place))
        if balance is None:
            new.append(
                Balance(item_id=item, place_id=place, state=SELLABLE, count=count)
            )
        else:
            balance.count += count
            changed.append(balance)
    Balance.objects.bulk_update(changed, ["count"])
    Balance.objects.bulk_create(new)
