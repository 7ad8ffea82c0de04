"""Turn a CSV or spreadsheet file into rows of text, or say why it cannot be read."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterable

from openpyxl import load_workbook
from openpyxl.utils.exceptions import InvalidFileException

from studio.errors import StudioError

_MOST_ROWS = 2000
_MOST_COLUMNS = 40
_MOST_UNPACKED_BYTES = 50 * 1024 * 1024
_ZIP = b"PK\x03\x04"


class FileUnreadable(StudioError):
    """A file that is neither a CSV nor a spreadsheet, or far too large."""


def rows_of_file(content: bytes) -> list[list[str]]:
    """Read a file by what is in it, whatever it is called."""
    if content.startswith(_ZIP):
        return rows_of_spreadsheet(content)
    return rows_of_csv(content)


def rows_of_csv(content: bytes) -> list[list[str]]:
    if b"\0" in content:
        raise FileUnreadable(
            "This file is neither a CSV nor a spreadsheet. Save the list as CSV or "
            "XLSX, and choose that."
        )
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("cp1252", errors="replace")
    first = text.partition("\n")[0]
    mark = max(",;\t", key=first.count)
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    try:
        return _few_enough([cell.strip() for cell in row] for row in rows)
    except csv.Error as error:
        raise FileUnreadable(
            "This file has a line that cannot be read. Save it as CSV again, please."
        ) from error


def rows_of_spreadsheet(content: bytes) -> list[list[str]]:
    """Read the first sheet; a formula stays the text it is and is refused later."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            size = sum(part.file_size for part in packed.infolist())
        if size > _MOST_UNPACKED_BYTES:
            raise FileUnreadable(
                "This spreadsheet is far larger than a list of goods. "
                "Copy the list into a new one, and choose that."
            )
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=False)
    except (zipfile.BadZipFile, InvalidFileException, KeyError, ValueError) as error:
        raise FileUnreadable(
            "This spreadsheet cannot be opened. Save it as XLSX again, or as CSV."
        ) from error
    try:
        sheet = book.worksheets[0]
        cells = sheet.iter_rows(values_only=True, max_col=_MOST_COLUMNS)
        return _few_enough([_as_text(cell) for cell in row] for row in cells)
    finally:
        book.close()


def _few_enough(rows: Iterable[list[str]]) -> list[list[str]]:
    taken: list[list[str]] = []
    for row in rows:
        if not any(row):
            continue
        if len(taken) == _MOST_ROWS:
            raise FileUnreadable(
                f"This file has more than {_MOST_ROWS:,} lines. Send it in parts."
            )
        taken.append(row)
    return taken


def _as_text(cell: object) -> str:
    if cell is None:
        return ""
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    return str(cell).strip()
