"""Lay whole sheets into sessions: a quick try, then proof one way or the other."""

from __future__ import annotations

from collections.abc import Mapping

from production.mix.filling import filled
from production.mix.program import Program
from production.mix.question import MixLayout, MixQuestion
from production.mix.room import most_in_one

Sheets = tuple[Mapping[str, int], ...]


def into_sessions(
    question: MixQuestion, counts: Mapping[str, int], seconds: float
) -> Sheets | None:
    """Return the sheets of each session, or None where they were not made to fit."""
    quick = filled(question.sessions, question.layouts, counts)
    if quick is not None and _there_in_time(question, quick):
        return quick
    return _searched(question, counts, seconds)


def _there_in_time(question: MixQuestion, sheets: Sheets) -> bool:
    return all(
        _used(question, limit.code, sheets[:sessions]) <= amount
        for limit in question.limits
        for sessions, amount in limit.early
    )


def _used(question: MixQuestion, code: str, sheets: Sheets) -> int:
    each = {layout.code: layout.uses.get(code, 0) for layout in question.layouts}
    return sum(each[layout] * n for one in sheets for layout, n in one.items())


def _searched(
    question: MixQuestion, counts: Mapping[str, int], seconds: float
) -> Sheets | None:
    program = Program()
    layouts = [one for one in question.layouts if counts.get(one.code, 0)]
    columns = []
    for session in question.sessions:
        uses = {}
        for layout in layouts:
            most = min(counts[layout.code], most_in_one(layout, [session]))
            uses[program.column(0, 0, most)] = layout.minutes
        columns.append(list(uses))
        program.row(
            uses | _set_ups(program, layouts, list(uses)), high=session.net_minutes
        )
    for place, layout in enumerate(layouts):
        many = counts[layout.code]
        program.row(dict.fromkeys((one[place] for one in columns), 1), many, many)
    for limit in question.limits:
        for sessions, amount in limit.early:
            early = {
                column: layout.uses.get(limit.code, 0)
                for one in columns[:sessions]
                for layout, column in zip(layouts, one, strict=True)
            }
            program.row(early, high=amount)
    found = program.most(seconds).values
    if found is None:
        return None
    return tuple(
        {
            layout.code: found[column]
            for layout, column in zip(layouts, one, strict=True)
            if found[column]
        }
        for one in columns
    )


def _set_ups(
    program: Program, layouts: list[MixLayout], columns: list[int]
) -> dict[int, int]:
    uses = {}
    for layout, column in zip(layouts, columns, strict=True):
        if layout.set_up_minutes:
            begun = program.column(0, 0, 1)
            program.row({column: 1, begun: -int(program.highs[column])}, high=0)
            uses[begun] = layout.set_up_minutes
    return uses
