"""Say what may be posted, how, and for how much: formats, wraps, prices, minutes.

A format is a band of the price list with the limits of the packed item: three
sides in tenths of a millimetre, the longest first, and a weight in grams. Limits
are inclusive (Ofcom size table). Prices are whole pence.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from studio.errors import StudioError

FormatKind = Literal["letter", "large_letter", "small_parcel", "medium_parcel"]
ServiceCode = Literal["standard", "next-day"]


@dataclass(frozen=True)
class Wrap:
    """What goes round the goods, and what it adds."""

    name: str
    add_thickness_tenths_mm: int
    add_grams: int


@dataclass(frozen=True)
class Format:
    """One band of the price list: limits of the packed item, edges included."""

    code: str
    name: str
    kind: FormatKind
    max_tenths_mm: tuple[int, int, int]
    max_grams: int
    wrap: Wrap

    def __post_init__(self) -> None:
        longest_first = tuple(sorted(self.max_tenths_mm, reverse=True))
        if longest_first != self.max_tenths_mm:
            raise LimitsOutOfOrder(self.name)


@dataclass(frozen=True)
class Service:
    code: ServiceCode
    delivery_days: int


@dataclass(frozen=True)
class Price:
    format_code: str
    service: ServiceCode
    pence: int


@dataclass(frozen=True)
class Minutes:
    """Packing minutes of one packet."""

    letter: int
    large_letter: int
    parcel: int
    gift: int
    customs: int


@dataclass(frozen=True)
class Rules:
    """The price list in force. Formats run from the smallest to the largest."""

    formats: tuple[Format, ...]
    services: tuple[Service, ...]
    prices: tuple[Price, ...]
    minutes: Minutes
    _pence: Mapping[tuple[str, str], int] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        pence = {(p.format_code, p.service): p.pence for p in self.prices}
        object.__setattr__(self, "_pence", pence)

    def postage_pence(self, format_code: str, service: ServiceCode) -> int | None:
        """Return None where the price list has no such price."""
        return self._pence.get((format_code, service))


@dataclass(frozen=True)
class Thing:
    """One unit of an item as it is packed."""

    code: str
    name: str
    length_mm: int
    width_mm: int
    thickness_tenths_mm: int
    grams: int
    may_go_as_letter: bool


class LimitsOutOfOrder(StudioError):
    def __init__(self, format_name: str) -> None:
        self.format_name = format_name
        super().__init__(
            f"The limits of “{format_name}” must run from the longest side to the "
            "shortest. Enter the longest side first."
        )


def show_tenths_mm(tenths_mm: int) -> str:
    """Write tenths of a millimetre as millimetres, without a needless nought."""
    whole, tenth = divmod(tenths_mm, 10)
    return f"{whole}.{tenth} mm" if tenth else f"{whole} mm"
