"""Read an order file of a shop as it was sent: bytes in, headings and rows of text out.

CSV in the usual encodings and with the usual separators (RFC 4180 quoting), or the
first sheet of an XLSX workbook. Nothing is stripped silently but blank lines; line
numbers are those of the file. What a file is decides, not what it is called.
"""

from __future__ import annotations

import csv
import io
import warnings
import zipfile
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from hashlib import sha256
from pathlib import PurePath

from studio.errors import StudioError

MOST_COLUMNS = 100
MOST_ROWS = 20_000
# A workbook that grows beyond this when unpacked is a trap, not a list of orders.
MOST_TIMES_UNPACKED = 20
SEPARATORS = (",", ";", "\t")
ZIP_MARK, OLD_WORKBOOK_MARK = b"PK\x03\x04", b"\xd0\xcf\x11\xe0"
TEXT_ENDINGS = {".csv", ".txt", ".tsv", ""}
UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")


class FileUnreadable(StudioError):
    """A file that cannot be read as a list of orders; `reason` says why."""

    def __init__(self, reason: str) -> None:
        self.reason = reason
        super().__init__(reason)


@dataclass(frozen=True)
class FileLine:
    """One row of the file with the number of its first line."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class FileTable:
    headings: tuple[str, ...]
    lines: tuple[FileLine, ...]

    def row(self, line: FileLine) -> dict[str, str]:
        """Name the cells by their headings; a short line has empty ones at its end."""
        empty = [""] * (len(self.headings) - len(line.cells))
        return dict(zip(self.headings, [*line.cells, *empty], strict=False))


@dataclass(frozen=True)
class Column:
    """One of our words for what an order file tells, and what shops call it."""

    key: str
    words: str
    needed: bool = False
    also: tuple[str, ...] = ()


COLUMNS = (
    Column(
        "number",
        "Order number",
        True,
        ("order", "order no", "order id", "order ref", "order reference", "reference"),
    ),
    Column(
        "placed_at",
        "Placed at",
        True,
        (
            "placed",
            "date",
            "order date",
            "ordered",
            "created",
            "created at",
            "sale date",
        ),
    ),
    Column(
        "item",
        "Item code or name",
        True,
        ("item", "code", "product", "product code", "item number", "item name"),
    ),
    Column(
        "count",
        "How many",
        True,
        ("count", "quantity", "qty", "number", "units", "pieces"),
    ),
    Column(
        "price",
        "Price each",
        True,
        ("each", "price", "unit price", "item price", "price per item"),
    ),
    Column(
        "buyer",
        "Buyer",
        True,
        ("buyer name", "customer", "customer name", "name", "full name", "bought by"),
    ),
    Column(
        "address",
        "Address",
        True,
        ("buyer address", "address 1", "address line 1", "street", "ship address 1"),
    ),
    Column(
        "address_2",
        "Address, second line",
        also=("address 2", "address line 2", "ship address 2"),
    ),
    Column("town", "Town", also=("city", "post town", "ship city")),
    Column("postcode", "Postcode", also=("post code", "zip", "ship postcode")),
    Column("country", "Country", also=("ship country",)),
    Column("email", "E-mail", also=("email", "buyer email", "e-mail address")),
    Column("phone", "Telephone", also=("phone", "tel", "mobile")),
    Column(
        "recipient", "Sent to", also=("send to", "recipient", "ship name", "ship to")
    ),
    Column(
        "recipient_address",
        "Recipient’s address",
        also=("send to address", "recipient address", "delivery address"),
    ),
    Column(
        "recipient_postcode",
        "Recipient’s postcode",
        also=("send to postcode", "recipient postcode", "delivery postcode"),
    ),
    Column("gift", "Is it a gift", also=("gift", "is gift")),
    Column(
        "card_text", "Words for the card", also=("card words", "gift message", "card")
    ),
    Column("need_by", "Needed by", also=("need by", "deliver by", "wanted by")),
    Column("paid", "Paid", also=("paid on", "paid at", "date paid", "payment date")),
    Column(
        "postage", "Postage charged", also=("postage", "shipping", "delivery charge")
    ),
    Column("note", "Customer’s note", also=("note", "notes", "message", "comments")),
)


def read_file(name: str, content: bytes, *, limit_bytes: int) -> FileTable:
    """Read a file whole, or raise FileUnreadable with a sentence for the maker."""
    check_size(content, limit_bytes)
    rows = rows_of_workbook if is_workbook(name, content) else rows_of_text
    numbered = (row for row in rows(content, limit_bytes) if any(row[1]))
    return table_of(numbered)


def check_size(content: bytes, limit_bytes: int) -> None:
    if not content:
        raise FileUnreadable("The file is empty. Save it from the shop once more.")
    if len(content) > limit_bytes:
        tenths = (len(content) * 10 + 512 * 1024) // (1024 * 1024)
        raise FileUnreadable(
            f"The file is {tenths // 10}.{tenths % 10} MB; up to "
            f"{limit_bytes // (1024 * 1024)} MB can be read. "
            "Save fewer days at a time from the shop."
        )


def is_workbook(name: str, content: bytes) -> bool:
    """Tell a workbook from text by what is in it, and refuse what claims otherwise."""
    ending = PurePath(name.lower()).suffix
    if content.startswith(OLD_WORKBOOK_MARK) or ending == ".xls":
        raise FileUnreadable(
            "This is an old kind of workbook (.xls). "
            "Open it, save it as .xlsx or as CSV, and send that."
        )
    zipped = content.startswith(ZIP_MARK)
    if ending == ".xlsx" and not zipped:
        raise FileUnreadable(
            f"{name} is called a workbook, but it is not one inside. "
            "Save it from the shop once more, as CSV or as .xlsx."
        )
    if ending in TEXT_ENDINGS and zipped:
        raise FileUnreadable(
            f"{name} is called a text file, but it is a packed one inside. "
            "If it is a workbook, give it the ending .xlsx and send it again."
        )
    if ending not in {*TEXT_ENDINGS, ".xlsx"}:
        raise FileUnreadable(
            f"Files ending in {ending} cannot be read here. "
            "Save the orders as CSV or as .xlsx and send that."
        )
    return zipped


NumberedRow = tuple[int, Sequence[str]]


def rows_of_text(content: bytes, limit_bytes: int) -> Iterator[NumberedRow]:
    text = decoded(content)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator_of(text))
    last = 0
    try:
        for cells in reader:
            yield last + 1, cells
            last = reader.line_num
    except csv.Error as error:
        raise FileUnreadable(
            f"Line {last + 1} of the file cannot be read as a row. A quotation mark "
            "may be missing there. Save the file from the shop once more."
        ) from error


def decoded(content: bytes) -> str:
    """Decode text: by its mark, as UTF-8, or as the Western code page 1252."""
    if content.startswith(UTF16_MARKS):
        tries = ["utf-16"]
    elif b"\x00" in content:
        raise FileUnreadable(
            "This is not a text file inside, whatever it is called. "
            "Save the orders as CSV or as .xlsx and send that."
        )
    else:
        tries = ["utf-8-sig", "cp1252"]
    for encoding in tries:
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise FileUnreadable(
        "The letters in this file are in no alphabet that can be read here. "
        "Save it as CSV in UTF-8 and send it again."
    )


def separator_of(text: str) -> str:
    """Take the separator that makes the most columns of the headings."""
    first = next((line for line in text.splitlines() if line.strip()), "")

    def columns(separator: str) -> int:
        return len(next(csv.reader([first], delimiter=separator), []))

    return max(SEPARATORS, key=columns)


def rows_of_workbook(content: bytes, limit_bytes: int) -> Iterator[NumberedRow]:
    check_unpacked(content, limit_bytes)
    # Slow library, and most shops send CSV.
    import openpyxl  # noqa: PLC0415

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            book = openpyxl.load_workbook(
                io.BytesIO(content), read_only=True, data_only=True
            )
        sheet = book.worksheets[0]
        for number, row in enumerate(sheet.iter_rows(values_only=True), start=1):
            yield number, [cell_text(cell) for cell in row]
    except (KeyError, IndexError, ValueError, zipfile.BadZipFile) as error:
        raise broken_workbook() from error


def check_unpacked(content: bytes, limit_bytes: int) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            infos = packed.infolist()
    except zipfile.BadZipFile as error:
        raise broken_workbook() from error
    if not any(info.filename == "xl/workbook.xml" for info in infos):
        raise broken_workbook()
    if sum(info.file_size for info in infos) > limit_bytes * MOST_TIMES_UNPACKED:
        raise FileUnreadable(
            "This workbook unpacks to far more than a list of orders. "
            "Save the orders as CSV and send that."
        )


def broken_workbook() -> FileUnreadable:
    return FileUnreadable(
        "This workbook is broken, or it is something else that is packed. "
        "Open it, save it as CSV, and send that."
    )


def cell_text(cell: object) -> str:
    """Write a cell as a person would have typed it."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, datetime):
        with_time = cell.time() != time(0, 0)
        return f"{cell:%d/%m/%Y %H:%M}" if with_time else f"{cell:%d/%m/%Y}"
    if isinstance(cell, date):
        return f"{cell:%d/%m/%Y}"
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    return str(cell)


