"""Find the format that takes a packet, and say what pushed it up.

A packet is a stack: its length and width are those of the largest thing in it,
its thickness is the sum of the thicknesses plus the wrap, its weight the sum of
the weights plus the wrap. Sides and limits are sorted and compared pair by pair;
every limit is inclusive (Ofcom size table; sorting is common practice). A packet
takes the smallest format that passes. Hard pieces never go as a letter: a house
rule, kept on the thing itself.

Sides are tenths of a millimetre, weights whole grams.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from orders.formats import Format, Rules, Thing, Wrap, show_tenths_mm
from studio.errors import StudioError

SideName = Literal["length", "width", "thickness"]

NEAR_TENTHS_MM = 10
NEAR_GRAMS = 5


@dataclass(frozen=True)
class Refusal:
    """Why a format does not take the packet."""

    format: Format
    reason: str


@dataclass(frozen=True)
class FitResult:
    """The packed stack and the format that takes it, with the reasons."""

    format: Format | None
    length_tenths_mm: int
    width_tenths_mm: int
    thickness_tenths_mm: int
    grams: int
    refused: tuple[Refusal, ...]
    warnings: tuple[str, ...]

    @property
    def pushed_up_by(self) -> str | None:
        """Name the side, weight or rule that kept it out of the format below."""
        return self.refused[-1].reason if self.refused else None

    @property
    def sentence(self) -> str:
        packed = f"{self.grams} g, {show_tenths_mm(self.thickness_tenths_mm)} thick"
        if self.format is None:
            why = self.pushed_up_by or ""
            return (
                f"No format takes it ({packed}). {why} Split it or ask at the counter."
            )
        parts = [f"Goes as {_a(self.format.name)} ({packed})."]
        if self.pushed_up_by:
            parts.append(self.pushed_up_by)
        return " ".join([*parts, *self.warnings])


class NothingToPack(StudioError):
    def __init__(self) -> None:
        super().__init__("There is nothing in this packet. Add at least one thing.")


class NotMeasured(StudioError):
    """A thing has no packed size or weight yet."""

    def __init__(self, thing: Thing) -> None:
        self.code = thing.code
        super().__init__(
            f"{thing.code} ({thing.name}) has no packed size or weight yet. "
            "Measure one and enter it on its page."
        )


def fit(things: Sequence[Thing], rules: Rules) -> FitResult:
    """Find the smallest format that takes these things in one packet."""
    refused: list[Refusal] = []
    for fmt in rules.formats:
        reason = _refusal(things, fmt)
        if reason is None:
            return _result(things, fmt, refused)
        refused.append(Refusal(fmt, reason))
    return _too_big(things, rules, refused)


def every_fit(things: Sequence[Thing], rules: Rules) -> Iterator[FitResult]:
    """Yield the smallest fit, then each larger format that is legal too."""
    smallest = fit(things, rules)
    yield smallest
    for fmt in rules.formats[len(smallest.refused) + 1 :]:
        if _refusal(things, fmt) is None:
            yield _result(things, fmt, smallest.refused)


def format_for(
    sides_tenths_mm: tuple[int, int, int], grams: int, rules: Rules
) -> Format | None:
    """Find the smallest format for a packet already measured and weighed."""
    sides = _named(*sides_tenths_mm)
    passing = (f for f in rules.formats if _over(sides, grams, f) is None)
    return next(passing, None)


def roll_fits(
    length_mm: int, diameter_mm: int, *, max_sum_mm: int = 1040, max_side_mm: int = 900
) -> bool:
    """Apply the rule for rolls: length plus two diameters, and the longest side.

    Source: operator's inland size guide. Rolled goods go as parcels.
    """
    within_sum = length_mm + 2 * diameter_mm <= max_sum_mm
    return within_sum and max(length_mm, diameter_mm) <= max_side_mm


def _stack(things: Sequence[Thing], wrap: Wrap) -> tuple[int, int, int, int]:
    """Return length, width and thickness in tenths of a millimetre, and grams."""
    if not things:
        raise NothingToPack
    for thing in things:
        if min(_measures(thing)) <= 0:
            raise NotMeasured(thing)
    length = max(max(t.length_mm, t.width_mm) for t in things) * 10
    width = max(min(t.length_mm, t.width_mm) for t in things) * 10
    thickness = sum(t.thickness_tenths_mm for t in things)
    grams = sum(t.grams for t in things)
    return (
        length,
        width,
        thickness + wrap.add_thickness_tenths_mm,
        grams + wrap.add_grams,
    )


def _measures(thing: Thing) -> tuple[int, int, int, int]:
    return thing.length_mm, thing.width_mm, thing.thickness_tenths_mm, thing.grams


def _named(length: int, width: int, thickness: int) -> list[tuple[int, SideName]]:
    """Sort the sides, the longest first, each with its name."""
    sides: list[tuple[int, SideName]] = [
        (length, "length"),
        (width, "width"),
        (thickness, "thickness"),
    ]
    return sorted(sides, key=lambda side: -side[0])


def _refusal(things: Sequence[Thing], fmt: Format) -> str | None:
    length, width, thickness, grams = _stack(things, fmt.wrap)
    if fmt.kind == "letter" and not all(t.may_go_as_letter for t in things):
        hard = next(t for t in things if not t.may_go_as_letter)
        return f"{hard.code} is a hard piece: those never go as a letter."
    return _over(_named(length, width, thickness), grams, fmt)


def _over(sides: Sequence[tuple[int, SideName]], grams: int, fmt: Format) -> str | None:
    for (side, name), limit in zip(sides, fmt.max_tenths_mm, strict=True):
        if side > limit:
            return (
                f"The {name}, {show_tenths_mm(side)}, is over the "
                f"{show_tenths_mm(limit)} of {_a(fmt.name)}."
            )
    if grams > fmt.max_grams:
        return f"{grams} g is over the {fmt.max_grams} g of {_a(fmt.name)}."
    return None


def _result(
    things: Sequence[Thing], fmt: Format, refused: Sequence[Refusal]
) -> FitResult:
    length, width, thickness, grams = _stack(things, fmt.wrap)
    warnings = _near(_named(length, width, thickness), grams, fmt)
    return FitResult(fmt, length, width, thickness, grams, tuple(refused), warnings)


def _too_big(
    things: Sequence[Thing], rules: Rules, refused: Sequence[Refusal]
) -> FitResult:
    length, width, thickness, grams = _stack(things, rules.formats[-1].wrap)
    return FitResult(None, length, width, thickness, grams, tuple(refused), ())


def _near(
    sides: Sequence[tuple[int, SideName]], grams: int, fmt: Format
) -> tuple[str, ...]:
    """Ask for a ruler or the scales where a small error would change the format."""
    warnings = [
        f"Measure it: the {name} is {show_tenths_mm(side)} and the limit "
        f"{show_tenths_mm(limit)}."
        for (side, name), limit in zip(sides, fmt.max_tenths_mm, strict=True)
        if limit - side <= NEAR_TENTHS_MM
    ]
    if fmt.max_grams - grams <= NEAR_GRAMS:
        warnings.append(f"Weigh it: {grams} g, and the limit is {fmt.max_grams} g.")
    return tuple(warnings)


def _a(name: str) -> str:
    return f"an {name}" if name[0] in "aeiou" else f"a {name}"
