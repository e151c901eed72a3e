"""Invented floor plans."""

from __future__ import annotations

from retrue.cases.move.floor import METHOD
from retrue.cases.reckon.method import values_of
from retrue.cases.reckon.reckoning import Reckoning

HEAD = "what,name,of,side,x_mm,y_mm,width_mm,depth_mm,turn_deg,swing_mm,swing_deg,hinge"
HALL = "shop,,,,0,0,10 m,8 m,,,,"
MILL = "machine,mill,,,4000,3000,2000,1500,,,,"


def plan(*rows: str) -> str:
    return "\n".join((HEAD, *rows)) + "\n"


def floor(*rows: str, **fields: str) -> Reckoning:
    return METHOD.reckon(values_of(METHOD, {"plan": plan(*rows) if rows else "", **fields}))


def value(made: Reckoning, key: str) -> float | None:
    return next(one.value for one in made.figures if one.key == key)


def space(made: Reckoning, name: str) -> tuple:
    """Row of the listing: space, of, needed, clear, up to."""
    rows = next(one.rows for one in made.listings if one.title == "Spaces that must be free")
    return next(row for row in rows if row[0] == name)
