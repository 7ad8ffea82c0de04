"""Read, tidy, compare and print postal addresses.

Order of the lines: person, organisation, flat, building, number and street,
locality, POST TOWN, POSTCODE; abroad the country last, in English capitals. No
commas, no full stops, no county (Post Office, “How to address mail”; number-like
building names belong on the street line: Postcode Address File guide, from
memory). The buyer's own spelling is kept; a doubtful address is asked about,
never refused.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256

from orders import countries
from orders.postcodes import (
    normalise_postcode,
    postcode_shape_ok,
    postcode_warning,
    suggest_postcode,
)

__all__ = [
    "Address",
    "AddressParts",
    "address_of_parts",
    "doorstep",
    "label_lines",
    "normalise_postcode",
    "parse_one_line",
    "postcode_shape_ok",
    "postcode_warning",
    "show_one_line",
    "suggest_postcode",
    "what_is_missing",
]


@dataclass(frozen=True)
class Address:
    """Free lines, with town, postcode and country in their own fields.

    The country is empty at home; abroad it is an English name or an ISO 3166-1 code.
    """

    lines: tuple[str, ...]
    town: str
    postcode: str
    country: str = ""

    @property
    def is_abroad(self) -> bool:
        code = countries.code_of(self.country) or self.country
        return bool(code) and code not in countries.INLAND

    @property
    def country_abroad(self) -> str:
        """Return the English name of the country, empty for inland post."""
        return countries.name_of(self.country) if self.is_abroad else ""


@dataclass(frozen=True)
class AddressParts:
    """An inland address by its parts, as forms and files may give it."""

    organisation: str = ""
    sub_building: str = ""
    building_name: str = ""
    building_number: str = ""
    thoroughfare: str = ""
    locality: str = ""
    post_town: str = ""
    postcode: str = ""


LONGEST_KEY = 200

_NUMBER_ALONE = re.compile(r"\d+[A-Za-z]?(?:\s?[-–/]\s?\d+[A-Za-z]?)?")
_POSTCODE_AT_END = re.compile(r"(.*\S)\s+(\S+\s+\S{3}|\S{5,7})")
_STOP_NOT_IN_NUMBER = re.compile(r"(?<!\d)\.|\.(?!\d)")

_SHORT_FORMS = {
    "apt": "flat",
    "av": "avenue",
    "ave": "avenue",
    "cl": "close",
    "cres": "crescent",
    "ct": "court",
    "dr": "drive",
    "gdns": "gardens",
    "gr": "grove",
    "ln": "lane",
    "mt": "mount",
    "pl": "place",
    "rd": "road",
    "sq": "square",
    "ter": "terrace",
    "terr": "terrace",
}
# Words for streets that seldom end the name of a house.
_STREET_WORDS = frozenset(
    {
        "avenue",
        "close",
        "crescent",
        "drive",
        "grove",
        "lane",
        "mews",
        "parade",
        "road",
        "row",
        "street",
        "terrace",
        "walk",
        "way",
    }
)


def parse_one_line(text: str) -> Address:
    """Read an address written with commas or on several lines."""
    parts = [_tidy(part) for part in re.split(r"[,\n\r]+", text)]
    parts = [part for part in parts if part]
    country = _take_country(parts)
    postcode = _take_postcode(parts)
    town = parts.pop() if _has_town(parts, country) else ""
    return Address(_joined_numbers(parts), town, postcode, country)


def address_of_parts(parts: AddressParts) -> Address:
    lines = [
        parts.organisation,
        parts.sub_building,
        parts.building_name,
        parts.building_number,
        parts.thoroughfare,
        parts.locality,
    ]
    return Address(_joined_numbers(lines), parts.post_town, parts.postcode)


def show_one_line(address: Address) -> str:
    """Write the address with commas, as it was typed."""
    every = [*address.lines, address.town, address.postcode, address.country_abroad]
    return ", ".join(part for part in every if part)


def label_lines(address: Address, name: str) -> tuple[str, ...]:
    """Return the lines of a label from top to bottom, the name first."""
    every = [
        _tidy(name),
        *_joined_numbers(address.lines),
        _tidy(address.town).upper(),
        _printed_postcode(address),
        address.country_abroad.upper(),
    ]
    return tuple(line for line in every if line)


def doorstep(address: Address) -> str:
    """Return a key that is equal for two spellings of one door.

    Case, punctuation, spacing and short forms do not count; every word does, so
    that a doubtful pair is left apart. The town is left out where the postcode is
    well formed. Joining is for addresses from which nothing is missing.
    """
    lines = _door_words(address.lines)
    if not address.is_abroad and postcode_shape_ok(address.postcode):
        return _short_key(f"{normalise_postcode(address.postcode)} {lines}")
    rest = _door_words([address.town, address.postcode, address.country_abroad])
    return _short_key(f"{lines} {rest}")


def what_is_missing(address: Address) -> str | None:
    """Say what a carrier would look for in vain, or return None."""
    if not (address.lines or address.town or address.postcode):
        return "There is no address yet."
    if not address.lines:
        where = address.town or address.postcode
        return f"There is no house and no street before {where}."
    if address.is_abroad:
        return None
    return _missing_inland(address)


def _missing_inland(address: Address) -> str | None:
    if not address.postcode:
        last = address.town or address.lines[-1]
        return f"There is no postcode after {last}."
    if _is_street_alone(address.lines):
        return f"There is no house number or house name before {address.lines[0]}."
    if not address.town:
        return f"There is no town between {address.lines[-1]} and {address.postcode}."
    return None


def _is_street_alone(lines: Sequence[str]) -> bool:
    """Tell a street from the name of a house: no number, and no street below it."""
    if any(sign.isdigit() for line in lines for sign in line):
        return False
    first, *others = [_ends_as_street(line) for line in lines]
    return first and not any(others)


def _ends_as_street(line: str) -> bool:
    words = _door_words([line]).split()
    return bool(words) and words[-1] in _STREET_WORDS


def _take_country(parts: list[str]) -> str:
    """Take a known country off the end; the kingdom itself needs no name."""
    code = countries.code_of(parts[-1]) if len(parts) > 1 else None
    if code is None:
        return ""
    parts.pop()
    return "" if code == "GB" else countries.name_of(code)


def _has_town(parts: Sequence[str], country: str) -> bool:
    if not parts or country:
        return bool(parts)
    street_alone = len(parts) == 1 and _ends_as_street(parts[0])
    return not (parts[-1][0].isdigit() or street_alone)


def _take_postcode(parts: list[str]) -> str:
    """Take the postcode off the end: a part of its own or the end of the town's."""
    if not parts:
        return ""
    last = parts[-1]
    if _looks_like_postcode(last):
        parts.pop()
        return _kept_postcode(last)
    found = _POSTCODE_AT_END.fullmatch(last)
    if found and postcode_shape_ok(found[2]):
        parts[-1] = found[1]
        return normalise_postcode(found[2])
    return ""


