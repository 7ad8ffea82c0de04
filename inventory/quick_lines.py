"""Read a list of goods as somebody jots it down: a name, how many, perhaps a code.

    Sandglass set, 3 in, 9          name, count
    RF-090<tab>Ringfence set<tab>16 a copied column, with or without a heading

In a typed line the last number after a comma is the count, and what follows it is the
code. In a file with a heading the columns are told by their names. Nothing is thrown
away: what cannot be understood comes back as it was typed, to be put right in place.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

MOST_LINES = 300

_NUMBER = re.compile(r"[-+−]?[0-9][0-9.,]*")
_CODE = re.compile(r"[A-Za-z]{1,6}[-.]?[0-9][0-9A-Za-z-]*|[A-Z]{2,6}-[A-Z0-9-]+")
_HEADINGS = {
    "name": ("name", "item", "product", "what", "description", "title"),
    "count": ("count", "how many", "number", "quantity", "qty", "stock", "on hand"),
    "code": ("code", "ref", "reference", "item code"),
}
_KINDS = (
    ("gift", ("gift", "duo")),
    ("set", ("set", "template")),
    ("bundle", ("bundle", "fat quarter", "strips", "squares ×", "inch squares")),
    ("pattern", ("pattern",)),
    ("booklet", ("booklet",)),
    ("sheet", ("sheet",)),
    ("single", ("square", "piece", "ruler")),
    ("consumable", ("dot", "sleeve", "card", "label", "box", "thread", "needle")),
)
# Parts and paper are counted but seldom sold as they are.
NOT_SOLD = frozenset({"piece", "sheet", "booklet", "consumable"})


@dataclass(frozen=True)
class QuickLine:
    """One line as it was typed, in its three parts."""

    name: str
    count: str
    code: str = ""


def read_typed(text: str) -> list[QuickLine]:
    """Read what was typed or pasted, line by line; empty lines are left out."""
    lines = [line for line in text.replace("\r\n", "\n").split("\n") if line.strip()]
    if any("\t" in line for line in lines):
        return read_rows([line.split("\t") for line in lines])
    return [_typed_line(line) for line in lines]


def read_rows(rows: Iterable[Sequence[str]]) -> list[QuickLine]:
    """Read the rows of a table, whose first row may be a heading."""
    cells = [[cell.strip() for cell in row] for row in rows]
    filled = [row for row in cells if any(row)]
    if not filled:
        return []
    columns = _columns(filled[0])
    if columns is None:
        return [_row_of(row) for row in filled]
    return [
        QuickLine(
            *(_cell(row, columns.get(name)) for name in ("name", "count", "code"))
        )
        for row in filled[1:]
    ]


def guess_kind(name: str) -> str:
    """Guess what kind of thing a name means; she can change it."""
    plain = name.lower()
    for kind, words in _KINDS:
        if any(word in plain for word in words):
            return kind
    return "made"


def code_for(name: str, taken: Iterable[str]) -> str:
    """Make a code from a name: its initials, and its first number or the next free."""
    words = re.findall(r"[A-Za-z]+", name)
    letters = "".join(word[0] for word in words[:3]).upper() or "X"
    number = re.search(r"[0-9]+", name)
    begin = f"{letters}-{number[0]}"[:18] if number else letters
    used = {code.upper() for code in taken}
    code, n = begin, 1
    while code in used:
        n += 1
        code = f"{begin}-{n}"[:20]
    return code


def _typed_line(line: str) -> QuickLine:
    parts = [part.strip() for part in re.split(r"[,;]", line)]
    if len(parts) > 2 and _NUMBER.fullmatch(parts[-2]) and _CODE.fullmatch(parts[-1]):
        return QuickLine(", ".join(parts[:-2]), parts[-2], parts[-1])
    if len(parts) > 1:
        return QuickLine(", ".join(parts[:-1]), parts[-1])
    return _without_comma(line.strip())


def _without_comma(line: str) -> QuickLine:
    """Take a number at either end for the count: “12 tea towels”, “tea towels 12”."""
    before = re.fullmatch(r"([0-9]+)\s*[×x]?\s+(\D.*)", line)
    if before:
        return QuickLine(before[2].strip(), before[1])
    after = re.fullmatch(r"(.*?)\s+(?:[×x]\s*)?([0-9]+)", line)
    if after and not line.startswith("="):
        return QuickLine(after[1].strip(), after[2])
    return QuickLine(line, "")


def _columns(row: Sequence[str]) -> dict[str, int] | None:
    plain = [cell.lower() for cell in row]
    found = {
        name: place
        for name, words in _HEADINGS.items()
        for place, cell in enumerate(plain)
        if cell in words
    }
    return found if "name" in found and "count" in found else None


def _cell(row: Sequence[str], place: int | None) -> str:
    return row[place] if place is not None and place < len(row) else ""


def _row_of(row: Sequence[str]) -> QuickLine:
    """Tell the parts of a row by their looks: the count is a number, a code is short."""
    texts = [cell for cell in row if cell]
    count_at = next(
        (n for n, cell in enumerate(texts) if _NUMBER.fullmatch(cell)), None
    )
    count = texts.pop(count_at) if count_at is not None else ""
    code_at = next((n for n, cell in enumerate(texts) if _CODE.fullmatch(cell)), None)
    code = texts.pop(code_at) if code_at is not None and len(texts) > 1 else ""
    if not count and len(texts) > 1:
        count = texts.pop()
    return QuickLine(", ".join(texts), count, code)
