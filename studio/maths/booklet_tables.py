"""Tables of a booklet: pieces and lengths of cloth over the sizes that are sold.

    cell of a piece   how many × cut size, with centimetres to read by
    cell of a cloth   the length off a bolt, straightening included, and what to ask for

A project is cut into the same kinds of pieces at every size, so that one row holds one
kind; where a size has none of it, its cell says so.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from studio.maths.block_tables import beside
from studio.maths.cloth_amounts import ToBuy
from studio.maths.cutting_list import CutPiece, by_role
from studio.maths.cutting_plan_values import Plan
from studio.maths.metric import Ruler
from studio.maths.patch.recipe import Making
from studio.maths.ruler_marks import ruler as on_ruler

NONE = "none"
TOO_WIDE = "wider than the bolt: join it"


@dataclass(frozen=True)
class Column:
    """One finished size: its heading, the same in centimetres, and all that is cut."""

    heading: str
    beside: str
    pieces: tuple[CutPiece, ...]
    making: Making


@dataclass(frozen=True)
class PieceCell:
    """How many of a piece at one size, how large, and centimetres to read by."""

    size: str
    beside: str = ""


@dataclass(frozen=True)
class PieceRow:
    """One kind of piece over all sizes."""

    role: str
    name: str
    then: str
    cells: tuple[PieceCell, ...]


@dataclass(frozen=True)
class ClothCell:
    """The length of one cloth at one size, what to ask for, and how sure it is."""

    length: str
    beside: str = ""
    ask: str = ""
    is_least: bool = True


@dataclass(frozen=True)
class ClothRow:
    """One role of cloth over all sizes."""

    role: str
    cells: tuple[ClothCell, ...]


def piece_rows(columns: Sequence[Column]) -> tuple[PieceRow, ...]:
    """Set the cut lists of some sizes beside each other."""
    found = [_keyed(column.pieces) for column in columns]
    keys = dict.fromkeys(key for column in found for key in column)
    roles = list(dict.fromkeys(key[0] for key in keys))
    return tuple(
        PieceRow(
            key[0],
            key[1],
            key[2],
            tuple(
                _piece_cell(pieces.get(key), column.making)
                for pieces, column in zip(found, columns, strict=True)
            ),
        )
        for key in sorted(keys, key=lambda key: roles.index(key[0]))
    )


def cloth_rows(
    columns: Sequence[Column], plans: Sequence[Mapping[str, Plan | None]]
) -> tuple[ClothRow, ...]:
    """Say how much of each cloth every size takes, off a bolt.

    No plan for a role says that a piece of it is wider than the bolt both ways.
    """
    roles = dict.fromkeys(role for column in plans for role in column)
    return tuple(
        ClothRow(
            role,
            tuple(
                _cloth_cell(planned[role], column.making.ruler)
                if role in planned
                else ClothCell(NONE)
                for planned, column in zip(plans, columns, strict=True)
            ),
        )
        for role in roles
    )


Key = tuple[str, str, str, int]


def _keyed(pieces: Sequence[CutPiece]) -> dict[Key, CutPiece]:
    """Name each piece by role, name and what then; the second of a name is another."""
    found: dict[Key, CutPiece] = {}
    for listed in by_role(pieces).values():
        for piece in listed:
            number = 0
            while (piece.role, piece.name, piece.then, number) in found:
                number += 1
            found[piece.role, piece.name, piece.then, number] = piece
    return found


def _piece_cell(piece: CutPiece | None, making: Making) -> PieceCell:
    if piece is None:
        return PieceCell(NONE)
    sides = piece.width_inches, piece.height_inches
    size = making.ruler.show_by(*sides).removesuffix(" square")
    return PieceCell(f"{piece.count} of {size}", beside(making, *sides))


def _cloth_cell(plan: Plan | None, ruler: Ruler) -> ClothCell:
    if plan is None:
        return ClothCell(TOO_WIDE)
    to_buy = ToBuy(plan.used)
    metric, inch = to_buy.centimetres_words, on_ruler(plan.used)
    if ruler.is_metric:
        return ClothCell(metric, "", to_buy.metres_words, plan.is_proven)
    return ClothCell(inch, metric, str(to_buy), plan.is_proven)