def table_of(numbered: Iterable[NumberedRow]) -> FileTable:
    rows = iter(numbered)
    first = next(rows, None)
    if first is None:
        raise FileUnreadable("There is nothing in the file. Save it once more.")
    headings = named_apart(first[1])
    lines = tuple(lines_of(rows, len(headings)))
    if not lines:
        raise FileUnreadable(
            "The file has headings and no rows below them. "
            "Save it from the shop for days that have orders."
        )
    return FileTable(headings, lines)


def lines_of(rows: Iterable[NumberedRow], width: int) -> Iterator[FileLine]:
    for place, (number, cells) in enumerate(rows):
        if place >= MOST_ROWS:
            raise FileUnreadable(
                f"The file has more than {MOST_ROWS:,} rows. "
                "Save fewer days at a time from the shop."
            )
        yield FileLine(number, tuple(cells[:width]))


def named_apart(cells: Sequence[str]) -> tuple[str, ...]:
    """Give each column a heading of its own: no two alike, none empty."""
    last = max((place for place, cell in enumerate(cells) if cell.strip()), default=-1)
    if last >= MOST_COLUMNS:
        raise FileUnreadable(
            f"The file has {last + 1} columns; up to {MOST_COLUMNS} can be read. "
            "Save it with fewer columns."
        )
    seen: Counter[str] = Counter()
    headings = []
    for place, cell in enumerate(cells[: last + 1], start=1):
        heading = " ".join(cell.split()) or f"Column {place}"
        seen[heading] += 1
        headings.append(
            heading if seen[heading] == 1 else f"{heading} ({seen[heading]})"
        )
    return tuple(headings)


def guess_columns(headings: Sequence[str]) -> dict[str, str]:
    """Guess which heading is which of our words: the closest name wins.

    Our own words and names count first, so that "Number" beside "Order" is the count.
    """
    plain = {plainly(heading): heading for heading in reversed(headings)}
    guessed: dict[str, str] = {}
    for column in COLUMNS:
        for name in (column.words, *column.also):
            heading = plain.get(plainly(name))
            if heading is not None and heading not in guessed.values():
                guessed[column.key] = heading
                break
    return guessed


def plainly(heading: str) -> str:
    letters = "".join(sign if sign.isalnum() else " " for sign in heading.casefold())
    return " ".join(letters.split())


def headings_key(headings: Sequence[str]) -> str:
    """Return what recognises a kind of file by its headings, in any order."""
    text = "\n".join(sorted(plainly(heading) for heading in headings))
    return sha256(text.encode()).hexdigest()


def unmatched(columns: Mapping[str, str], headings: Sequence[str]) -> list[str]:
    """Return the words that an order cannot do without and that no column tells."""
    return [
        column.words
        for column in COLUMNS
        if column.needed and columns.get(column.key) not in headings
    ]
