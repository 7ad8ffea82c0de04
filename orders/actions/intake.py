"""Take an order file in: every order once, each row with what became of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from uuid import NAMESPACE_URL, UUID, uuid5

from django.conf import settings
from django.db import transaction

from inventory.models import Item, Outlet
from inventory.queries.goods import codes_by_name
from orders.actions.asked import AskedLine, AskedOrder, Buyer
from orders.actions.taking import take_order
from orders.addresses import doorstep
from orders.filereading import (
    FileLine,
    FileTable,
    FileUnreadable,
    headings_key,
    read_file,
    unmatched,
)
from orders.models import FileMatch, FileRow, FileRun, Order
from orders.rowreading import HowToRead, ReadOrder, RefusedRow, read_orders
from studio.days import show_moment
from studio.errors import StudioError
from studio.models import Person

KNOWN_AT_ONCE = 500


def save_match(
    name: str,
    *,
    outlet: Outlet,
    columns: Mapping[str, str],
    headings: Sequence[str],
    day_order: str = "dmy",
) -> FileMatch:
    """Keep which column is which under a name; the headings recognise it next time."""
    missing = unmatched(columns, headings)
    if missing:
        listed = ", ".join(missing)
        raise FileUnreadable(f"No column is chosen yet for: {listed}. Choose one each.")
    match, _ = FileMatch.objects.update_or_create(
        name=name,
        defaults={
            "outlet": outlet,
            "columns": {key: heading for key, heading in columns.items() if heading},
            "headings_key": headings_key(headings),
            "day_order": day_order,
        },
    )
    return match


@transaction.atomic
def take_file(
    match: FileMatch,
    *,
    file_name: str,
    content: bytes,
    request_id: UUID,
    now: datetime,
    by: Person | None = None,
) -> FileRun:
    """Take every order of a file that is not in the book yet.

    Rows that cannot be right stay out with a reason, and all rows of their order with
    them; the same file sent again adds nothing.
    """
    said_before = FileRun.objects.filter(request_id=request_id).first()
    if said_before is not None:
        return said_before
    table = read_file(file_name, content, limit_bytes=settings.UPLOAD_LIMIT_BYTES)
    missing = unmatched(match.columns, table.headings)
    if missing:
        raise FileUnreadable(
            f"This file has no column for: {', '.join(missing)}. "
            f"It does not fit “{match.name}”. Match its columns anew."
        )
    run = FileRun.objects.create(
        match=match,
        file_name=file_name[:160],
        digest=sha256(content).hexdigest(),
        headings=list(table.headings),
        read_at=now,
        by=by,
        request_id=request_id,
    )
    FileRow.objects.bulk_create(rows_of_run(run, table, now, by), batch_size=500)
    count_rows(run)
    return run


def rows_of_run(
    run: FileRun, table: FileTable, now: datetime, by: Person | None
) -> list[FileRow]:
    items = Item.objects.filter(is_sold=True).in_bulk(field_name="code")
    reading = read_orders(
        table,
        HowToRead(
            columns=run.match.columns,
            day_order="ymd" if run.match.day_order == "ymd" else "dmy",
            now=now,
            item_codes=list(items),
            item_names=codes_by_name(items.values()),
        ),
    )
    known = known_orders([order.number for order in reading.orders])
    taker = Taker(run, items, known, now, by)
    rows = [taker.refused(one) for one in reading.refused]
    for order in sorted(reading.orders, key=lambda one: one.placed_at):
        rows += taker.take(order)
    return sorted(rows, key=lambda row: row.line_number)


def known_orders(numbers: Sequence[str]) -> dict[str, Order]:
    """Return the orders that are in the book already: one query a few hundred."""
    known: dict[str, Order] = {}
    for start in range(0, len(numbers), KNOWN_AT_ONCE):
        some = numbers[start : start + KNOWN_AT_ONCE]
        for order in Order.objects.filter(number__in=some).select_related("customer"):
            known[order.number] = order
    return known


@dataclass(frozen=True)
class Taker:
    """What taking one order of a file needs to know."""

    run: FileRun
    items: Mapping[str, Item]
    known: Mapping[str, Order]
    now: datetime
    by: Person | None

    def take(self, read: ReadOrder) -> list[FileRow]:
        known = self.known.get(read.number)
        if known is not None and self.is_another(read, known):
            return self.rows(read, FileRow.Outcome.REFUSED, another_words(known))
        if known is not None:
            when = show_moment(known.typed_in_at)
            return self.rows(read, FileRow.Outcome.KNOWN, f"In since {when}.", known)
        try:
            order = take_order(
                self.asked(read), request_id=self.own_id(read), now=self.now, by=self.by
            )
        except StudioError as error:
            return self.rows(read, FileRow.Outcome.REFUSED, str(error))
        return self.rows(read, FileRow.Outcome.ADDED, "", order)

    def is_another(self, read: ReadOrder, known: Order) -> bool:
        """Tell an order that only bears the same number as one in the book."""
        if known.outlet_id != self.run.match.outlet_id:
            return True
        buyer = known.customer
        is_same = (
            buyer.blanked_at is not None
            or buyer.name.casefold() == read.buyer.casefold()
            or buyer.doorstep == doorstep(read.address)
        )
        return not is_same

    def own_id(self, read: ReadOrder) -> UUID:
        """Derive the request id from the order itself, so that a replay adds nothing."""
        outlet = self.run.match.outlet.code
        return uuid5(NAMESPACE_URL, f"order {outlet} {read.number}")

    def asked(self, read: ReadOrder) -> AskedOrder:
        return AskedOrder(
            number=read.number,
            outlet=self.run.match.outlet,
            buyer=Buyer(read.buyer, read.address, read.email, read.phone),
            lines=tuple(
                AskedLine(self.items[line.item_code], line.count, line.price_pence)
                for line in read.lines
            ),
            placed_at=read.placed_at,
            paid=Order.Paid(read.paid),
            paid_at=read.paid_at,
            postage_charged_pence=read.postage_pence,
            kind=Order.Kind.GOODWILL if read.paid == "free" else Order.Kind.SALE,
            recipient_name=read.recipient,
            recipient_address=read.recipient_address,
            is_gift=read.is_gift,
            card_text=read.card_text,
            need_by=read.need_by,
            customer_note=read.note,
        )

    def rows(
        self, read: ReadOrder, outcome: str, reason: str, order: Order | None = None
    ) -> list[FileRow]:
        return [self.row(line, outcome, reason, order) for line in read.rows]

    def refused(self, one: RefusedRow) -> FileRow:
        return self.row(one.line, FileRow.Outcome.REFUSED, one.reason)

    def row(
        self, line: FileLine, outcome: str, reason: str, order: Order | None = None
    ) -> FileRow:
        return FileRow(
            run=self.run,
            line_number=line.number,
            outcome=outcome,
            reason=reason[:300],
            cells=list(line.cells),
            order=order,
        )


def another_words(known: Order) -> str:
    return (
        f"{known.number} is in the book for {known.customer.name} already, and this is "
        "another order. Give one of the two another number."
    )


def count_rows(run: FileRun) -> None:
    outcomes = [row.outcome for row in run.read_rows.all()]
    run.rows = len(outcomes)
    run.added = outcomes.count(FileRow.Outcome.ADDED)
    run.known = outcomes.count(FileRow.Outcome.KNOWN)
    run.refused = outcomes.count(FileRow.Outcome.REFUSED)
    run.save(update_fields=["rows", "added", "known", "refused"])
