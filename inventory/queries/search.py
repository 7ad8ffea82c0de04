"""Find goods by any scrap: a name, a code, what people call it, a size in words."""

from __future__ import annotations

import re
from fractions import Fraction

from django.db.models import Q, QuerySet

from inventory.models import Item
from studio import lengths

_NUMBERS = (
    *("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen"),
    *("eighteen", "nineteen", "twenty"),
)
_WORDS = {word: number for number, word in enumerate(_NUMBERS, start=1)}
_AND_A_HALF = re.compile(r"\b([a-z]+|[0-9]+)[\s-]+and[\s-]+a[\s-]+half\b")
_SPLIT_FRACTION = re.compile(r"\b([0-9]+)[\s-]+([0-9]+/[0-9]+)")
_INCHES_AFTER = re.compile(r"[\s-]*(?:inches|inch|ins|in|\"|″|”)$")
_LOOSE_UNIT = re.compile(r"(?<=[0-9a-z½¼¾⅛⅜⅝⅞])[\s-]+(inches|inch|ins|in)\b")
_FEWEST_LETTERS = 1


def items_like(scrap: str, items: QuerySet[Item]) -> QuerySet[Item]:
    """Keep the items that every word of the scrap fits.

    A word that is a size keeps the items of that finished size, where there are any;
    else it is a scrap like other words.
    """
    for word in words_of(scrap):
        size = size_of(word)
        of_size = items.filter(finished_size=size) if size else items.none()
        items = of_size if size and of_size.exists() else items.filter(fits(word))
    return items


def words_of(scrap: str) -> list[str]:
    """Split a scrap into words, keeping “4 1/2” and “nine inch” whole."""
    plain = _AND_A_HALF.sub(r"\1½", scrap.lower().strip())
    plain = _SPLIT_FRACTION.sub(r"\1+\2", plain)
    plain = _LOOSE_UNIT.sub(r"-\1", plain)
    return [
        word for word in plain.replace(",", " ").split() if len(word) >= _FEWEST_LETTERS
    ]


def size_of(word: str) -> Fraction | None:
    """Read a word as a size in inches: “9”, “nine-inch”, “4½”, “4½in”."""
    plain = _INCHES_AFTER.sub("", word)
    half = Fraction(1, 2) if plain.endswith("½") else Fraction(0)
    if plain.removesuffix("½") in _WORDS:
        return _WORDS[plain.removesuffix("½")] + half
    try:
        return lengths.parse_length(plain.replace("+", " "))
    except lengths.LengthUnreadable:
        return None


def fits(word: str) -> Q:
    plain = word.replace("+", " ")
    return (
        Q(name__icontains=plain)
        | Q(code__icontains=plain)
        | Q(other_words__icontains=plain)
        | Q(design__name__icontains=plain)
        | Q(design__other_words__icontains=plain)
    )
