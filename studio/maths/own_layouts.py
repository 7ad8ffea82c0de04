"""A block while it is laid out: a grid that may still have gaps.

    turned once about the middle of n by n steps: x, y, w, h → n − y − h, x, h, w

A patch that is put where one lies takes its place; on any other it is refused.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from studio.errors import StudioError
from studio.maths import own_blocks
from studio.maths.blocks import Block, Cell

Place = tuple[int, int]
QUARTERS = 4


class NotSquare(StudioError):
    """A block that cannot be turned upon itself."""

    def __init__(self, across: int, down: int) -> None:
        self.across = across
        self.down = down
        super().__init__(across, down)

    def __str__(self) -> str:
        return (
            "Only a block as many steps down as across has four like corners, and this "
            f"one is {self.across} by {self.down}. Put the patch down alone."
        )


@dataclass(frozen=True)
class Layout:
    """So many steps across and down, and the patches that lie there."""

    across: int
    down: int
    cells: tuple[Cell, ...] = ()

    @property
    def gaps(self) -> list[Place]:
        """Give column and row of every step that is bare, row by row."""
        return own_blocks.gaps(self.across, self.down, self.cells)

    def at(self, place: Place) -> Cell | None:
        """Give the patch that covers a column and row."""
        x, y = place[0] - 1, place[1] - 1
        for one in self.cells:
            if 0 <= x - one.x < one.width and 0 <= y - one.y < one.height:
                return one
        return None

    def without(self, placed: Cell | None) -> Layout:
        return replace(self, cells=tuple(c for c in self.cells if c != placed))

    def with_cell(self, placed: Cell) -> Layout:
        """Put a patch down, for the one that begins there. Raises what lies wrong."""
        kept = [c for c in self.cells if (c.x, c.y) != (placed.x, placed.y)]
        return checked(replace(self, cells=(*kept, placed)))

    def with_four(self, placed: Cell) -> Layout:
        """Put a patch down and its three turns about the middle of the block."""
        if self.across != self.down:
            raise NotSquare(self.across, self.down)
        layout, turned = self.with_cell(placed), _turned(placed, self.across)
        while (turned.x, turned.y) != (placed.x, placed.y):
            layout, turned = layout.with_cell(turned), _turned(turned, self.across)
        return layout

    def block(self, name: str) -> Block:
        """Give the block as far as it is laid, to be drawn."""
        return Block(name, Fraction(self.across), Fraction(self.down), self.cells)

    @property
    def lines(self) -> str:
        return "\n".join(map(own_blocks.line_of, self.cells))


def checked(layout: Layout) -> Layout:
    """Give the layout back if nothing lies outside or on another. Gaps may stay."""
    own_blocks.refuse_steps(
        f"{layout.across} by {layout.down}", layout.across, layout.down
    )
    own_blocks.refuse_misplaced(layout.across, layout.down, layout.cells)
    return layout


def _turned(one: Cell, steps: int) -> Cell:
    return replace(
        one,
        x=steps - one.y - one.height,
        y=one.x,
        width=one.height,
        height=one.width,
        turn=(one.turn + 1) % QUARTERS,
    )
