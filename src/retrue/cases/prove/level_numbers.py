"""Level and feet in numbers: quantities, lists, tables, and what the picture is drawn from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove import level_words
from retrue.cases.prove.feet import Foot
from retrue.cases.prove.level_read import Levelled
from retrue.cases.prove.proof import Grid, Quantity, ThenRead
from retrue.science.levelling import Move


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place of the level, its tilts now and then; None where it did not lie that way."""

    x_mm: float
    y_mm: float
    tilt_x: float | None
    tilt_y: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """The plan of the feet: where they stand, what they do, what the level showed."""

    feet: tuple[Foot, ...]
    places: tuple[Place, ...]
    worst: float  # µm/m, signed


def quantities(level: Levelled) -> tuple[Quantity, ...]:
    """The results of a levelling, the judged one first.

    Parameters
    ----------
    level : Levelled
        The readings.

    Returns
    -------
    tuple of Quantity
    """
    worst = int(np.argmax(np.abs(level.tilts)))
    made = [
        Quantity(
            key="worst_tilt_um_per_m",
            name=say("largest tilt, either way"),
            value=float(abs(level.tilts[worst])),
            unit="µm/m",
            uncertainty=level.doubt(1.0),
            digits=0,
        )
    ]
    told = (
        ("tilt_x", "tilt_x_um_per_m", say("tilt along x, on the line y = 0"), "µm/m"),
        ("tilt_y", "tilt_y_um_per_m", say("tilt along y, on the line x = 0"), "µm/m"),
        ("twist", "twist_um_per_m_per_m", say("twist"), "µm/m per m"),
    )
    for mode, key, name, unit in told:
        there = mode in level.modes
        place = level.modes.index(mode) if there else 0
        weight = float(level.form.standard_uncertainties[place]) if there else 0.0
        made.append(
            Quantity(
                key=key,
                name=name,
                value=round(float(level.form.parameters[place]), 9) + 0.0 if there else None,
                unit=unit,
                uncertainty=level.doubt(weight) if there else None,
                digits=0,
                signed=True,
                why="" if there else level_words.not_read(mode),
            )
        )
    made.append(
        Quantity(
            key="level_zero_um_per_m",
            name=say("the level's own zero"),
            value=level.zero,
            unit="µm/m",
            uncertainty=None if level.zero is None else level.doubt(len(level.tilts) ** -0.5),
            digits=1,
            signed=True,
            why="" if level.zero is not None else say("the level was not turned end for end"),
        )
    )
    return tuple(made)


def more(
    level: Levelled, feet: tuple[Foot, ...], move: Move | None, pitch: float | None
) -> dict[str, object]:
    """Lists for ``--json``: feet, modes, what is not determined.

    Parameters
    ----------
    level : Levelled
        The readings.
    feet : tuple of Foot
        With their rises.
    move : Move or None
        Of the feet.
    pitch : float or None
        Rise for one turn, mm.

    Returns
    -------
    dict
    """
    if move is None:
        return {"feet": [], "modes": list(level.modes), "rank": level.form.rank,
                "condition": level.form.condition}  # fmt: skip
    listed = [
        {
            "name": foot.name,
            "raise_um": foot.raise_um,
            "give_or_take_um": foot.give_or_take_um,
            "turns": foot.turns,
            "degrees": foot.degrees,
            "why": "" if pitch else say("the pitch of the screw is not said"),
        }
        for foot in feet
    ]
    return {
        "feet": listed,
        "modes": list(move.modes),
        "rank": move.rank,
        "condition": move.condition,
        "not_determined": [
            {foot.name: round(float(part), 3) for foot, part in zip(feet, row, strict=True)}
            for row in move.unseen
        ],
    }


def then_read(level: Levelled, move: Move, step: float) -> tuple[ThenRead, ...]:
    """Each place again; old and new reading are off, and so are the feet that a hand set.

    Parameters
    ----------
    level : Levelled
        The readings.
    move : Move
        Of the feet.
    step : float
        Standard uncertainty of setting one foot, µm.

    Returns
    -------
    tuple of ThenRead
    """
    made = []
    for number_, after in enumerate(move.after):
        doubt = level.doubt(float(np.sqrt(2)))
        turned = 2 * step * float(np.linalg.norm(move.response[number_]))
        made.append(
            ThenRead(
                where=level_words.where(level, number_),
                value=round(float(after), 6) + 0.0,
                unit="µm/m",
                give_or_take=None if doubt is None else float(np.hypot(doubt, turned)),
                digits=0,
            )
        )
    return tuple(made)


def places(level: Levelled) -> tuple[Place, ...]:
    """The places of the level with their tilts, for the picture.

    Parameters
    ----------
    level : Levelled
        The readings.

    Returns
    -------
    tuple of Place

    Examples
    --------
    >>> from retrue.cases.prove.level_read import levelled
    >>> from retrue.cases.prove.proof import Conditions
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"x_mm,y_mm,direction,tilt_um_per_m\\n0,0,x,60\\n0,0,y,-30\\n", "l.csv")
    >>> places(levelled(table, Conditions()))
    (Place(x_mm=0.0, y_mm=0.0, tilt_x=60.0, tilt_y=-30.0),)
    """
    at = level.stations
    sums: dict[tuple[float, float], tuple[list[float], list[float]]] = {}
    for x, y, along, tilt in zip(at.x_m, at.y_m, at.along_x, level.tilts, strict=True):
        sums.setdefault((float(x), float(y)), ([], []))[0 if along else 1].append(float(tilt))
    return tuple(
        Place(
            x_mm=1000 * x,
            y_mm=1000 * y,
            tilt_x=sum(one) / len(one) if one else None,
            tilt_y=sum(other) / len(other) if other else None,
        )
        for (x, y), (one, other) in sums.items()
    )


def tables(level: Levelled, feet: tuple[Foot, ...], move: Move | None) -> tuple[Grid, ...]:
    """The picture's numbers and the tilts, now and then.

    Parameters
    ----------
    level : Levelled
        The readings.
    feet : tuple of Foot
        With their rises; empty where there are none.
    move : Move or None
        Of the feet.

    Returns
    -------
    tuple of Grid
    """
    after = [None] * len(level.tilts) if move is None else [float(v) + 0.0 for v in move.after]
    readings = Grid(
        title=say("Tilts"),
        columns=(say("place"), say("now, µm/m"), say("then, µm/m")),
        rows=tuple(
            (level_words.where(level, row), float(level.tilts[row]), after[row])
            for row in range(len(level.tilts))
        ),
        digits=1,
    )
    if not feet:
        return (readings,)
    rises = Grid(
        title=say("Feet"),
        columns=(say("foot"), say("up, µm"), say("turns"), say("degrees"), say("give or take, µm")),
        rows=tuple(
            (
                foot.name,
                number(foot.raise_um),
                None if foot.turns is None else number(foot.turns, 3),
                None if foot.degrees is None else number(foot.degrees, 1),
                foot.give_or_take_um,
            )
            for foot in feet
        ),
        digits=0,
    )
    return (rises, readings)
