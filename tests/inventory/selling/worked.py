"""Reading of worked examples about selling: lists as they stand in a cell."""

import csv
from pathlib import Path

WORKED = Path(__file__).parents[2] / "worked"


def rows(name):
    with (WORKED / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def words(cell):
    """Each word of a cell, ``3x5`` being five times 3."""
    return [
        word
        for one in cell.split()
        for word, _, times in [one.partition("x")]
        for _ in range(int(times or 1))
    ]


def numbers(cell):
    return [float(word) for word in words(cell)]
