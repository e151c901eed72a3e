"""The readings of a plate: rises along the lines of a union-jack, or a grid of heights."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from math import hypot

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Options
from retrue.cases.prove.proof import Conditions
from retrue.cases.prove.table import Table
from retrue.science.bound import DRAWS, Bound, upper_bound
from retrue.science.flatness import LINES, Jack, Network, moody, network, shares_of
from retrue.science.give_or_take import expanded
from retrue.science.minimum_zone import bearing, plane_design, widths

Floats = NDArray[np.float64]
NAMES = {name.casefold(): name for name in LINES}
OFF = 0.1  # steps and foot may disagree with a line's length by that share
MOST = 100_000
NUMBERS = 4_000_000  # drawn at once at most
FEWEST_DRAWS = 40
LEAST_POINTS = 4


@dataclass(frozen=True, slots=True, eq=False)
class Plate:
    """Heights of a plate's points, and how they follow from the readings.

    Attributes
    ----------
    x_mm, y_mm, heights_um : ndarray, shape (n,)
        Each point once.
    chains : tuple of tuple of int
        Points along each line, for the picture.
    jack, net : Jack, Network or None
        Where it is a union-jack: by the plane of its diagonals, and by all lines at once.
    rises : mapping of str to ndarray
        Rise of each step of each line, micrometres.
    steps_m : mapping of str to float
        Length of a step.
    """

    x_mm: Floats
    y_mm: Floats
    heights_um: Floats
    chains: tuple[tuple[int, ...], ...]
    jack: Jack | None = None
    net: Network | None = None
    rises: Mapping[str, Floats] | None = None
    steps_m: Mapping[str, float] | None = None


def sizes(options: Options) -> dict[str, float]:
    """The length of each line of a union-jack.

    Parameters
    ----------
    options : mapping
        ``length_mm`` and ``width_mm``.

    Returns
    -------
    dict of str to float
        Millimetres.

    Examples
    --------
    >>> sizes({"length_mm": 800.0, "width_mm": 600.0})["A"]
    1000.0
    """
    long, wide = options["length_mm"], options["width_mm"]
    return {
        line: hypot((end[0] - start[0]) * long, (end[1] - start[1]) * wide)
        for line, (start, end) in LINES.items()
    }


def plate_of(table: Table, options: Options) -> Plate:
    """Take readings as heights of a plate.

    Parameters
    ----------
    table : Table
        ``line, step, tilt_um_per_m`` or ``x_mm, y_mm, height_um``.
    options : mapping
        ``length_mm``, ``width_mm``, ``foot_mm`` for a union-jack.

    Returns
    -------
    Plate

    Raises
    ------
    Unusable
        Readings are missing, stand twice, or do not fit the plate.

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"x_mm,y_mm,height_um\\n0,0,0\\n9,0,0\\n0,9,0\\n9,9,4\\n", "plate.csv")
    >>> plate_of(table, {}).heights_um.tolist()
    [0.0, 0.0, 0.0, 4.0]
    """
    if table.has("line") or not table.has("x_mm", "y_mm", "height_um"):
        table.need("line", "step", "tilt_um_per_m")
        return _jack(table, options)
    return _grid(table)


def _grid(table: Table) -> Plate:
    x, y, h = (table.numbers(name) for name in ("x_mm", "y_mm", "height_um"))
    if not LEAST_POINTS <= len(x) <= MOST:
        raise Unusable(
            say("{count} points make no plate", count=len(x)),
            remedy=say("Read from {least} to {most} points.", least=LEAST_POINTS, most=MOST),
            problems=(
                Problem(
                    table.name,
                    say("{count} points", count=len(x)),
                    say("Leave out rows evenly, every tenth kept."),
                ),
            )
            if len(x) > MOST
            else (Problem(table.name, say("{count} points", count=len(x))),),
        )
    places = np.column_stack([x, y])
    _, first, counts = np.unique(places, axis=0, return_index=True, return_counts=True)
    if (counts > 1).any():
        again = sorted(set(range(len(x))) - set(first.tolist()))
        wrong = {table.where(index, "x_mm"): say("this point stands twice") for index in again}
        table.refuse(wrong, say("Keep one reading for each point, or their mean."))
    if np.linalg.matrix_rank(plane_design(x - x.mean(), y - y.mean())) < 3:
        raise Unusable(
            say("all points lie on one line"),
            remedy=say("Read points beside it too, or prove straightness."),
            problems=(Problem(table.name, say("the points span no plane")),),
        )
    chains = [*_rows(y, x), *_rows(x, y)] if len(x) <= 400 else []
    return Plate(x, y, h, tuple(chains))


def _rows(same: Floats, along: Floats) -> list[tuple[int, ...]]:
    made = []
    for value in np.unique(same).tolist():
        row = np.flatnonzero(same == value)
        if len(row) > 1:
            made.append(tuple(row[np.argsort(along[row])].tolist()))
    return made


def _jack(table: Table, options: Options) -> Plate:
    tilts = _by_line(table)
    lengths = sizes(options)
    _check(table, tilts, lengths, options["foot_mm"])
    steps_m = {line: lengths[line] / len(values) / 1000 for line, values in tilts.items()}
    rises = {line: values * steps_m[line] for line, values in tilts.items()}
    net = network(rises)
    if net.rank < len(net.heights) + len(rises) - 3:
        raise Unusable(
            say("the lines read so far do not hang together"),
            remedy=say("Read the diagonals A and B, then the edges C to F, then G and H."),
            problems=tuple(
                Problem(say("line {line}", line=line), say("is not read yet"))
                for line in LINES
                if line not in rises
            ),
        )
    jack = moody(rises) if set(rises) == set(LINES) else None
    shares = net.shares if jack is None else jack.shares
    heights = net.heights if jack is None else jack.heights
    return Plate(
        x_mm=shares[:, 0] * options["length_mm"],
        y_mm=shares[:, 1] * options["width_mm"],
        heights_um=heights,
        chains=_chains(shares, rises),
        jack=jack,
        net=net,
        rises=rises,
        steps_m=steps_m,
    )


def _by_line(table: Table) -> dict[str, Floats]:
    names = table.words("line", NAMES)
    steps, tilts = table.numbers("step"), table.numbers("tilt_um_per_m")
    found: dict[str, dict[int, float]] = {}
    wrong: dict[str, str] = {}
    for index, (name, step) in enumerate(zip(names, steps.tolist(), strict=True)):
        line = found.setdefault(name, {})
        if step != int(step) or not 1 <= step <= MOST:
            wrong[table.where(index, "step")] = say("steps are counted 1, 2, 3")
        elif int(step) in line:
            wrong[table.where(index, "step")] = say(
                "line {line} step {step} stands twice", line=name, step=int(step)
            )
        line[int(step)] = float(tilts[index])
    if wrong:
        table.refuse(wrong, say("Number the steps of each line from 1."))
    missing = [
        Problem(say("line {line}", line=name), say("step {step} is missing", step=step))
        for name, line in found.items()
        for step in range(1, max(line) + 1)
        if step not in line
    ][:20]
    if missing:
        raise Unusable(
            say("some steps of {name} are missing", name=table.name),
            remedy=say("Read the steps that are named; all the others are kept as they are."),
            problems=tuple(missing),
        )
    return {
        name: np.array([found[name][step] for step in sorted(found[name])])
        for name in LINES
        if name in found
    }


def _check(
    table: Table, tilts: Mapping[str, Floats], lengths: Mapping[str, float], foot_mm: float
) -> None:
    problems = []
    for line, values in tilts.items():
        count, length = len(values), lengths[line]
        where = say("line {line}", line=line)
        if abs(count * foot_mm - length) > OFF * length:
            what = say(
                "{count} steps of {foot} mm do not make its {length} mm",
                count=count,
                foot=short(foot_mm),
                length=f"{length:.0f}",
            )
            problems.append(Problem(where, what))
        elif count % 2:
            problems.append(
                Problem(where, say("{count} steps leave no point in the middle", count=count))
            )
    if problems:
        raise Unusable(
            say("the lines of {name} do not fit the plate yet", name=table.name),
            remedy=say("Read each line to its end in an even number of steps, or correct sizes."),
            problems=tuple(problems),
        )


def _chains(shares: Floats, rises: Mapping[str, Floats]) -> tuple[tuple[int, ...], ...]:
    index = {tuple(place): number for number, place in enumerate(shares.round(6).tolist())}
    made = []
    for line, values in rises.items():
        places = (shares_of(line, len(values)).round(6) + 0.0).tolist()
        made.append(tuple(index[tuple(place)] for place in places))
    return tuple(made)


def reading_sd(plate: Plate, conditions: Conditions) -> float | None:
    """Standard uncertainty of one reading: stated, or told by how badly the lines close.

    Parameters
    ----------
    plate : Plate
        The readings.
    conditions : Conditions
        With the expanded uncertainty of one reading, where it is known.

    Returns
    -------
    float or None
        µm/m for a union-jack, µm for a grid; widened where few misclosures tell it.

    Examples
    --------
    >>> import numpy as np
    >>> reading_sd(Plate(np.zeros(1), np.zeros(1), np.zeros(1), ()), Conditions()) is None
    True
    """
    if conditions.reading_uncertainty is not None:
        return conditions.reading_uncertainty / 2
    net, steps = plate.net, plate.steps_m
    if net is None or steps is None or net.freedom < 2 or net.scatter < 1e-9:
        return None
    step = float(np.mean(list(steps.values())))
    return expanded(net.scatter / step, net.freedom) / 2


def bounds_of(plate: Plate, sd: float | None, seed: int) -> dict[str, Bound]:
    """How far noise may have moved the flatness, for each reference plane.

    Parameters
    ----------
    plate : Plate
        Heights and the readings they follow from.
    sd : float or None
        Of one reading; None: nothing can be said.
    seed : int
        Of the stream.

    Returns
    -------
    dict of str to Bound
        By ``minimum_zone``, ``least_squares`` and, for a whole union-jack, ``moody``.

    Examples
    --------
    >>> import numpy as np
    >>> plate = Plate(np.array([0.0, 1, 0, 1]), np.array([0.0, 0, 1, 1]), np.zeros(4), ())
    >>> bounds_of(plate, None, 7)
    {}
    """
    if sd is None:
        return {}
    count = len(plate.heights_um)
    spread = _spread(plate, sd)

    def noise(generator: np.random.Generator, sets: int) -> Floats:
        if spread is None:
            return generator.normal(0.0, sd, (sets, count))
        return generator.normal(0.0, 1.0, (sets, spread.shape[1])) @ spread.T

    design = plane_design(plate.x_mm - plate.x_mm.mean(), plate.y_mm - plate.y_mm.mean())
    solve = np.linalg.pinv(design).T

    def least(sets: Floats) -> Floats:
        return np.asarray(np.ptp(sets - (sets @ solve) @ design.T, axis=1), dtype=np.float64)

    def plain(sets: Floats) -> Floats:
        return np.asarray(np.ptp(sets, axis=1), dtype=np.float64)

    ways: dict[str, Callable[[Floats], Floats]] = {
        "minimum_zone": partial(widths, bearing(design, plate.heights_um)),
        "least_squares": least,
    }
    if plate.jack is not None:
        ways["moody"] = plain
    draws = int(np.clip(NUMBERS // count, FEWEST_DRAWS, DRAWS))
    return {
        name: upper_bound(way, plate.heights_um, noise, seed=seed, draws=draws)
        for name, way in ways.items()
    }


def _spread(plate: Plate, sd: float) -> Floats | None:
    """How one standard uncertainty of each reading moves the heights, shape (n, readings)."""
    if plate.rises is None or plate.steps_m is None:
        return None
    columns = []
    for line, values in plate.rises.items():
        for step in range(len(values)):
            unit = {name: np.zeros(len(rises)) for name, rises in plate.rises.items()}
            unit[line][step] = sd * plate.steps_m[line]
            columns.append(network(unit).heights if plate.jack is None else moody(unit).heights)
    return np.column_stack(columns)
