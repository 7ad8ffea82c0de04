"""Her own guess of a demand, kept apart from the record and told as a guess.

She says three numbers: low, likely and high, so that 8 times in 10 the demand lies
between low and high. Their mean and spread are

    mean = 0.3 low + 0.4 likely + 0.3 high
    variance = 0.3 (low - mean)^2 + 0.4 (likely - mean)^2 + 0.3 (high - mean)^2

(three points of a distribution at 10, 50 and 90 in 100: Swanson's rule; Keefer and
Bodily 1983; both from memory). The belief is the gamma whose count over one day has
that mean and variance: shape = mean^2 / (variance - mean).
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.demand import Belief
from studio.errors import StudioError

# A guess without any spread is still no better than a count whose mean is known.
MOST_SHAPE = 1000.0
MOST_GUESSED = 100_000


class GuessOutOfOrder(StudioError):
    """Three numbers that do not rise from low to high."""

    def __init__(self, low: int, likely: int, high: int) -> None:
        self.low, self.likely, self.high = low, likely, high
        super().__init__(
            f"The guess reads low {low}, likely {likely}, high {high}. Write three "
            f"numbers from nought to {MOST_GUESSED:,} that do not fall, the last above "
            "nought, please."
        )


@dataclass(frozen=True)
class Guess:
    """Her low, likely and high number for one selling day."""

    low: int
    likely: int
    high: int

    def __post_init__(self) -> None:
        in_order = 0 <= self.low <= self.likely <= self.high
        if not (in_order and 0 < self.high <= MOST_GUESSED):
            raise GuessOutOfOrder(self.low, self.likely, self.high)

    @property
    def mean(self) -> float:
        """Return the mean of the three, likely counting for most."""
        return 0.3 * self.low + 0.4 * self.likely + 0.3 * self.high

    @property
    def variance(self) -> float:
        """Return the variance that the three numbers speak of."""
        return (
            0.3 * (self.low - self.mean) ** 2
            + 0.4 * (self.likely - self.mean) ** 2
            + 0.3 * (self.high - self.mean) ** 2
        )

    def belief(self) -> Belief:
        """Return the gamma belief whose count has this mean and variance."""
        beyond_chance = self.variance - self.mean
        shape = MOST_SHAPE
        if beyond_chance > self.mean**2 / MOST_SHAPE:
            shape = self.mean**2 / beyond_chance
        return Belief(shape, shape / self.mean)
