"""Sections of sentences, the form in which the day is told."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Said:
    """One sentence, and where it is dealt with."""

    sentence: str
    url: str = ""
    words: str = ""

    @property
    def begins_with_words(self) -> bool:
        """Say whether the sentence itself opens with what the link is called."""
        return bool(self.words) and self.sentence.startswith(self.words)

    @property
    def rest(self) -> str:
        """Return the sentence after the words that are the link."""
        return self.sentence[len(self.words) :]


@dataclass(frozen=True)
class Section:
    """A heading that is a sentence, and what stands under it."""

    key: str
    heading: str
    said: tuple[Said, ...] = ()
    is_seen: bool = False
    is_folded: bool = False


@dataclass(frozen=True)
class Next:
    """The next action: the biggest thing on the page."""

    words: str
    why: str
    url: str


@dataclass(frozen=True)
class Today:
    sentence: str
    next: Next
    sections: tuple[Section, ...]

    def section(self, key: str) -> Section | None:
        return next((one for one in self.sections if one.key == key), None)

    @property
    def sentences(self) -> tuple[str, ...]:
        """Return everything that is said, in order: the terminal prints this."""
        said = [self.sentence]
        for section in self.sections:
            said.append(section.heading)
            said.extend(one.sentence for one in section.said)
        return tuple(said)


def counted(number: int, one: str, many: str = "") -> str:
    """Return `1 packet`, `20 packets`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def in_a_row(words: list[str]) -> str:
    """Return `a, b and c`."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
