"""Read the rows of an order file as orders: one row a line, one number an order.

A row that cannot be right is refused with its line number and a reason, and then all
rows of its order stay out, each saying why; the other orders go in. Days are written
the British way, the day first, unless the file puts the year first. Money is whole
pence, counts are whole numbers above nought.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time
from typing import Literal, TypeVar

from inventory.errors import NotACount
from orders import countries
from orders.addresses import Address, parse_one_line
from orders.filereading import FileLine, FileTable
from studio.days import at_clock, london_day, parse_day, show_moment
from studio.errors import StudioError
from studio.money import parse_pounds

DayOrder = Literal["dmy", "ymd"]
PaidWord = Literal["paid", "awaited", "free"]
Read = TypeVar("Read")

LARGEST_COUNT = 99_999
LONGEST = {
    "number": 40,
    "buyer": 120,
    "recipient": 120,
    "card_text": 300,
    "email": 254,
    "phone": 40,
    "town": 60,
    "postcode": 12,
}
YES = {"yes", "y", "true", "1", "gift", "x"}
NO = {"", "no", "n", "false", "0"}
PAID = {"paid", "yes", "y", "true", "1"}
AWAITED = {"", "no", "n", "unpaid", "awaited", "not paid", "false", "0"}
FREE = {"no charge", "free", "gratis"}

_WHOLE = re.compile(r"[0-9]{1,9}|[0-9]{1,3}(?:,[0-9]{3})+")
_CLOCK = re.compile(
    r"(?P<day>.+?)[ T,]+(?P<hour>[0-9]{1,2})[:.](?P<minute>[0-9]{2})"
    r"(?:[:.][0-9]{2}(?:\.[0-9]+)?)?(?: ?(?P<half>am|pm))?",
    re.IGNORECASE,
)
_YEAR_FIRST = re.compile(r"([0-9]{4})[/.]([0-9]{1,2})[/.]([0-9]{1,2})")


class RowRefused(StudioError):
    """Why one row cannot be read."""

    def __init__(self, reason: str) -> None:
        self.reason = reason
        super().__init__(reason)


@dataclass(frozen=True)
class ReadLine:
    line_number: int
    item_code: str
    count: int
    price_pence: int


@dataclass(frozen=True)
class ReadOrder:
    """One order as its rows tell it; `rows` are all its lines of the file."""

    number: str
    placed_at: datetime
    buyer: str
    address: Address
    lines: tuple[ReadLine, ...]
    rows: tuple[FileLine, ...]
    paid: PaidWord = "paid"
    paid_at: datetime | None = None
    email: str = ""
    phone: str = ""
    recipient: str = ""
    recipient_address: Address | None = None
    is_gift: bool = False
    card_text: str = ""
    need_by: date | None = None
    postage_pence: int = 0
    note: str = ""


@dataclass(frozen=True)
class RefusedRow:
    line: FileLine
    reason: str


@dataclass(frozen=True)
class Reading:
    orders: tuple[ReadOrder, ...]
    refused: tuple[RefusedRow, ...]


@dataclass(frozen=True)
class HowToRead:
    """Which heading is which of our words, how days are written, and what is known."""

    columns: Mapping[str, str]
    day_order: DayOrder
    now: datetime
    item_codes: Collection[str]
    item_names: Mapping[str, Collection[str]] = field(default_factory=dict)

    def cell(self, row: Mapping[str, str], key: str) -> str:
        return row.get(self.columns.get(key, ""), "").strip()

    def tells(self, key: str) -> bool:
        return bool(self.columns.get(key))


def read_orders(table: FileTable, how: HowToRead) -> Reading:
    """Read all rows; an order with one bad row stays out whole."""
    codes = codes_by_word(how)
    refused: dict[int, str] = {}
    orders: dict[str, ReadOrder] = {}
    members: dict[str, list[FileLine]] = {}
    for line in table.lines:
        row = table.row(line)
        number = how.cell(row, "number")
        members.setdefault(number, []).append(line)
        try:
            order = read_row(line, row, how, codes)
            orders[number] = joined(orders.get(number), order)
        except StudioError as error:
            refused[line.number] = str(error)
    return sorted_out(orders, members, refused)


def sorted_out(
    orders: Mapping[str, ReadOrder],
    members: Mapping[str, Sequence[FileLine]],
    refused: Mapping[int, str],
) -> Reading:
    good: list[ReadOrder] = []
    bad: list[RefusedRow] = []
    for number, lines in members.items():
        wrong = [line.number for line in lines if line.number in refused]
        if not wrong:
            good.append(replace(orders[number], rows=tuple(lines)))
            continue
        along = (
            f"Line {wrong[0]} of the same order, {number}, does not go in, so this "
            "one waits with it."
        )
        bad += [RefusedRow(line, refused.get(line.number, along)) for line in lines]
    bad.sort(key=lambda one: one.line.number)
    return Reading(tuple(good), tuple(bad))


def read_row(
    line: FileLine,
    row: Mapping[str, str],
    how: HowToRead,
    codes: Mapping[str, str],
) -> ReadOrder:
    """Read one row as an order of one line."""
    number = needed(how, row, "number", "There is no order number.")
    placed_at = moment_of(needed(how, row, "placed_at", "There is no date."), how)
    if placed_at > how.now:
        raise RowRefused(
            f"The order is dated {show_moment(placed_at)}, which is still to come. "
            "Check the day and the year."
        )
    paid, paid_at = paid_of(how, row, placed_at)
    order_line = ReadLine(
        line_number=line.number,
        item_code=item_of(needed(how, row, "item", "There is no item code."), codes),
        count=count_of(needed(how, row, "count", "It does not say how many.")),
        price_pence=pence_of(needed(how, row, "price", "There is no price.")),
    )
    return ReadOrder(
        number=number,
        placed_at=placed_at,
        buyer=needed(how, row, "buyer", "There is no buyer’s name."),
        address=address_of(how, row),
        lines=(order_line,),
        rows=(line,),
        paid=paid,
        paid_at=paid_at,
        email=short_enough(how, row, "email"),
        phone=short_enough(how, row, "phone"),
        recipient=short_enough(how, row, "recipient"),
        recipient_address=recipient_address_of(how, row),
        is_gift=is_gift(how.cell(row, "gift")),
        card_text=short_enough(how, row, "card_text"),
        need_by=day_or_none(how.cell(row, "need_by"), how),
        postage_pence=pence_of(how.cell(row, "postage") or "0"),
        note=how.cell(row, "note"),
    )


def joined(before: ReadOrder | None, order: ReadOrder) -> ReadOrder:
    """Add a row to the rows of its order, which must name the same buyer."""
    if before is None:
        return order
    if before.buyer.casefold() != order.buyer.casefold():
        raise RowRefused(
            f"{order.number} is for {before.buyer} on line {before.rows[0].number} "
            f"and for {order.buyer} here. Two orders may share a number by mistake."
        )
    return replace(
        before,
        lines=(*before.lines, *order.lines),
        rows=(*before.rows, *order.rows),
        postage_pence=before.postage_pence or order.postage_pence,
    )


def needed(how: HowToRead, row: Mapping[str, str], key: str, empty: str) -> str:
    if not how.cell(row, key):
        raise RowRefused(f"{empty} Fill that column and send the file again.")
    return short_enough(how, row, key)


def short_enough(how: HowToRead, row: Mapping[str, str], key: str) -> str:
    text = how.cell(row, key)
    longest = LONGEST.get(key, len(text))
    if len(text) > longest:
        raise RowRefused(
            f"“{text[:30]}…” is {len(text)} signs long; up to {longest} fit. "
            "Shorten it and send the file again."
        )
    return text


def codes_by_word(how: HowToRead) -> dict[str, str]:
    """Let an item be told by its code, or by a name that only one item has."""
    by_name: dict[str, str] = {}
    for name, codes in how.item_names.items():
        if len(codes) == 1:
            by_name[name.casefold()] = next(iter(codes))
    return by_name | {code.casefold(): code for code in how.item_codes}


def item_of(text: str, codes: Mapping[str, str]) -> str:
    found = codes.get(text.casefold())
    if found is not None:
        return found
    near = difflib.get_close_matches(text.casefold(), codes, n=1)
    hint = f"Is it {codes[near[0]]}?" if near else "Check it, or add the item first."
    raise RowRefused(f"There is no item with the code {text[:40]}. {hint}")


def count_of(text: str) -> int:
    count = int(text.replace(",", "")) if _WHOLE.fullmatch(text) else 0
    if not 0 < count <= LARGEST_COUNT:
        raise NotACount(text[:40])
    return count


def pence_of(text: str) -> int:
    pence = parse_pounds(text)
    if pence < 0:
        raise RowRefused(f"{text} is below nought. Write an amount of nought or more.")
    return pence


def is_gift(text: str) -> bool:
    return one_of(text, {True: YES, False: NO}, "Is it a gift?")


def one_of(text: str, words: Mapping[Read, Collection[str]], question: str) -> Read:
    for value, names in words.items():
        if text.casefold() in names:
            return value
    raise RowRefused(f"{question} “{text[:40]}” is neither yes nor no.")


def paid_of(
    how: HowToRead, row: Mapping[str, str], placed_at: datetime
) -> tuple[PaidWord, datetime | None]:
    """Read a yes, a no, “no charge”, or the day it was paid; no column means paid."""
    if not how.tells("paid"):
        return "paid", placed_at
    text = how.cell(row, "paid")
    word = text.casefold()
    if word in AWAITED:
        return "awaited", None
    if word in FREE:
        return "free", None
    if word in PAID:
        return "paid", placed_at
    paid_at = moment_of(text, how)
    if paid_at > how.now:
        raise RowRefused(
            f"It is said to be paid on {show_moment(paid_at)}, which is still to come. "
            "Check the day and the year."
        )
    return "paid", paid_at


def moment_of(text: str, how: HowToRead) -> datetime:
    """Read a day with or without a time, or a full ISO 8601 moment with its zone."""
    zoned = zoned_moment(text)
    if zoned is not None:
        return zoned
    found = _CLOCK.fullmatch(text)
    if found is None:
        return at_clock(day_of(text, how), time(0, 0))
    hour, minute = int(found["hour"]), int(found["minute"])
    if found["half"]:
        hour = hour % 12 + (12 if found["half"].lower() == "pm" else 0)
    if hour > 23 or minute > 59:
        raise RowRefused(f"“{text[:40]}” has a time that no clock shows.")
    return at_clock(day_of(found["day"], how), time(hour, minute))


def zoned_moment(text: str) -> datetime | None:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return None
    return moment if moment.tzinfo is not None else None


def day_of(text: str, how: HowToRead) -> date:
    if how.day_order == "ymd":
        text = _YEAR_FIRST.sub(r"\1-\2-\3", text.strip())
    return parse_day(text, today=london_day(how.now))


def day_or_none(text: str, how: HowToRead) -> date | None:
    return day_of(text, how) if text else None


def address_of(how: HowToRead, row: Mapping[str, str]) -> Address:
    needed(how, row, "address", "There is no address.")
    keys = ("address", "address_2", "town", "postcode")
    parts = [how.cell(row, key) for key in keys]
    return checked_address([*parts, country_of(how.cell(row, "country"))])


def country_of(text: str) -> str:
    """Take an English name or an ISO 3166-1 code; empty is home."""
    name = countries.NAMES.get(text.upper(), text)
    if name and countries.code_of(name) is None:
        raise RowRefused(
            f"“{text[:40]}” is not a country known here. Write its English name."
        )
    return name


def recipient_address_of(how: HowToRead, row: Mapping[str, str]) -> Address | None:
    if not how.cell(row, "recipient_address"):
        return None
    keys = ("recipient_address", "recipient_postcode")
    return checked_address(how.cell(row, key) for key in keys)


def checked_address(parts: Iterable[str]) -> Address:
    """Put the parts together and read them as one; every part has to find its room."""
    address = parse_one_line(", ".join(part for part in parts if part))
    for part, longest in (
        (address.town, LONGEST["town"]),
        (address.postcode, LONGEST["postcode"]),
        (countries.name_of(address.country), LONGEST["town"]),
    ):
        if len(part) > longest:
            raise RowRefused(f"“{part[:30]}…” is too long for an address line.")
    return address
