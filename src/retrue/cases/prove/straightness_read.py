"""The readings of a line: heights at positions, and what noise does to its straightness."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Options
from retrue.cases.prove.proof import Conditions
from retrue.cases.prove.table import Table
from retrue.science.bound import DRAWS, Bound, upper_bound
from retrue.science.minimum_zone import bearing, line_design, widths
from retrue.science.straightness import cumulated

Floats = NDArray[np.float64]
EVEN = 0.01  # steps may differ by that share
MOST = 100_000
MOST_LOCAL = 5_000  # with a line of its own in every stretch
NUMBERS = 4_000_000  # drawn at once at most
FEWEST_DRAWS = 40


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """Heights along a line; ``step_m`` is the base of the level, None for an indicator."""

    positions_mm: Floats
    heights_um: Floats
    step_m: float | None


def line_of(table: Table, options: Options) -> Line:
    """Take readings as heights along a line.

    Parameters
    ----------
    table : Table
        ``position_mm`` with ``tilt_um_per_m`` or ``height_um``, in any order.
    options : mapping
        ``base_mm`` where one step alone does not tell it.

    Returns
    -------
    Line
        Positions rise.

    Raises
    ------
    Unusable
        Fewer than three points, a step left out, a position twice, or too many points.

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"position_mm,tilt_um_per_m\\n0,8\\n250,12\\n", "line.csv")
    >>> line_of(table, {}).heights_um.tolist()
    [0.0, 2.0, 5.0]
    """
    table.need("position_mm")
    by_level = table.has("tilt_um_per_m")
    if not by_level and not table.has("height_um"):
        table.need("tilt_um_per_m", "height_um")
    values = table.numbers("tilt_um_per_m" if by_level else "height_um")
    positions = table.numbers("position_mm")
    _check(table, positions, by_level=by_level)
    if options.get("local_mm") and len(positions) > MOST_LOCAL:
        raise _too_many(len(positions), MOST_LOCAL)
    order = np.argsort(positions, kind="stable")
    positions, values = positions[order], values[order]
    if not by_level:
        return Line(positions, values, None)
    step = options.get("base_mm") or float(np.median(np.diff(positions)))
    _even(table, positions, order, step)
    last = positions[-1] + step
    return Line(np.append(positions, last), cumulated(values, step / 1000), step / 1000)


def _too_many(count: int, most: int) -> Unusable:
    return Unusable(
        say("{count} points are more than the {most} that can be weighed", count=count, most=most),
        remedy=say("Take every tenth point, or the mean of each ten."),
    )


def _check(table: Table, positions: Floats, *, by_level: bool) -> None:
    least = 2 if by_level else 3
    if len(positions) < least:
        raise Unusable(
            say("a straight line goes through any two points"),
            remedy=say("Read {count} places or more.", count=least),
            problems=(Problem(table.name, say("{count} readings so far", count=len(positions))),),
        )
    if len(positions) > MOST:
        raise _too_many(len(positions), MOST)
    _, first, counts = np.unique(positions, return_index=True, return_counts=True)
    if (counts > 1).any():
        again = sorted(set(range(len(positions))) - set(first.tolist()))
        table.refuse(
            {
                table.where(index, "position_mm"): say("position {x} stands twice", x=short(value))
                for index, value in zip(again, positions[again].tolist(), strict=True)
            },
            say("Keep one reading for each position, or their mean."),
        )


def _even(table: Table, positions: Floats, order: NDArray[np.intp], step: float) -> None:
    gaps = np.diff(positions)
    odd = np.flatnonzero(np.abs(gaps - step) > EVEN * step)
    if len(odd):
        wrong = {
            table.where(int(order[index + 1]), "position_mm"): say(
                "{gap} mm from the one before, the level's base is {step} mm",
                gap=short(gaps[index]),
                step=short(step),
            )
            for index in odd.tolist()
        }
        table.refuse(wrong, say("A level goes end to end: leave no step out."))


def doubts(line: Line, conditions: Conditions) -> dict[str, Bound]:
    """How far noise may have moved the straightness, for each reference line.

    Parameters
    ----------
    line : Line
        Heights.
    conditions : Conditions
        With the expanded uncertainty of one reading; without it nothing can be said.

    Returns
    -------
    dict of str to Bound
        By reference line; empty where one reading's doubt is not known.

    Examples
    --------
    >>> import numpy as np
    >>> line = Line(np.arange(4.0), np.array([0.0, 5.0, 1.0, 0.0]), None)
    >>> sorted(doubts(line, Conditions(reading_uncertainty=0.2)))
    ['end-point', 'least-squares', 'minimum-zone']
    """
    if conditions.reading_uncertainty is None:
        return {}
    sd, count = conditions.reading_uncertainty / 2, len(line.heights_um)
    step = line.step_m

    def noise(generator: np.random.Generator, sets: int) -> Floats:
        if step is None:
            return generator.normal(0.0, sd, (sets, count))
        return cumulated(generator.normal(0.0, sd, (sets, count - 1)), step)

    draws = int(np.clip(NUMBERS // count, FEWEST_DRAWS, DRAWS))
    return {
        name: upper_bound(how, line.heights_um, noise, seed=conditions.seed, draws=draws)
        for name, how in _widths(line).items()
    }


def _widths(line: Line) -> dict[str, Callable[[Floats], Any]]:
    design = line_design((line.positions_mm - line.positions_mm.mean()) / 1000)
    share = (line.positions_mm - line.positions_mm[0]) / np.ptp(line.positions_mm)
    solve = np.linalg.pinv(design).T

    def ends(sets: Floats) -> Floats:
        chord = sets[:, :1] + (sets[:, -1:] - sets[:, :1]) * share
        return np.asarray(np.ptp(sets - chord, axis=1), dtype=np.float64)

    def least(sets: Floats) -> Floats:
        return np.asarray(np.ptp(sets - (sets @ solve) @ design.T, axis=1), dtype=np.float64)

    return {
        "end-point": ends,
        "least-squares": least,
        "minimum-zone": partial(widths, bearing(design, line.heights_um)),
    }
