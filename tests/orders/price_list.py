"""The loft's goods and price list, read from the worked tables."""

from __future__ import annotations

import csv
from pathlib import Path

from orders.packets import Format, Minutes, Price, Rules, Service, Thing, Wrap

WORKED = Path(__file__).parents[1] / "worked"


def worked(name):
    with (WORKED / name).open(newline="", encoding="utf-8") as table:
        return list(csv.DictReader(table))


def loft_rules():
    bands = worked("post_bands.csv")
    return Rules(
        formats=tuple(_format(band) for band in bands),
        services=(Service("standard", 3), Service("next-day", 1)),
        prices=tuple(price for band in bands for price in _prices(band)),
        minutes=Minutes(letter=2, large_letter=4, parcel=6, gift=3, customs=2),
    )


def loft_goods():
    return {row["code"]: _thing(row) for row in worked("post_goods.csv")}


def things(contents, goods):
    """Read “1 × SG-030, 2 × PT-MKT”."""
    found = []
    for part in contents.split(", "):
        count, code = part.split(" × ")
        found.extend([goods[code]] * int(count))
    return found


def _format(band):
    sides = ("longest_mm", "middle_mm", "shortest_mm")
    added = int(band["add_thickness_tenths_mm"]), int(band["add_grams"])
    return Format(
        code=band["code"],
        name=band["name"],
        kind=band["kind"],
        max_tenths_mm=tuple(int(band[side]) * 10 for side in sides),
        max_grams=int(band["max_grams"]),
        wrap=Wrap(band["wrap"], *added),
    )


def _prices(band):
    yield Price(band["code"], "standard", int(band["standard_pence"]))
    yield Price(band["code"], "next-day", int(band["next_day_pence"]))


def _thing(row):
    return Thing(
        code=row["code"],
        name=row["name"],
        length_mm=int(row["length_mm"]),
        width_mm=int(row["width_mm"]),
        thickness_tenths_mm=int(row["thickness_tenths_mm"]),
        grams=int(row["grams"]),
        may_go_as_letter=row["may_go_as_letter"] == "yes",
    )
