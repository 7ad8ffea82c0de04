"""Rows as a CSV file that a spreadsheet reads and never runs.

a field with a comma, a quotation mark or a line break stands in quotation marks,
quotation marks inside are doubled, lines end in CR LF   (RFC 4180, section 2)
a text that begins with = + - @, tab, CR, LF or NUL gets an apostrophe in front
(OWASP ASVS 5.0.0, 1.2.10); true numbers are left alone
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

Cell = str | int | Decimal | date | None

_RUN_BY_SPREADSHEETS = ("=", "+", "-", "@", "\t", "\r", "\n", "\0")


def csv_bytes(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """Write a header and rows as UTF-8.

    Days and moments are written as ISO 8601 has them, nothing as an empty field.
    Raises ValueError for a row that is not as long as the header.
    """
    page = io.StringIO(newline="")
    writer = csv.writer(page, lineterminator="\r\n")
    writer.writerow([guarded(name) for name in header])
    for row in rows:
        writer.writerow(
            [_written(cell) for _, cell in zip(header, row, strict=True)],
        )
    return page.getvalue().encode()


def guarded(words: str) -> str:
    """Put an apostrophe before a text that a spreadsheet would run."""
    return f"'{words}" if words.startswith(_RUN_BY_SPREADSHEETS) else words


def _written(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return guarded(cell)
    if isinstance(cell, date):
        return cell.isoformat()
    # "f" keeps a Decimal from being written with an exponent.
    return f"{cell:f}" if isinstance(cell, Decimal) else str(int(cell))
