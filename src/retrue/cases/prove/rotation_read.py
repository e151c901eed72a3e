"""Readings of a rotation sorted by set-up, turn and place; what is missing is named."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.rotation_words import missing
from retrue.cases.prove.table import Table
from retrue.science.rotation import FEWEST

Floats = NDArray[np.float64]
MOST_PLACES = 10_000
WIDEST_GAP_DEG = 90.0


@dataclass(frozen=True, slots=True, eq=False)
class Runs:
    """Readings sorted: for each set-up of the ball, a row a turn and a column a place."""

    method: str
    angles: Floats
    setups: Mapping[str, Floats]


def sorted_runs(table: Table, method: str) -> Runs:
    """Rows of a file or form as one array a set-up; what is missing or stands twice is named.

    Parameters
    ----------
    table : Table
        Columns angle_deg, reading_um, and where there is more than one, turn and setup.
    method : str
        As asked: error_motion, reversal or positions.

    Returns
    -------
    Runs

    Raises
    ------
    Unusable
        Too little of a turn, a place twice or missing, or set-ups that do not fit the method.

    Examples
    --------
    >>> from retrue.cases.prove.table import table_of
    >>> rows = [["angle_deg", "reading_um"], *([str(60 * n), "1"] for n in range(6))]
    >>> sorted_runs(table_of(rows, range(1, 8), "form"), "error_motion").setups["first"].shape
    (1, 6)
    """
    table.need("angle_deg", "reading_um")
    angles = np.round(table.numbers("angle_deg") % 360, 4) % 360
    readings = table.numbers("reading_um")
    turns = table.numbers("turn") if table.has("turn") else np.ones(len(readings))
    setups = [cell.casefold() for cell in table.text("setup")] if table.has("setup") else []
    setups = setups or ["first"] * len(readings)
    how = _method(method, setups, table)
    places, rounds, names = np.unique(angles), np.unique(turns), list(dict.fromkeys(setups))
    _enough(places, table)
    found: dict[tuple[str, float, float], float] = {}
    twice: dict[str, str] = {}
    keys = zip(setups, turns.tolist(), angles.tolist(), strict=True)
    for index, (key, reading) in enumerate(zip(keys, readings.tolist(), strict=True)):
        if key in found:
            twice[table.where(index, "angle_deg")] = say("this place was read before in that turn")
        found[key] = reading
    if twice:
        table.refuse(twice, say("Number the turns in a column turn, or leave one of them out."))
    gaps = [
        (name, turn, place)
        for name in names
        for turn in rounds.tolist()
        for place in places.tolist()
        if (name, turn, place) not in found
    ]
    if gaps:
        missing(gaps, table.name)
    shape = (len(rounds), len(places))
    runs = {
        name: np.array([found[name, t, a] for t in rounds.tolist() for a in places.tolist()])
        for name in names
    }
    return Runs(how, places, {name: run.reshape(shape) for name, run in runs.items()})


def _method(asked: str, setups: list[str], table: Table) -> str:
    """As asked; a file that holds several set-ups of the ball says by their names what it is."""
    named = set(setups)
    method = asked
    if named == {"first", "reversed"}:
        method = "reversal"
    elif len(named) > 1:
        method = "positions"
    if method == "reversal" and named != {"first", "reversed"}:
        raise Unusable(
            say("ball and indicator were not both turned round yet"),
            remedy=say("Read the set-up first and the set-up reversed at the same places."),
            problems=(
                Problem(table.name, say("only {named} so far", named=", ".join(map(str, named)))),
            ),
        )
    if method == "positions" and len(named) < 2:
        raise Unusable(
            say("the ball was read in one position only"),
            remedy=say("Turn the ball on the spindle by even steps and read all round each time."),
            problems=(
                Problem(table.name, say("position {named}", named=", ".join(map(str, named)))),
            ),
        )
    return method


def _enough(places: Floats, table: Table) -> None:
    gap = float(np.diff(np.append(places, places[0] + 360)).max())
    if FEWEST <= len(places) <= MOST_PLACES and gap <= WIDEST_GAP_DEG:
        return
    if len(places) > MOST_PLACES:
        raise Unusable(
            say("too many places in one turn"),
            remedy=say("Read every turn at the same places, {most} at most.", most=MOST_PLACES),
            problems=(Problem(table.name, say("{n} places", n=len(places))),),
        )
    raise Unusable(
        say("too little of the turn is read"),
        remedy=say("Read {few} places at least, all round, best every 30°.", few=FEWEST),
        problems=(
            Problem(
                table.name,
                say("{n} places, the widest gap {gap}°", n=len(places), gap=number(gap)),
            ),
        ),
    )
