"""Which lots of a catalogue stand first, and how sure that is."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from tests.cases.priced import kinds
from tests.cases.screen.listed import cabinet

from retrue.cases.screen.places import Places, places, tied_first
from retrue.cases.screen.rank import ranked
from retrue.cases.screen.score import score
from retrue.cases.screen.screened import ScreenedLot

Floats = NDArray[np.float64]


def made(number: str, **said: object) -> ScreenedLot:
    return replace(score(cabinet(number), kinds(), seed=7, worlds=500), why="", **said)


def test_the_best_stand_first_and_those_without_a_price_last() -> None:
    good = {"walk_away": 5e3, "gain": 1e3}
    rows = (
        made("none", line=1),
        made("nothing, doubtful", walk_away=0.0, sorry=0.6, line=2),
        made("nothing", walk_away=0.0, sorry=0.3, line=3),
        made("lost", walk_away=5e3, gain=0.0, line=4),
        made("slow", **good, gain_per_risk=0.4, gain_per_hour=5.0, line=5),
        made("quick", **good, gain_per_risk=0.3, gain_per_hour=9.0, line=6),
        made("no hours", **good, gain_per_risk=0.2, gain_per_hour=None, line=7),
    )
    rest = ["lost", "nothing", "nothing, doubtful", "none"]
    assert [one.number for one in ranked(rows)] == ["slow", "quick", "no hours", *rest]
    by_hour = [one.number for one in ranked(rows[::-1], "hour")]
    assert by_hour == ["no hours", "quick", "slow", *rest]


def test_lots_that_cannot_be_told_apart_may_have_each_others_place() -> None:
    """By hand: differences of 0.1 with errors of 0 and 0.1 x 2.262 and more."""
    level = (1_000.0,) * 10
    shaken = tuple(1_000.0 + 700.0 * (-1) ** at for at in range(10))
    good = {"walk_away": 5e3, "at_risk": 1e4}
    rows = (
        made("best", **good, gain=1_500.0, tenths=tuple(500.0 + one for one in level)),
        made("same", **good, gain=1_000.0, tenths=level),
        made("same again", **good, gain=1_000.0, tenths=level),
        made("doubtful", **good, gain=700.0, tenths=tuple(one - 300.0 for one in shaken)),
        made("lost", walk_away=5e3, gain=0.0),
    )
    told = [None if one is None else (one.first, one.last) for one in places(rows)]
    assert told == [(1, 1), (2, 4), (2, 4), (2, 4), None]
    assert tied_first(places(rows)) == 1
    moved = [replace(one, tenths=shaken) for one in rows[:3]]
    moved = [
        replace(one, gain=gain) for one, gain in zip(moved, (1_500, 1_000, 1_000), strict=True)
    ]
    assert [one.last for one in places(moved)] == [1, 3, 3]  # what moves all moves no difference
    assert places([*moved[:2], rows[1]])[0] == Places(first=1, last=2)  # 0.05 of 0.053
    assert [one.last for one in places(rows[:3], "hour")] == [3, 3, 3]  # none needs an own hour
