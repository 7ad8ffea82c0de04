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
class AlreadyMended(StudioError):
    """An incomplete set was to be mended that is whole or gone."""

    item_code: str

    def __str__(self) -> str:
        return (
            f"That {self.item_code} was already mended or taken apart. "
            "Nothing was changed."
        )


@dataclass
class PieceShort(StudioError):
    """A set was to be mended with a piece that is not there."""

    item_code: str
    piece_code: str
    lacks: int
    here: int

    def __str__(self) -> str:
        return (
            f"This {self.item_code} lacks {self.lacks} {self.piece_code} and "
            f"{self.here} can be found. Count the drawer, or cut the piece first."
        )


@dataclass
class NotThatMany(StudioError):
    """More was to be taken from a place than the book has there."""

    item_code: str
    place_name: str
    asked: int
    here: int

    def __str__(self) -> str:
        return (
            f"{self.asked} of {self.item_code} were to be taken from {self.place_name}, "
            f"where the book has {self.here}. Take fewer, or count that place first."
        )


@dataclass
class CodeTaken(StudioError):
    """A code that another item already has."""

    code: str
    name: str

    def __str__(self) -> str:
        return f"{self.code} is the code of {self.name}. Choose another code."


@dataclass
class PartOfItself(StudioError):
    """A parts list that would need the very thing it makes."""

    item_code: str

    def __str__(self) -> str:
        return (
            f"{self.item_code} cannot be a part of itself, not even by way of its "
            "parts. Take it out of the list."
        )


@dataclass
class SampleHasNoPrice(StudioError):
    """A sample was to be sold without a price."""

    code: str

    def __str__(self) -> str:
        return (
            f"{self.code} has no price yet. Write one, and the sample may be sold once."
        )


@dataclass
class SampleIsKept(StudioError):
    """A sample was to be sold that is not released, or is gone."""

    code: str

    def __str__(self) -> str:
        return (
            f"{self.code} is not for sale now. Release it for sale first, with a price."
        )


@dataclass
class NotACount(StudioError):
    """A number of goods that is not a whole number above nought, or far too many."""

    typed: str

    def __str__(self) -> str:
        return (
            f"{self.typed} is not a number of goods this book can take. "
            "Write a whole number from 1 to 99,999."
        )


@dataclass
class PartsChangedSince(StudioError):
    """A parts list made from a block was to be taken back, but is another by now."""

    item_code: str

    def __str__(self) -> str:
        return (
            f"The parts list of {self.item_code} was changed since it was made from "
            "the block, so it stays as it is. Change it by hand."
        )


@dataclass
class NothingChosen(StudioError):
    """A parts list was to be made from a block with every piece left out."""

    item_code: str

    def __str__(self) -> str:
        return (
            f"Every piece of {self.item_code} is left out. "
            "Take at least one that is there, or make one new."
        )


@dataclass
class SamePieceTwice(StudioError):
    """Two pieces of a block were both to be the same item."""

    code: str

    def __str__(self) -> str:
        return (
            f"{self.code} stands for two pieces. A set holds it once: choose another "
            "for one of them, or leave one out."
        )
