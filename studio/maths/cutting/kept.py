"""What is known so far of the ways to cut one piece, as bytes to be kept in a file.

    a line of JSON   {"kinds": [[width, height, turns] …], "stock": [width, height],
                      "done": so many cells, "whole": whether that is all of them}
    then, packed     how many vectors each cell has (32 bit), and the vectors (16 bit)

Cells come in the order in which ParetoSets fills them. Once all are done only the last
is kept, which is what the whole piece can give. Bytes that do not belong to the same
sizes, or that cannot be read, count as nothing known.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from studio.maths.cutting.kinds import Kind

Vectors = NDArray[np.int64]
LENGTHS = np.dtype("<u4")
COUNTS = np.dtype("<u2")


class Kept:
    """Cells that are done, and whether they are all; ``bytes`` and ``read`` agree."""

    def __init__(
        self,
        kinds: Sequence[Kind],
        stock: tuple[int, int],
        cells: Sequence[Vectors] = (),
        *,
        is_whole: bool = False,
    ) -> None:
        self.kinds = tuple(kinds)
        self.stock = stock
        self.cells = tuple(cells[-1:] if is_whole else cells)
        self.is_whole = is_whole

    def __bytes__(self) -> bytes:
        lengths = np.array([len(cell) for cell in self.cells], dtype=LENGTHS)
        counts = np.concatenate([*self.cells, self._none]).astype(COUNTS)
        packed = zlib.compress(lengths.tobytes() + counts.tobytes(), level=1)
        return json.dumps(self._head).encode() + b"\n" + packed

    @property
    def _none(self) -> Vectors:
        return np.zeros((0, len(self.kinds)), dtype=np.int64)

    @property
    def _head(self) -> dict[str, object]:
        return {
            "kinds": [[kind.width, kind.height, kind.turns] for kind in self.kinds],
            "stock": list(self.stock),
            "done": len(self.cells),
            "whole": self.is_whole,
        }


def read(data: bytes, kinds: Sequence[Kind], stock: tuple[int, int]) -> Kept:
    """Read what was kept of these sizes; nothing known if it is not of them."""
    nothing = Kept(kinds, stock)
    line, _end, packed = data.partition(b"\n")
    try:
        head = json.loads(line)
        cells = _unpacked(zlib.decompress(packed), int(head["done"]), len(kinds))
        found = Kept(kinds, stock, cells, is_whole=bool(head["whole"]))
    except (ValueError, KeyError, TypeError, zlib.error):
        return nothing
    return found if found._head == head else nothing


def _unpacked(data: bytes, done: int, kinds: int) -> list[Vectors]:
    lengths = np.frombuffer(data, dtype=LENGTHS, count=done)
    counts = np.frombuffer(data, dtype=COUNTS, offset=lengths.nbytes)
    ends = np.cumsum(lengths)[:-1]
    return np.split(counts.reshape(int(lengths.sum()), kinds).astype(np.int64), ends)
