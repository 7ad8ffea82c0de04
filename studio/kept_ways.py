"""What one piece of cloth can be cut into, worked out once and kept in the data folder.

With four sizes that may take many seconds, and depends on nothing but the sizes and the
cloth. Each answer is a file of its own, named for its question; one that cannot be read
is worked out again, and nothing is lost with the folder but time.
"""

from __future__ import annotations

import json
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from django.conf import settings

if TYPE_CHECKING:
    from studio.maths.cutting.kits import Key, Vectors

FOLDER = "kept cutting"
# Counts up with every change of what the files hold or mean.
EDITION = 1


class KeptWays:
    """A shelf for `studio.maths.cutting_kits`, on the disk of this computer."""

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder or Path(settings.DATA_DIR) / FOLDER
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
        written = json.dumps({"question": _words(key), "counts": vectors.tolist()})
        file = self._file(key)
        part = file.with_suffix(".part")
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            part.write_text(written, encoding="utf-8")
            part.replace(file)
        except OSError:
            # A full or closed disk costs time the next time, and nothing else.
            return

    def _file(self, key: Key) -> Path:
        name = sha256(_words(key).encode()).hexdigest()[:32]
        return self.folder / f"{name}.json"

    def _read(self, key: Key) -> Vectors | None:
        # Slow to load: only whoever plans waits for it.
        import numpy as np  # noqa: PLC0415

        try:
            kept = json.loads(self._file(key).read_text(encoding="utf-8"))
            counts = np.array(kept["counts"], dtype=np.int64)
        except (OSError, ValueError, TypeError, KeyError):
            return None
        is_whole = counts.ndim == 2 and counts.shape[1] == len(key[0])
        return counts if is_whole and kept["question"] == _words(key) else None


def _words(key: Key) -> str:
    return json.dumps([EDITION, *key])
