"""Exact answers about cutting that took long, kept in the data folder.

What one piece of cloth can be cut into, and how many kits a bundle makes, depend on
nothing but sizes and counts, and may take many seconds. Each answer is a file of its
own, named for its question; one that cannot be read is worked out again, and nothing is
lost with the folder but time.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from django.conf import settings

if TYPE_CHECKING:
    from studio.maths.cutting.kits import Key, Vectors

FOLDER = "kept cutting"
# Counts up with every change of what the files hold or mean.
EDITION = 1


class KeptAnswers:
    """Answers in whole numbers, by the words of their question."""

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder or Path(settings.DATA_DIR) / FOLDER

    def get(self, question: str) -> object | None:
        """Give what was kept as the answer, or nothing."""
        try:
            kept = json.loads(self._file(question).read_text(encoding="utf-8"))
            is_it = kept["question"] == question and kept["edition"] == EDITION
            return kept["answer"] if is_it else None
        except (OSError, ValueError, TypeError, KeyError):
            return None

    def keep(self, question: str, answer: object) -> None:
        whole = {"edition": EDITION, "question": question, "answer": answer}
        file = self._file(question)
        part = file.with_suffix(".part")
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            part.write_text(json.dumps(whole), encoding="utf-8")
            part.replace(file)
        except OSError:
            # A full or closed disk costs time the next time, and nothing else.
            return

    def numbers(self, question: str, many: int) -> list[int] | None:
        """Give so many whole numbers that were kept, or nothing."""
        kept = self.get(question)
        if isinstance(kept, list) and len(kept) == many:
            return kept if all(type(number) is int for number in kept) else None
        return None

    def keep_numbers(self, question: str, numbers: Sequence[int]) -> None:
        self.keep(question, list(numbers))

    def _file(self, question: str) -> Path:
        name = sha256(question.encode()).hexdigest()[:32]
        return self.folder / f"{name}.json"


class KeptWays:
    """A shelf for `studio.maths.cutting_kits`, on the disk of this computer."""

    def __init__(self, folder: Path | None = None) -> None:
        self.answers = KeptAnswers(folder)
        self._seen: dict[Key, Vectors] = {}

    def get(self, key: Key) -> Vectors | None:
        if key not in self._seen:
            found = self._read(key)
            if found is None:
                return None
            self._seen[key] = found
        return self._seen[key]

    def __setitem__(self, key: Key, vectors: Vectors) -> None:
        self._seen[key] = vectors
        self.answers.keep(json.dumps(key), vectors.tolist())

    def _read(self, key: Key) -> Vectors | None:
        kept = self.answers.get(json.dumps(key))
        if kept is None:
            return None
        # Slow to load: only whoever plans waits for it.
        import numpy as np  # noqa: PLC0415

        try:
            counts = np.array(kept, dtype=np.int64)
        except (ValueError, TypeError):
            return None
        is_whole = counts.ndim == 2 and counts.shape[1] == len(key[0])
        return counts if is_whole else None
