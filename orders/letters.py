"""What to write to a customer about an order, ready to be copied and changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from studio.days import show_day_short

About = Literal["ready", "short", "unpaid", "address", "double", "collect"]


@dataclass(frozen=True)
class LetterFacts:
    """What the letter speaks of; empty where there is nothing to say."""

    about: About
    first_name: str
    number: str
    signed_by: str
    missing: tuple[str, ...] = ()
    follows_on: date | None = None
    question: str = ""
    other_number: str = ""
    held_until: date | None = None
    collect_on: date | None = None
    collect_at: str = ""


TITLES = frozenset(
    {"mr", "mrs", "ms", "miss", "mx", "dr", "prof", "rev", "sir", "lady"}
)


def called(name: str) -> str:
    """Say how a letter begins: the first name, or the title and the surname.

    Common practice: “Dear Wren” to Wren Tolley, “Dear Mrs Tolley” to Mrs W. Tolley.
    """
    words = name.split()
    if len(words) > 1 and words[0].rstrip(".").lower() in TITLES:
        return f"{words[0]} {words[-1]}"
    return words[0] if words else ""


def letter(facts: LetterFacts) -> str:
    """Write a short letter: greeting, what is the matter, and who signs."""
    body = {
        "ready": ready,
        "short": short,
        "unpaid": unpaid,
        "address": address,
        "double": double,
        "collect": collect,
    }[facts.about](facts)
    return f"Dear {facts.first_name},\n\n{body}\n\nKind regards,\n{facts.signed_by}"


def ready(facts: LetterFacts) -> str:
    return (
        f"Thank you for your order {facts.number}. It is packed next and goes with "
        "the coming post."
    )


def short(facts: LetterFacts) -> str:
    what = listed(facts.missing)
    verb = "is" if len(facts.missing) == 1 else "are"
    first = f"I am sorry: of your order {facts.number}, {what} {verb} not here yet."
    if facts.follows_on is None:
        return (
            f"{first} Would you like something else instead, or your money back for it?"
        )
    return (
        f"{first} It can leave on {show_day_short(facts.follows_on)}. If you would "
        "rather have something else, or your money back for it, just tell me."
    )


def unpaid(facts: LetterFacts) -> str:
    until = ""
    if facts.held_until is not None:
        until = f" until {show_day_short(facts.held_until)}"
    return (
        f"Your order {facts.number} is put aside for you{until}. It goes out as soon "
        "as your payment is here."
    )


def address(facts: LetterFacts) -> str:
    return (
        f"I would like to post your order {facts.number}, but the address I have is "
        f"not whole. {facts.question} Please send me the whole address."
    )


def double(facts: LetterFacts) -> str:
    return (
        f"I have two orders from you for the same things, {facts.other_number} and "
        f"{facts.number}, placed one soon after the other. Do you want both, or did "
        "one slip in twice? If it did, you get your money back for it."
    )


def collect(facts: LetterFacts) -> str:
    when = ""
    if facts.collect_on is not None:
        when = f" on {show_day_short(facts.collect_on)}"
    where = f" at {facts.collect_at}" if facts.collect_at else ""
    return f"Your order {facts.number} is ready for you{when}{where}."


def listed(words: Sequence[str]) -> str:
    if len(words) <= 1:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
