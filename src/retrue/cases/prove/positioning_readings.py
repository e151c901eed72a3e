"""Readings of a positioning test: from rows to targets by runs, every gap and double named."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number, short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Options
from retrue.cases.prove.table import Table
from retrue.science.temperature import heat_in_deviations_um

Floats = NDArray[np.float64]
WAYS = {
    "forward": "forward", "backward": "backward", "+": "forward", "-": "backward",
    "\u2212": "backward", "f": "forward", "b": "backward",
}  # fmt: skip
ARC_SECOND = np.pi / 180 / 3600
MOST_NAMED = 20


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """Deviations in micrometres, shape (targets, runs); a direction not measured is None."""

    targets: Floats
    unit: str  # of the targets: mm or °
    forward: Floats | None
    backward: Floats | None
    heat: Floats  # taken out of the deviations, shape (targets,)

    @property
    def length(self) -> float:
        """From the first target to the last."""
        return float(self.targets[-1] - self.targets[0])

    @property
    def runs(self) -> int:
        """Readings to a target and direction."""
        table = self.backward if self.forward is None else self.forward
        assert table is not None
        return int(table.shape[1])


def place(target: float) -> str:
    """A target as a person reads it.

    Parameters
    ----------
    target : float
        In millimetres or degrees.

    Returns
    -------
    str

    References
    ----------
    Our own wording.

    Examples
    --------
    >>> place(100.0), place(5.36)
    ('100', '5.36')
    """
    digits = next((n for n in range(3) if abs(round(target, n) - target) < 1e-9), 3)
    return number(target, digits)


def readings_of(table: Table, options: Options) -> Readings:
    """Sort the rows of a positioning test.

    Parameters
    ----------
    table : Table
        Columns target_mm (or target_deg), approach, run, and deviation_um; for a rotary axis
        deviation_arcsec with the option radius_mm is taken as well.
    options : mapping
        ``radius_mm``; ``scale_c``, ``gauge_c`` and the two expansions bring all to 20 degrees.

    Returns
    -------
    Readings

    Raises
    ------
    Unusable
        A column or cell is missing, a target stands twice in a run, runs are unequal, or there
        are fewer than two targets.

    References
    ----------
    Our own file shape.

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> rows = b"target_mm,approach,run,deviation_um\\n0,forward,1,2\\n100,forward,1,3\\n"
    >>> made = readings_of(read_table(rows, "x.csv"), {})
    >>> made.forward.tolist(), made.backward is None
    ([[2.0], [3.0]], True)
    """
    column, unit = ("target_deg", "°") if table.has("target_deg") else ("target_mm", "mm")
    table.need(column, "approach", "run")
    places = table.numbers(column)
    ways = np.array(table.words("approach", WAYS))
    order = table.numbers("run")
    values = _deviations(table, options)
    targets, at = np.unique(places, return_inverse=True)
    runs, turn = np.unique(order, return_inverse=True)
    if len(targets) < 2:
        raise Unusable(
            say("there is only one target"),
            remedy=say("Measure at two targets at least, best at five or more."),
            problems=(Problem(table.name, say("{n} target so far", n=len(targets))),),
        )
    heat = _heat(targets, options)
    tables: dict[str, Floats | None] = {}
    for way in ("forward", "backward"):
        rows = np.flatnonzero(ways == way)
        if not len(rows):
            tables[way] = None
            continue
        _once(table, rows, at[rows] * len(runs) + turn[rows])
        made = np.full((len(targets), len(runs)), np.nan)
        made[at[rows], turn[rows]] = values[rows]
        tables[way] = made - heat[:, None]
    _complete(table, targets, unit, runs, tables)
    return Readings(targets, unit, tables["forward"], tables["backward"], heat)


def _deviations(table: Table, options: Options) -> Floats:
    if not table.has("deviation_arcsec"):
        return table.numbers("deviation_um")
    radius = options.get("radius_mm")
    if not radius:
        raise Unusable(
            say("arc seconds need the radius at which they count"),
            remedy=say("Give radius_mm, the radius of the largest part on the rotary axis."),
            problems=(Problem("radius_mm", say("is empty")),),
        )
    return np.asarray(table.numbers("deviation_arcsec") * ARC_SECOND * radius * 1000)


def _heat(targets: Floats, options: Options) -> Floats:
    given = {key: options.get(key) for key in ("scale_c", "gauge_c")}
    if all(value is None for value in given.values()):
        return np.zeros(len(targets))
    empty = [key for key, value in given.items() if value is None]
    if empty:
        raise Unusable(
            say("one of the two temperatures is missing"),
            remedy=say("Give the temperatures of both, the screw or scale and the standard."),
            problems=tuple(Problem(key, say("is empty")) for key in empty),
        )
    return heat_in_deviations_um(
        targets,
        scale_c=options["scale_c"],
        gauge_c=options["gauge_c"],
        scale_expansion=options["scale_expansion"],
        gauge_expansion=options["gauge_expansion"],
    )


def _once(table: Table, rows: NDArray[np.intp], keys: NDArray[np.intp]) -> None:
    _, first, counts = np.unique(keys, return_index=True, return_counts=True)
    if (counts == 1).all():
        return
    again = np.setdiff1d(np.arange(len(keys)), first)
    origin = {int(keys[i]): int(rows[i]) for i in first}
    table.refuse(
        {
            say("row {row}", row=table.rows[int(rows[i])]): say(
                "the same target, approach and run as row {first}",
                first=table.rows[origin[int(keys[i])]],
            )
            for i in again[: MOST_NAMED + 1]
        },
        say("Give each run its own number, or leave one of the two out."),
    )


def _complete(
    table: Table, targets: Floats, unit: str, runs: Floats, tables: dict[str, Floats | None]
) -> None:
    problems, count = [], 0
    words = {"forward": say("forward"), "backward": say("backward")}
    for way, made in tables.items():
        if made is None:
            continue
        missing = np.argwhere(np.isnan(made))
        count += len(missing)
        for i, j in missing[:MOST_NAMED]:
            where = say(
                "target {target} {unit}, {way}, run {run}",
                target=place(targets[i]), unit=unit, way=words[way], run=short(runs[j]),
            )  # fmt: skip
            problems.append(Problem(where, say("no reading")))
    if count:
        if count > len(problems):
            problems.append(Problem(table.name, say("{n} readings missing in all", n=count)))
        raise Unusable(
            say("the runs are not complete"),
            remedy=say("Measure what is named, or leave that run out; the others are kept."),
            problems=tuple(problems),
        )
