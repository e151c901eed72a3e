"""The readings of a level: where it stood, what it showed, how far one reading may be off."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Options
from retrue.cases.prove.feet import Foot
from retrue.cases.prove.proof import Conditions
from retrue.cases.prove.table import Table
from retrue.science.give_or_take import expanded
from retrue.science.least_squares import Fit
from retrue.science.levelling import (
    Move,
    Stations,
    move_feet,
    reversal,
    seen,
    surface,
)
from retrue.science.levelling_response import move_by_response

Floats = NDArray[np.float64]
ALONG = {"x": "x", "y": "y"}
FULL_TURN = 360.0
SIGNS, ZERO_STAYS = 2.0, 5.0  # times the tilts' own scatter; µm/m
TILT = "worst_tilt_um_per_m"


@dataclass(frozen=True, slots=True, eq=False)
class Levelled:
    """Tilts at their places, and what they determine.

    ``reading_sd`` is the standard uncertainty of one tilt, µm/m, None where nothing tells it;
    ``freedom`` belongs to it, None where it was stated. ``zero`` is the level's own zero;
    ``zero_moves`` where it differs so much from place to place that signs must be wrong.
    """

    stations: Stations
    tilts: Floats
    zero: float | None
    zero_moves: bool
    modes: tuple[str, ...]
    form: Fit
    reading_sd: float | None
    freedom: int | None

    @property
    def factor(self) -> float | None:
        """From one tilt's standard uncertainty to an expanded one; None where it is not known."""
        if self.reading_sd is None:
            return None
        freedom = math.inf if self.freedom is None else self.freedom
        return expanded(self.reading_sd, freedom)

    def doubt(self, weight: float) -> float | None:
        """Expanded uncertainty of what depends on the tilts with that weight."""
        return None if self.factor is None else self.factor * weight


def levelled(table: Table, conditions: Conditions) -> Levelled:
    """Take the readings of a level as tilts and fit the bed's form.

    Parameters
    ----------
    table : Table
        ``x_mm, y_mm, direction, tilt_um_per_m`` and perhaps ``turned_um_per_m``.
    conditions : Conditions
        With the expanded uncertainty of one reading, where it is known.

    Returns
    -------
    Levelled

    Raises
    ------
    Unusable
        A column is missing or a cell is none.

    Notes
    -----
    One tilt's doubt is the stated one; else it is what the level's zero scatters by from place to
    place; else what the bed's form leaves over. Turning end for end divides it by the root of two.

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"x_mm,y_mm,direction,tilt_um_per_m\\n0,0,x,60\\n0,0,y,-30\\n", "l.csv")
    >>> levelled(table, Conditions()).modes
    ('tilt_x', 'tilt_y')
    """
    columns = ["x_mm", "y_mm", "direction", "tilt_um_per_m"]
    table.need(*columns)
    along = np.array([word == "x" for word in table.words("direction", ALONG)])
    at = Stations(table.numbers("x_mm") / 1000, table.numbers("y_mm") / 1000, along)
    tilts, zeros = table.numbers("tilt_um_per_m"), None
    if table.has("turned_um_per_m"):
        tilts, zeros = reversal(tilts, table.numbers("turned_um_per_m"))
    modes = seen(at)
    form = surface(at, tilts, modes, reading_sd=1.0)
    sd, freedom = _reading_sd(conditions, zeros, form)
    return Levelled(
        stations=at,
        tilts=tilts,
        zero=None if zeros is None else float(zeros.mean()),
        zero_moves=zeros is not None and _moves(zeros, tilts),
        modes=modes,
        form=form,
        reading_sd=sd,
        freedom=freedom,
    )


def _moves(zeros: Floats, tilts: Floats) -> bool:
    """A level's zero stays; where it varies more than the tilts do, signs were mixed up."""
    return len(zeros) >= 3 and float(zeros.std()) > max(SIGNS * float(tilts.std()), ZERO_STAYS)


def _reading_sd(
    conditions: Conditions, zeros: Floats | None, form: Fit
) -> tuple[float | None, int | None]:
    if conditions.reading_uncertainty is not None:
        halves = 1.0 if zeros is None else np.sqrt(0.5)
        return float(conditions.reading_uncertainty / 2 * halves), None
    if conditions.uncertainty is not None and conditions.judged in (None, TILT):
        return conditions.uncertainty / 2, None  # the judged quantity is one tilt
    if zeros is not None and len(zeros) >= 3 and np.ptp(zeros) > 0:
        return float(zeros.std(ddof=1)), len(zeros) - 1
    if form.freedom >= 2 and form.residual_sd > 1e-9:
        return form.residual_sd, form.freedom
    return None, None


