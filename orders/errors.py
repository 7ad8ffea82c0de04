"""What can go wrong with an order, each with its numbers and a sentence."""

from __future__ import annotations

from dataclasses import dataclass

from studio.errors import StudioError


@dataclass
class NothingOrdered(StudioError):
    """An order without a single line."""

    number: str

    def __str__(self) -> str:
        return f"{self.number} has no lines. Add what was ordered first."


@dataclass
class OrderKnown(StudioError):
    """An order number that is in the book already."""

    number: str

    def __str__(self) -> str:
        return f"{self.number} is in the book already. Give this order another number."


@dataclass
class PlacedLater(StudioError):
    """An order said to be placed, or paid, after this moment."""

    number: str
    shown: str

    def __str__(self) -> str:
        return (
            f"{self.number} is dated {self.shown}, which is still to come. "
            "Check the day and the year."
        )


@dataclass
class OrderNotOpen(StudioError):
    """Something was to be done with an order that is finished."""

    number: str
    state: str

    def __str__(self) -> str:
        return f"{self.number} is {self.state} by now. Nothing was changed."


@dataclass
class OrderNotPaid(StudioError):
    """An order whose payment is awaited was about to leave."""

    number: str

    def __str__(self) -> str:
        return f"{self.number} is not paid yet. Mark it paid first."


@dataclass
class RefundTooLarge(StudioError):
    """More was to be refunded than the line was sold for."""

    asked: str
    line_total: str

    def __str__(self) -> str:
        return (
            f"A refund of {self.asked} is more than the line was sold for, "
            f"{self.line_total}. Write that or less."
        )


@dataclass
class NothingOwed(StudioError):
    """A line that owes nothing more was to be swapped."""

    number: str
    item_code: str

    def __str__(self) -> str:
        return f"{self.number} owes no {self.item_code} any more. Nothing was changed."


@dataclass
class MoreBackThanWent(StudioError):
    """More was to come back of a line than is with the customer."""

    number: str
    item_code: str
    asked: int
    there: int

    def __str__(self) -> str:
        if not self.there:
            return (
                f"No {self.item_code} of {self.number} is with the customer, so none "
                "can come back. Look at what was posted."
            )
        return (
            f"{self.asked} {self.item_code} cannot come back of {self.number}: "
            f"{self.there} are with the customer. Write that or less."
        )


@dataclass
class PacketAway(StudioError):
    """A packet was to be changed after it was posted or taken out of its run."""

    number: int
    state: str

    def __str__(self) -> str:
        return f"Packet {self.number} is {self.state} by now. Nothing was changed."


@dataclass
class NoCounter(StudioError):
    """Nobody has said where and when packets are handed over."""

    mended_at = "studio:days"
    mended_words = "Write the counter down"

    def __str__(self) -> str:
        return (
            "No post counter is set up. Write where the packets are handed over, and "
            "until when, on the Studio page."
        )


@dataclass
class NoFormats(StudioError):
    """There is no price list of the post yet."""

    mended_at = "orders:post_prices"
    mended_words = "Write the prices down"

    def __str__(self) -> str:
        return (
            "There are no prices of the post yet. Write them on the page of the post’s "
            "prices, and the packets can be worked out."
        )
