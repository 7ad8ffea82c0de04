"""The family of errors whose text may be shown to the maker as it stands."""

from __future__ import annotations


class StudioError(Exception):
    """Say what is wrong and what to do next, in whole sentences.

    Subclasses keep the numbers as fields and build the sentence in ``__str__``.
    """

    def __str__(self) -> str:
        return super().__str__() or "Something is not right. Check the entry, please."
