"""What is asked of the mix: lines with gains, ways, layouts, sessions, stock, limits.

    maximise   gains of all sets there - cost of what is bought - cost of sheets
    for each thing    taken + kept there <= in stock + made up + bought + good pieces cut
    for each limit    uses of sets, ways, sheets and purchases <= its amount
    for each session  minutes of its whole sheets, and set-ups, <= its net minutes

Good pieces cut = (1 - usual spoil) x pieces cut, rounded down over the whole plan. A
limit is anything that is only used up: sheets in the rack, cash, crate space, packing
or sewing minutes. A thing is anything with a stock that sets are made from, or a set
itself. Counts, pence and minutes are whole numbers.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from studio.errors import StudioError

NOTHING: Mapping[str, int] = {}


class NumberBelowNought(StudioError):
    """A figure of the question that must not be below nought."""

    def __init__(self, what: str, number: int) -> None:
        self.what, self.number = what, number
        super().__init__(f"{what} reads {number}. Write nought or more, please.")


class SaidTwice(StudioError):
    """Two lines, layouts, sessions or limits under one code."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(f"{code} stands twice in the question. Take one out, please.")


@dataclass(frozen=True)
class MixLine:
    """One product of the day; ``gains`` is the worth of each further set there."""

    code: str
    gains: tuple[int, ...]
    at_least: int = 0
    pinned: int | None = None
    uses: Mapping[str, int] = field(default_factory=dict)
    set_up: Mapping[str, int] = field(default_factory=dict)

    @property
    def fewest(self) -> int:
        """Return the number that promises or a pin ask for."""
        return self.at_least if self.pinned is None else self.pinned

    @property
    def most(self) -> int:
        """Return the number beyond which another set is worth nothing."""
        if self.pinned is not None:
            return self.pinned
        worth = [k for k, gain in enumerate(self.gains, 1) if gain > 0]
        return max([self.at_least, *worth])

    def gain(self, count: int) -> int:
        """Add up what so many sets are worth; beyond the list none gains."""
        beyond = max(0, count - len(self.gains)) * min(0, *self.gains[-1:], 0)
        return sum(self.gains[:count]) + beyond


@dataclass(frozen=True)
class MixWay:
    """One way to make up one of a product."""

    product: str
    needs: Mapping[str, int]
    uses: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class MixLayout:
    """One cutting layout: what a sheet gives, its minutes, and what else it uses.

    ``set_up_minutes`` count once in each session that cuts it.
    """

    code: str
    gives: Mapping[str, int]
    minutes: int
    uses: Mapping[str, int] = field(default_factory=dict)
    set_up_minutes: int = 0
    cost_pence: int = 0


@dataclass(frozen=True)
class MixSession:
    """One stretch of the helper's time, in order of the calendar."""

    code: str
    net_minutes: int


@dataclass(frozen=True)
class MixLimit:
    """So much of something; ``step`` is what one more of it would be.

    ``early`` says for layouts how much is there in the first so many sessions: a box
    of sheets that comes later.
    """

    code: str
    amount: int
    step: int = 1
    words: str = ""
    early: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True)
class Purchase:
    """Something that may be bought whole, such as a box of sheets."""

    thing: str
    adds: int
    most: int
    cost_pence: int = 0
    uses: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class MixQuestion:
    """Everything the best mix depends on."""

    lines: tuple[MixLine, ...]
    ways: tuple[MixWay, ...] = ()
    layouts: tuple[MixLayout, ...] = ()
    sessions: tuple[MixSession, ...] = ()
    stock: Mapping[str, int] = field(default_factory=dict)
    limits: tuple[MixLimit, ...] = ()
    spoil: Fraction = Fraction(0)
    purchases: tuple[Purchase, ...] = ()

    def __post_init__(self) -> None:
        self._check_numbers()
        for kind in (self.lines, self.layouts, self.sessions, self.limits):
            codes = [one.code for one in kind]
            twice = next((code for code in codes if codes.count(code) > 1), None)
            if twice is not None:
                raise SaidTwice(twice)

    def _check_numbers(self) -> None:
        for line in self.lines:
            _not_below(f"The number of {line.code}", line.fewest)
        for session in self.sessions:
            _not_below(f"The minutes of {session.code}", session.net_minutes)
        for limit in self.limits:
            _not_below(f"The limit {limit.code}", limit.amount)
        for layout in self.layouts:
            _not_below(f"The minutes of layout {layout.code}", layout.minutes)

    @property
    def things(self) -> tuple[str, ...]:
        """Name everything with a stock, in the order in which it is met."""
        named = dict.fromkeys(line.code for line in self.lines)
        for way in self.ways:
            named |= dict.fromkeys((way.product, *way.needs))
        return tuple(named)

    @property
    def minutes(self) -> int:
        """Add up the net minutes of all sessions."""
        return sum(session.net_minutes for session in self.sessions)


def _not_below(what: str, number: int) -> None:
    if number < 0:
        raise NumberBelowNought(what, number)