def _looks_like_postcode(part: str) -> bool:
    """Take short text with a digit at its end or near it, well formed or not."""
    if postcode_shape_ok(part):
        return True
    words = part.split()
    short = len(part) <= 10 and len(words) <= 2
    return short and any(sign.isdigit() for sign in words[-1])


def _kept_postcode(text: str) -> str:
    if postcode_shape_ok(text):
        return normalise_postcode(text)
    return text


def _printed_postcode(address: Address) -> str:
    if address.is_abroad:
        return _tidy(address.postcode).upper()
    return _kept_postcode(_tidy(address.postcode)).upper()


def _joined_numbers(lines: Sequence[str]) -> tuple[str, ...]:
    """Put a number that stands alone on the line of its street."""
    joined: list[str] = []
    number = ""
    for line in filter(None, map(_tidy, lines)):
        if number:
            line = f"{number} {line}"
            number = ""
        if _NUMBER_ALONE.fullmatch(line):
            number = line
        else:
            joined.append(line)
    if number:
        joined.append(number)
    return tuple(joined)


def _tidy(line: str) -> str:
    """Take stray punctuation and spacing off; leave the spelling alone."""
    without_stops = _STOP_NOT_IN_NUMBER.sub("", line.replace(",", " "))
    return " ".join(without_stops.split()).strip(" ;:-")


def _short_key(key: str) -> str:
    """Keep a very long key apart from its like by a digest, never by cutting."""
    if len(key) <= LONGEST_KEY:
        return key
    return sha256(key.encode()).hexdigest()


def _door_words(lines: Sequence[str]) -> str:
    words = [word for line in lines for word in _line_words(line)]
    text = " ".join(words)
    text = re.sub(r"\b(?:no|number) (?=\d)", "", text)
    return re.sub(r"(?<=\d) (?=[a-z]\b)", "", text)


def _line_words(line: str) -> list[str]:
    """Split a line into plain words with the short forms written out."""
    plain = re.sub(r"['’]", "", line.casefold())
    words = re.sub(r"[^\w]+", " ", plain).split()
    spelt = [_SHORT_FORMS.get(word, word) for word in words]
    ends = len(spelt) - 1
    return [
        ("street" if place == ends else "saint") if word == "st" else word
        for place, word in enumerate(spelt)
    ]
