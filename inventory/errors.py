"""What can go wrong with stock, each with its numbers and a sentence."""

from __future__ import annotations

from dataclasses import dataclass

from studio.errors import StudioError


class LedgerIsAppendOnly(StudioError):
    """A posted entry was about to be changed or removed."""

    def __str__(self) -> str:
        return (
            "What is written in the ledger stays. Take the entry back instead: "
            "that writes a second one that undoes it."
        )


@dataclass
class SameRequestOtherContent(StudioError):
    """A request id came a second time with different content."""

    request_id: str

    def __str__(self) -> str:
        return (
            "This form was already sent once with other figures. "
            "Open the page again and send the new figures from there."
        )


@dataclass
class StockShort(StudioError):
    """More was asked for than can be promised."""

    item_code: str
    asked: int
    can_promise: int

    def __str__(self) -> str:
        return (
            f"{self.asked} of {self.item_code} were asked for and {self.can_promise} "
            "can be promised. Take fewer, or give a reason to promise them anyway."
        )


@dataclass
class PartsShort(StudioError):
    """There are not enough parts to make up what was asked."""

    item_code: str
    asked: int
    possible: int
    stops: str

    def __str__(self) -> str:
        return (
            f"{self.asked} of {self.item_code} were to be made up, but the parts are "
            f"enough for {self.possible}: {self.stops} is what stops the next one."
        )


@dataclass
class NoPartsList(StudioError):
    """An item without a parts list was to be made up."""

    item_code: str

    def __str__(self) -> str:
        return (
            f"{self.item_code} has no parts list yet, so it cannot be made up here. "
            "Write its parts list first, or count the finished ones in."
        )


@dataclass
class AlreadyTakenBack(StudioError):
    """An entry was to be taken back a second time."""

    entry_id: int

    def __str__(self) -> str:
        return "That entry was already taken back. Nothing was changed."


@dataclass
class NotACount(StudioError):
    """A number of goods that is not a whole number above nought, or far too many."""

    typed: str

    def __str__(self) -> str:
        return (
            f"{self.typed} is not a number of goods this book can take. "
            "Write a whole number from 1 to 99,999."
        )
