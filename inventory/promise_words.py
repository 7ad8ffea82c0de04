"""The promise number in a sentence: “Three now, seven by tonight.”"""

from __future__ import annotations

from inventory.promise import Promise

_WORDS = (
    *("None", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine"),
    *("Ten", "Eleven", "Twelve", "Thirteen", "Fourteen", "Fifteen", "Sixteen"),
    *("Seventeen", "Eighteen", "Nineteen", "Twenty"),
)


def in_words(count: int) -> str:
    """Write a number up to twenty as a word with a capital, none for nought."""
    return _WORDS[count] if 0 <= count < len(_WORDS) else str(count)


def named_sentence(name: str, promise: Promise) -> str:
    """Say it of a thing: “Ringfence set, 9 in: three now, seven by tonight.”"""
    sentence = promise_sentence(promise)
    return f"{name}: {sentence[0].lower()}{sentence[1:]}"


def promise_sentence(promise: Promise) -> str:
    """Say how many can be had now and by tonight, and how many are short."""
    now, tonight = promise.can_promise, promise.by_tonight
    if promise.short:
        short = in_words(promise.short)
        if tonight:
            return f"{short} short now; {in_words(tonight).lower()} over by tonight."
        return f"{short} short: more is promised than is here."
    if tonight > now:
        return f"{in_words(now)} now, {in_words(tonight).lower()} by tonight."
    if now:
        return f"{in_words(now)} now, and no more by tonight."
    return "None now, and none by tonight."