def moved(level: Levelled, feet: tuple[Foot, ...], options: Options) -> Move | None:
    """What the feet must do.

    Parameters
    ----------
    level : Levelled
        The readings.
    feet : tuple of Foot
        May be empty.
    options : mapping
        With the measured response of the bed, where there is one, and the most a foot may rise.

    Returns
    -------
    Move or None
        None without feet, or while one of the two tilts is not read yet.

    Raises
    ------
    Unusable
        The table of the response does not fit feet and stations.

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"x_mm,y_mm,direction,tilt_um_per_m\\n0,0,x,60\\n0,0,y,-30\\n", "l.csv")
    >>> moved(levelled(table, Conditions()), (), {}) is None
    True
    """
    if not feet or not {"tilt_x", "tilt_y"} <= set(level.modes):
        return None
    table, most = options.get("response"), options.get("most_um")
    if table is None:
        x = np.array([foot.x_mm for foot in feet]) / 1000
        y = np.array([foot.y_mm for foot in feet]) / 1000
        return move_feet(level.stations, level.tilts, x, y)
    rise = options.get("raise_um")
    if not rise:
        raise Unusable(
            say("how far each foot was raised for the response is not said"),
            remedy=say("Give raise_um: the rise in micrometres, the same for each foot."),
            problems=(Problem("raise_um", say("is empty")),),
        )
    noise = 0.0 if level.reading_sd is None else float(np.sqrt(2) * level.reading_sd / rise)
    return move_by_response(
        _response(table, feet, level.stations) / rise,
        level.tilts,
        reading_sd=level.reading_sd or 0.0,
        response_sd=noise,
        most_um=np.inf if most is None else most,
    )


def _response(table: Table, feet: tuple[Foot, ...], at: Stations) -> Floats:
    """Change of each tilt for each foot, shape (stations, feet), in µm/m for the whole rise."""
    column = {foot.name: number for number, foot in enumerate(feet)}
    names = [column.get(name) for name in table.text("foot")]
    places = zip(
        table.numbers("x_mm"), table.numbers("y_mm"), table.words("direction", ALONG), strict=True
    )
    wanted = {
        (round(1000 * x, 3), round(1000 * y, 3), "x" if along else "y"): number
        for number, (x, y, along) in enumerate(zip(at.x_m, at.y_m, at.along_x, strict=True))
    }
    made = np.full((len(at.x_m), len(feet)), np.nan)
    changes = table.numbers("change_um_per_m")
    wrong: dict[str, str] = {}
    for index, (x, y, along) in enumerate(places):
        row, foot = wanted.get((round(x, 3), round(y, 3), along)), names[index]
        if row is None or foot is None:
            what = say("no such foot") if foot is None else say("no such place among the readings")
            wrong[table.where(index, "foot" if foot is None else "x_mm")] = what
        else:
            made[row, foot] = changes[index]
    if wrong:
        table.refuse(wrong, say("Name feet and places as in the readings."))
    missing = [foot.name for foot in feet if np.isnan(made[:, column[foot.name]]).any()]
    if missing:
        raise Unusable(
            say("the response of some feet is not complete"),
            remedy=say("Raise each foot once and read every place again."),
            problems=tuple(Problem(name, say("a place is missing")) for name in missing),
        )
    return made


def with_rises(
    feet: tuple[Foot, ...], level: Levelled, move: Move, pitch_mm: float | None
) -> tuple[Foot, ...]:
    """The feet with what each must do.

    Parameters
    ----------
    feet : tuple of Foot
        As they stand.
    level : Levelled
        The readings.
    move : Move
        What was worked out.
    pitch_mm : float or None
        Rise for one turn of the screw; None leaves the turns away.

    Returns
    -------
    tuple of Foot

    Examples
    --------
    >>> from retrue.cases.prove.feet import feet_of
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"x_mm,y_mm,direction,tilt_um_per_m\\n0,0,x,60\\n0,0,y,-30\\n", "l.csv")
    >>> feet, level = feet_of("A:0:0,B:2000:0,C:1000:1000"), levelled(table, Conditions())
    >>> [foot.raise_um for foot in with_rises(feet, level, moved(level, feet, {}), None)]
    [120.0, 0.0, 90.0]
    """
    return tuple(
        replace(
            foot,
            raise_um=round(float(move.raise_um[number]), 6) + 0.0,
            give_or_take_um=level.doubt(float(move.standard_uncertainties[number])),
            turns=round(float(move.raise_um[number]) / (1000 * pitch_mm), 9) if pitch_mm else None,
        )
        for number, foot in enumerate(feet)
    )


def setting_sd(pitch_mm: float | None, smallest_turn_deg: float) -> float:
    """How far a foot may stand off because a hand turns it in small steps.

    Parameters
    ----------
    pitch_mm : float or None
        Rise for one turn; None: not known, nothing is counted.
    smallest_turn_deg : float
        The smallest turn a hand can set.

    Returns
    -------
    float
        Standard uncertainty in micrometres; rectangular over one step.

    References
    ----------
    JCGM 100:2008, 4.3.7 (rectangular distribution).

    Examples
    --------
    >>> round(setting_sd(2.0, 5.0), 2), setting_sd(None, 5.0)
    (8.02, 0.0)
    """
    if pitch_mm is None:
        return 0.0
    return float(1000 * pitch_mm * smallest_turn_deg / FULL_TURN / np.sqrt(12))
