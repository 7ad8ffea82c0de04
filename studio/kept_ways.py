"""Exact answers about cutting that took long, kept in the data folder.

What one piece of cloth can be cut into, and how many kits a bundle makes, depend on
nothing but sizes and counts, and may take many seconds. Each answer is a file of its
own, named for its question; one that cannot be read is worked out again, and nothing is
lost with the folder but time. What is not known to the end is kept as well, with the
steps that are done, so that the next time goes on from there.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import TYPE_CHECKING

from django.conf import settings

from studio.maths import cutting_kits

if TYPE_CHECKING:
    from studio.maths.cloth import Bundle
    from studio.maths.cutting.kits import Key, Vectors
    from studio.maths.cutting_kits import WorkedOut
    from studio.maths.cutting_kits_values import Project

FOLDER = "kept cutting"
# Counts up with every change of what the files hold or mean.
EDITION = 1
_writing = threading.Lock()


def write_whole(file: Path, data: bytes) -> None:
    """Put data in the place of a file at once; two who write do not mix theirs.

    A full or closed disk costs time the next time, and nothing else.
    """
    part = None
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with NamedTemporaryFile(dir=file.parent, suffix=".part", delete=False) as open_:
            part = Path(open_.name)
            open_.write(data)
        part.replace(file)
    except OSError:
        if part is not None:
            with suppress(OSError):
                part.unlink(missing_ok=True)


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
        write_whole(self._file(question), json.dumps(whole).encode())

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


@dataclass(frozen=True)
class SoFar:
    """How far the ways of cutting one piece are worked out: so many steps of all."""

    done: int
    of: int


class KeptSteps:
    """What is not known to the end: a line about it, and the bytes to go on from.

    The line has the edition, the key, the steps that are done and those of all, and
    the sum of the bytes. Whatever does not agree with it counts as nothing known.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder or Path(settings.DATA_DIR) / FOLDER

    def get(self, key: Key) -> bytes:
        """Give the bytes to go on from, none where nothing is known."""
        head, data = self._read(str(key))
        return data if head else b""

    def so_far(self, key: Key) -> SoFar | None:
        head, _data = self._read(str(key))
        return SoFar(int(head["done"]), int(head["of"])) if head else None

    def keep(self, worked: WorkedOut) -> None:
        """Keep what is worked out, unless another has come further in the meantime."""
        head = _head(worked.key, worked.kept) | {"done": worked.done, "of": worked.of}
        with _writing:
            known, _data = self._read(worked.key)
            if not known or int(known["done"]) < worked.done:
                line = json.dumps(head).encode()
                write_whole(self._file(worked.key), line + b"\n" + worked.kept)

    def drop(self, key: Key) -> None:
        with suppress(OSError):
            self._file(str(key)).unlink(missing_ok=True)

    def _read(self, key: str) -> tuple[dict[str, int], bytes]:
        try:
            line, _end, data = self._file(key).read_bytes().partition(b"\n")
            head = json.loads(line)
            done, of = head.pop("done"), head.pop("of")
        except (
            OSError,
            ValueError,
            TypeError,
            AttributeError,
            KeyError,
            RecursionError,
        ):
            return {}, b""
        is_it = type(done) is int and type(of) is int and head == _head(key, data)
        return ({"done": done, "of": of}, data) if is_it else ({}, b"")

    def _file(self, key: str) -> Path:
        name = sha256(key.encode()).hexdigest()[:32]
        return self.folder / f"{name}.steps"


def _head(key: str, data: bytes) -> dict[str, object]:
    return {"edition": EDITION, "key": key, "sum": sha256(data).hexdigest()}


def go_on(project: Project, bundle: Bundle, shelf: KeptWays, *, seconds: float) -> None:
    """Go on with what one piece can be cut into from where it was left, and keep it."""
    key = cutting_kits.key_of(project, bundle)
    if key is None or shelf.get(key) is not None:
        return
    steps = KeptSteps(shelf.answers.folder)
    worked = cutting_kits.work_out(
        project, bundle, kept=steps.get(key), seconds=seconds
    )
    ways = worked.shelf.get(key)
    if ways is None:
        steps.keep(worked)
    else:
        shelf[key] = ways
        steps.drop(key)
