"""Is the spoil of a session worse than usual, or only bad luck?

Each piece is spoiled with the usual rate, apart from the others. The chance of k
or more spoiled of n is then the upper tail of the binomial distribution

    P(X >= k) = sum over j >= k of C(n, j) rate^j (1 - rate)^(n - j)

and a warning is given only when that chance is below 1 in 40. All in exact
fractions. The limit of 1 in 40 is a rule of the house.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import comb

from studio.errors import StudioError

SPEAK_BELOW = Fraction(1, 40)


class SpoiledMoreThanCut(StudioError):
    """More pieces spoiled than were cut."""

    def __init__(self, piece: str, spoiled: int, cut: int) -> None:
        self.piece, self.spoiled, self.cut = piece, spoiled, cut
        super().__init__(
            f"{spoiled} {piece} are logged as spoiled but only {cut} were cut. "
            "Check the log, please."
        )


@dataclass(frozen=True)
class SpoilWarning:
    """Spoil that is hardly luck: what, where, how unlikely, and what to do."""

    piece: str
    layout: str
    spoiled: int
    cut: int
    usual: Fraction
    chance: Fraction
    sentence: str


def chance_of_at_least(k: int, n: int, rate: Fraction) -> Fraction:
    """Return the exact chance that k or more of n happen at this rate."""
    if k <= 0:
        return Fraction(1)
    good = 1 - rate
    return sum(
        (comb(n, j) * rate**j * good ** (n - j) for j in range(k, n + 1)),
        Fraction(0),
    )


def warning(
    piece: str, layout: str, spoiled: int, cut: int, usual: Fraction
) -> SpoilWarning | None:
    """Speak only when so much spoil has a chance below 1 in 40."""
    if spoiled > cut:
        raise SpoiledMoreThanCut(piece, spoiled, cut)
    chance = chance_of_at_least(spoiled, cut, usual)
    if chance >= SPEAK_BELOW:
        return None
    sentence = _sentence(piece, layout, spoiled, cut, chance)
    return SpoilWarning(piece, layout, spoiled, cut, usual, chance, sentence)


def _sentence(piece: str, layout: str, spoiled: int, cut: int, chance: Fraction) -> str:
    return (
        f"{spoiled} of {cut} {piece} on {layout} were spoiled. At the usual rate that "
        f"happens {_one_in(chance)}: look at the bed and the lens, with the "
        "machine off and its manual at hand."
    )


def _one_in(chance: Fraction) -> str:
    if chance == 0:
        return "never"
    return f"about 1 time in {round(1 / chance):,}"
