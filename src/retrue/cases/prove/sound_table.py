"""A table of levels, as a meter wrote it: bands, or one level after another."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number, short
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.prove.sensed import CALIBRATED_DB, INDICATIVE_DB
from retrue.cases.prove.sound_levels import SWING_DB, LevelBand, Levels
from retrue.cases.prove.table import Table
from retrue.science.sound_level import mean_db, total_db
from retrue.science.weighting import Weighting, exact_hz, nominal_hz, third_of, weight_db

Floats = NDArray[np.float64]
LEAST_DB, MOST_DB = -20.0, 194.0
LEAST_HZ, MOST_HZ = 0.9, 110_000.0
LEVELS: dict[str, Weighting] = {"level_a_db": "A", "level_c_db": "C", "level_z_db": "Z"}
MOST_S = 1e10  # three hundred years: a time beyond is none
GAP_TIMES = 3.0  # a step this many times the usual one is a gap
NEAR = 0.25  # of a third octave: how far from its middle a band's name may lie
CLOCK = re.compile(r"(\d+):(\d\d)(?::(\d\d(?:[.,]\d+)?))?")


def levels_of_table(
    table: Table, *, checked: bool = False, column: str = "level_db", offset_db: float = 0.0
) -> Levels:
    """What a table of levels says.

    Parameters
    ----------
    table : Table
        ``frequency_hz`` and ``level_db``, not weighted, one band a row; or levels one after another
        in ``level_a_db``, ``level_c_db``, ``level_z_db`` or ``level_db``, which is taken as
        A-weighted, with ``time`` (a moment, a clock, or seconds) or without.
    checked : bool
        The meter was checked against a known level.
    column : str
        Which column of a table of bands.
    offset_db : float
        Added to every level.

    Returns
    -------
    Levels

    Raises
    ------
    Unusable
        A column is missing, a level or a band cannot be, or a band stands twice.

    References
    ----------
    IEC 61672-1:2013, 3.9 (equal energy); IEC 61260-1:2014, annex E (names of bands).

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"frequency_hz,level_db\\n63,80\\n125,80\\n250,80\\n500,80\\n", "a.csv")
    >>> round(levels_of_table(table).level_z_db, 2), levels_of_table(table).thirds
    (86.02, False)
    """
    sure = CALIBRATED_DB if checked else INDICATIVE_DB
    if table.has("frequency_hz"):
        return _bands(table, column, checked, sure, offset_db)
    return _levels(table, checked, sure, offset_db)


def _said(checked: bool) -> str:
    if checked:
        return say("Read with a meter that was checked against a known level.")
    return say("Indicative, give or take 5 dB: nobody said that the meter was checked.")


def levels_in(table: Table, name: str, offset_db: float = 0.0) -> Floats:
    """A column of levels.

    Parameters
    ----------
    table : Table
    name : str
        Of the column.
    offset_db : float
        Added to every level; where it is not zero, they may count from any scale.

    Returns
    -------
    ndarray, shape (rows,)
        Decibels.

    Raises
    ------
    Unusable
        A cell is no number, or no level that sound in air can have; each is named.

    References
    ----------
    A pressure of one atmosphere is 194 dB (by definition).

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> levels_in(read_table(b"level_a_db\\n80\\n", "a.csv"), "level_a_db").tolist()
    [80.0]
    """
    levels = table.numbers(name)
    low, high = (LEAST_DB, MOST_DB) if not offset_db else (-MOST_DB, MOST_DB)
    wrong = np.flatnonzero((levels < low) | (levels > high))
    if wrong.size:
        problems = {
            table.where(int(i), name): say("{value} dB", value=short(levels[i])) for i in wrong
        }
        table.refuse(problems, say("Levels of sound in air lie between -20 and 194 dB."))
    return levels + offset_db


def _bands(table: Table, column: str, checked: bool, sure: float, offset_db: float) -> Levels:
    thirds = _thirds(table)
    levels = levels_in(table, column, offset_db)
    order = np.argsort(thirds, kind="stable").tolist()
    bands = tuple(
        LevelBand(
            exact_hz=exact_hz(thirds[i]),
            nominal_hz=nominal_hz(thirds[i]),
            level_db=float(levels[i]),
        )
        for i in order
    )
    exact = np.array([band.exact_hz for band in bands])
    each = np.array([band.level_db for band in bands])
    a, c, z = (total_db(each + weight_db(exact, name)) for name in ("A", "C", "Z"))
    wide = len(thirds) > 1 and all((one - thirds[0]) % 3 == 0 for one in thirds)
    return Levels(
        name=table.name,
        bands=bands,
        thirds=not wide,
        level_a_db=a,
        level_c_db=c,
        level_z_db=z,
        why={"peak_c_db": say("a table of bands has no peak")},
        calibrated=checked,
        give_or_take_db=sure,
        notes=(*_lacking(sorted(thirds), 3 if wide else 1), _said(checked)),
    )


def _thirds(table: Table) -> list[int]:
    """Which band each row is."""
    named = table.numbers("frequency_hz")
    thirds, problems = [], {}
    for index, hz in enumerate(named.tolist()):
        third = third_of(hz) if LEAST_HZ <= hz <= MOST_HZ else None
        near = third is not None and abs(10 * np.log10(hz / exact_hz(third))) <= NEAR
        if third is None or not near:
            problems[table.where(index, "frequency_hz")] = say("{hz} is no band", hz=short(hz))
        elif third in thirds:
            problems[table.where(index, "frequency_hz")] = say("{hz} stands twice", hz=short(hz))
        else:
            thirds.append(third)
    if problems:
        table.refuse(problems, say("Write each band once by its name: 31.5, 63, 125, 1000."))
    return thirds


def _lacking(thirds: Sequence[int], step: int) -> Iterator[str]:
    """Bands that are missing in the middle, or that A would need."""
    gaps = [n for n in range(thirds[0], thirds[-1], step) if n not in thirds]
    if gaps:
        yield say(
            "Bands are missing: {named} Hz. The sums are of what is there.",
            named=", ".join(short(nominal_hz(one)) for one in gaps),
        )
    if exact_hz(thirds[0]) > 130 or exact_hz(thirds[-1]) < 3900:
        yield say(
            "The bands reach from {low} to {high} Hz only: what lies outside is not in the sums.",
            low=short(nominal_hz(thirds[0])),
            high=short(nominal_hz(thirds[-1])),
        )


def _levels(table: Table, checked: bool, sure: float, offset_db: float) -> Levels:
    named = [name for name in LEVELS if table.has(name)]
    plain = table.has("level_db") and "level_a_db" not in named
    if not named and not plain:
        table.need("level_a_db")
    columns = {"level_a_db": "level_db"} if plain else {}
    weights, seconds, notes = _times(table)
    told: dict[str, float | None] = dict.fromkeys(LEVELS)
    each: Floats | None = None
    for name in (*columns, *named):
        values = levels_in(table, columns.get(name, name), offset_db)
        told[name] = mean_db(values, weights)
        each = values if name == "level_a_db" else each
    if plain:
        notes.append(say("Nobody said how the level was weighted: it was taken as dB(A)."))
    why = {name: say("is not in the table") for name, value in told.items() if value is None}
    low = high = None
    if each is not None:
        low, high = float(each.min()), float(each.max())
    return Levels(
        name=table.name,
        level_a_db=told["level_a_db"],
        level_c_db=told["level_c_db"],
        level_z_db=told["level_z_db"],
        why={**why, "peak_c_db": say("a table of levels has no peak"),
             "bands": say("a table of levels has no bands")},
        seconds=seconds,
        low_a_db=low,
        high_a_db=high,
        calibrated=checked,
        give_or_take_db=sure,
        notes=(*notes, _said(checked)),
        warnings=tuple(_swing(low, high)),
    )  # fmt: skip


def _swing(low: float | None, high: float | None) -> Iterator[str]:
    if low is not None and high is not None and high - low > SWING_DB:
        yield say(
            "It is not steady: from {low} to {high} dB(A), reading by reading. Read one state at a "
            "time.",
            low=number(low, 1),
            high=number(high, 1),
        )


def _times(table: Table) -> tuple[Floats | None, float | None, list[str]]:
    """How long each row stands for: half the way to both neighbours, at ends and gaps the usual."""
    column = next((name for name in ("time_s", "time") if table.has(name)), None)
    if column is None:
        return None, None, [say("No times: every reading counts the same.")]
    at = _moments(table, column)
    if not np.abs(at).max() < MOST_S:
        raise _no_times(table)
    order = np.argsort(at, kind="stable")
    notes = []
    if (np.diff(at) < 0).any():
        notes.append(say("The clock of the table jumps back, or its rows are out of order: they "
                         "were put in the order of their times."))  # fmt: skip
    step = np.diff(at[order])
    if not step.size or not step.max() > 0:
        return None, None, [*notes, say("All readings have one time: each counts the same.")]
    usual = float(np.median(step[step > 0]))
    gap = step > GAP_TIMES * usual
    if gap.any():
        notes.append(
            say(
                "For {seconds} s nothing was read: that time counts for nothing.",
                seconds=number(float(step[gap].sum())),
            )
        )
    counted = np.where(gap, usual, step)
    sides = np.concatenate([[usual], counted, [usual]])
    stands = np.empty_like(at)
    stands[order] = (sides[:-1] + sides[1:]) / 2.0
    return stands, float(stands.sum()), notes


def _moments(table: Table, column: str) -> Floats:
    """Seconds from any zero."""
    cells = table.text(column)
    try:
        return np.array([float(cell.replace(",", ".")) for cell in cells])
    except ValueError:
        pass
    clocks = [CLOCK.fullmatch(cell) for cell in cells]
    if all(clocks):
        return np.array(
            [
                3600.0 * int(one[1]) + 60.0 * int(one[2]) + float((one[3] or "0").replace(",", "."))
                for one in clocks
                if one is not None
            ]
        )
    try:
        moments = [datetime.fromisoformat(cell) for cell in cells]
        return np.array([(one - moments[0]).total_seconds() for one in moments])
    except (ValueError, TypeError) as wrong:
        raise _no_times(table) from wrong


def _no_times(table: Table) -> Unusable:
    return Unusable(
        say("the times of {name} cannot be read", name=table.name),
        remedy=say("Write 2026-11-25T20:00:05, 20:00:05, or seconds; all in one form."),
    )
