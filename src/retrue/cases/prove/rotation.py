"""Rotation: how truly the spindle turns, against a ball, and what of it is the ball's own form."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove import rotation_words as told
from retrue.cases.prove.deed import Cell, Deed, Option, Options
from retrue.cases.prove.proof import Conditions, Grid, Proof, Quantity, Remedy, ThenRead
from retrue.cases.prove.rotation_read import Runs, sorted_runs
from retrue.cases.prove.table import Table
from retrue.cases.prove.verdicts import judge
from retrue.science.give_or_take import expanded
from retrue.science.rotation import (
    FEWEST,
    ErrorMotion,
    Separated,
    error_motion,
    positions,
    range_bound,
    reversal,
    spread_bound,
)

Floats = NDArray[np.float64]
METHODS = ("error_motion", "reversal", "positions")
MOST_TURNS, MOST_ON_FORM = 20, 72


@dataclass(frozen=True, slots=True)
class RotationDrawing:
    """Values in µm about the least-squares circle, by place of the spindle in degrees."""

    angles: tuple[float, ...]
    spindle: tuple[float, ...]
    part: tuple[float, ...]  # empty: the ball's form was not parted
    low: tuple[float, ...]  # empty: one turn only
    high: tuple[float, ...]
    synchronous: float
    asynchronous: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Turned:
    """What was worked out: the motion of each set-up, and ball and spindle where parted."""

    runs: Runs
    motions: tuple[ErrorMotion, ...]
    parted: Separated | None
    profile_sd: float | None  # of one value of the spindle's profile

    @property
    def spindle(self) -> Floats:
        """What repeats with the spindle, shape (n,)."""
        return self.motions[0].profile if self.parted is None else self.parted.spindle


def _cells(options: Options) -> tuple[Cell, ...]:
    turns, places = int(options["turns"]), int(options["places"])
    if not 1 <= turns <= MOST_TURNS or not FEWEST <= places <= MOST_ON_FORM:
        raise Unusable(
            say("no form for so many readings"),
            remedy=say(
                "Take 1 to {turns} turns of {few} to {many} places.",
                turns=MOST_TURNS,
                few=FEWEST,
                many=MOST_ON_FORM,
            ),
            problems=(Problem("places", say("{n} places", n=places)),),
        )
    cells = []
    for setup in _setups(options["method"]):
        for turn in range(1, turns + 1):
            for place in range(places):
                angle = f"{360 * place / places:g}"
                cells.append(
                    Cell(
                        id=f"s{setup}_t{turn}_a{angle}".replace(".", "_"),
                        row={"setup": setup, "turn": str(turn), "angle_deg": angle},
                        column="reading_um",
                        prompt=say("Spindle at {angle}°: read.", angle=angle),
                        unit="µm",
                        group=told.group(setup, turn),
                    )
                )
    return tuple(cells)


def _setups(method: str) -> tuple[str, ...]:
    if method == "reversal":
        return ("first", "reversed")
    return ("0", "90", "180", "270") if method == "positions" else ("first",)


def _prove(table: Table, options: Options, conditions: Conditions) -> Proof:
    known = conditions.reading_uncertainty
    reading_sd = None if known is None else known / 2
    turned = _worked_out(sorted_runs(table, options["method"]), reading_sd)
    quantities = _quantities(turned, reading_sd, conditions.seed)
    verdict = judge(quantities, conditions)
    move = _move(turned)
    return Proof(
        deed="rotation",
        title=DEED.title,
        headline=told.headline(turned.runs.method, quantities[0], turned.motions[0].asynchronous),
        quantities=quantities,
        more={"way": turned.runs.method, "turns": _turns(turned), "places": len(turned.spindle)},
        verdict=verdict,
        finds=told.finds(turned.runs.angles, turned.spindle, turned.motions[0].asynchronous),
        blames=told.blames(verdict, turned.runs.angles, turned.spindle, turned.motions[0]),
        remedy=move[0],
        then_read=move[1],
        cannot_tell=told.cannot_tell(turned.runs.method, _turns(turned)),
        warnings=told.warnings(turned.runs.angles, _turns(turned)),
        cautions=DEED.cautions,
        assumed=told.assumed(turned.runs.method),
        method=told.method(turned.runs.method),
        standard=DEED.standard,
        edition=DEED.edition,
        tables=(_grid(turned),),
        drawing=_drawing(turned),
    )


def _worked_out(runs: Runs, reading_sd: float | None) -> Turned:
    motions = tuple(
        error_motion(runs.angles, run, reading_sd=reading_sd) for run in runs.setups.values()
    )
    scatters = [one.scatter for one in motions if one.scatter is not None]
    pooled = math.sqrt(sum(s * s for s in scatters) / len(scatters)) if scatters else None
    known = [one for one in (pooled, reading_sd) if one is not None]
    turns = len(next(iter(runs.setups.values())))
    sd = max(known) / math.sqrt(turns * len(motions)) if known else None
    means = {name: run.mean(axis=0) for name, run in runs.setups.items()}
    parted = None
    if runs.method == "reversal":
        parted = reversal(runs.angles, means["first"], means["reversed"])
    elif runs.method == "positions":
        parted = _positions(runs.angles, means)
    return Turned(runs, motions, parted, sd)


def _positions(angles: Floats, means: Mapping[str, Floats]) -> Separated:
    try:
        turned = [float(name) for name in means]
        return positions(angles, list(means.values()), turned)
    except ValueError:
        raise Unusable(
            say("these positions of the ball do not fit the places read"),
            remedy=say(
                "Name each set-up by how far the ball was turned, in degrees: evenly all round, "
                "and in whole steps between evenly spaced places."
            ),
            problems=(Problem("setup", ", ".join(map(str, means))),),
        ) from None


def _turns(turned: Turned) -> int:
    return len(next(iter(turned.runs.setups.values())))


def _quantities(turned: Turned, reading_sd: float | None, seed: int) -> tuple[Quantity, ...]:
    runs, first, sd = turned.runs, turned.motions[0], turned.profile_sd
    wide = None if sd is None else range_bound(runs.angles, turned.spindle, sd, seed=seed).expanded
    made = [
        _quantity(
            "synchronous_um",
            say("synchronous error motion, repeats every turn"),
            float(np.ptp(turned.spindle)),
            wide,
        )
    ]
    if turned.parted is not None:
        made.append(
            _quantity("spindle_um", say("spindle's own share"), float(np.ptp(turned.spindle)), wide)
        )
        ball = float(np.ptp(turned.parted.part))
        near = None
        if sd is not None:
            near = range_bound(runs.angles, turned.parted.part, sd, seed=seed).expanded
        made.append(_quantity("part_um", say("ball's own form"), ball, near))
    loose = None
    if first.asynchronous is not None and reading_sd is not None:
        loose = spread_bound(next(iter(runs.setups.values())), reading_sd, seed=seed).expanded
    why = say("one turn only: what does not repeat cannot be seen")
    made.append(
        _quantity(
            "asynchronous_um",
            say("asynchronous error motion, does not repeat"),
            first.asynchronous,
            loose,
            why,
        )
    )
    made.append(_quantity("total_um", say("total error motion"), first.total, None))
    return (*made, _eccentricity(turned))


def _quantity(
    key: str, name: str, value: float | None, uncertainty: float | None, why: str = ""
) -> Quantity:
    return Quantity(
        key=key,
        name=name,
        value=value,
        unit="µm",
        uncertainty=uncertainty,
        digits=2,
        why=why if value is None else "",
    )


def _eccentricity(turned: Turned) -> Quantity:
    return _quantity(
        "eccentricity_um",
        say("ball off the spindle's centre"),
        turned.motions[0].eccentricity,
        _centre_doubt(turned),
    )


def _centre_doubt(turned: Turned) -> float | None:
    first = turned.motions[0]
    if first.centre_uncertainty is None:
        return None
    return expanded(first.centre_uncertainty, first.freedom or math.inf)


def _move(turned: Turned) -> tuple[tuple[Remedy, ...], tuple[ThenRead, ...]]:
    """Centre the ball where it runs out far more than the spindle does: then look again."""
    first, doubt = turned.motions[0], _centre_doubt(turned)
    if first.eccentricity <= max(10 * first.synchronous, doubt or 0.0):
        return (), ()
    left = recentred(turned.runs.angles, first, first.eccentricity)
    near = None if doubt is None else 2 * doubt
    return (
        (Remedy(text=told.centre_the_ball(first.direction_deg, first.eccentricity)),),
        (
            ThenRead(
                where=say("swing of the indicator by the ball's centre"),
                value=2 * left,
                unit="µm",
                give_or_take=near,
                digits=2,
                signed=False,
            ),
        ),
    )


def recentred(angles_deg: Floats, motion: ErrorMotion, push_um: float) -> float:
    """Eccentricity left after the ball is pushed away from the indicator at its highest reading.

    Parameters
    ----------
    angles_deg : ndarray, shape (n,)
        Places of the spindle.
    motion : ErrorMotion
        As read.
    push_um : float
        Away from the indicator, in µm; negative: towards it.

    Returns
    -------
    float
        µm, worked out again from the readings that the moved ball would give.

    Examples
    --------
    >>> places = np.arange(0, 360, 30.0)
    >>> read = error_motion(places, [5 * np.cos(np.radians(places - 40))])
    >>> round(recentred(places, read, 5.0), 6), round(recentred(places, read, -5.0), 6)
    (0.0, 10.0)
    """
    turn = np.radians(angles_deg)
    read = motion.profile + motion.across * np.cos(turn) + motion.up * np.sin(turn)
    moved = read - push_um * np.cos(turn - math.radians(motion.direction_deg))
    return error_motion(angles_deg, moved[None, :]).eccentricity


def _grid(turned: Turned) -> Grid:
    columns: dict[str, Any] = {say("spindle at, degrees"): turned.runs.angles}
    if turned.parted is not None:
        for name, motion in zip(turned.runs.setups, turned.motions, strict=True):
            columns[say("set-up {name}, µm", name=name)] = motion.profile
        columns[say("ball, µm")] = turned.parted.part
    columns[say("spindle, µm")] = turned.spindle
    if turned.parted is None and _turns(turned) > 1:
        columns[say("lowest turn, µm")] = turned.motions[0].low
        columns[say("highest turn, µm")] = turned.motions[0].high
    rows = zip(*columns.values(), strict=True)
    return Grid(
        title=say("About the least-squares circle"),
        columns=tuple(columns),
        rows=tuple(tuple(float(value) for value in row) for row in rows),
        digits=3,
    )


def _drawing(turned: Turned) -> RotationDrawing:
    first, parted = turned.motions[0], turned.parted
    banded = parted is None and _turns(turned) > 1
    return RotationDrawing(
        angles=tuple(turned.runs.angles.tolist()),
        spindle=tuple(turned.spindle.tolist()),
        part=() if parted is None else tuple(parted.part.tolist()),
        low=tuple(first.low.tolist()) if banded else (),
        high=tuple(first.high.tolist()) if banded else (),
        synchronous=float(np.ptp(turned.spindle)),
        asynchronous=first.asynchronous,
    )


DEED = Deed(
    id="rotation",
    title="Spindle rotation",
    what="Tells how truly the spindle turns, and parts its motion from the form of the ball.",
    columns=("angle_deg", "reading_um", "[turn]", "[setup]"),
    options=(
        Option(
            id="method",
            name="how it is read",
            sort="choice",
            default="error_motion",
            choices=METHODS,
            help="Several turns; or ball and indicator turned half round; or the ball in four.",
        ),
        Option(
            id="turns",
            name="turns in each set-up",
            sort="whole",
            default=2,
            help="More turns show more of what does not repeat.",
        ),
        Option(
            id="places",
            name="places in one turn",
            sort="whole",
            default=12,
            help="Evenly spaced; twelve are every 30°.",
        ),
    ),
    cells=_cells,
    prove=_prove,
    judged=("synchronous_um", "asynchronous_um", "total_um", "spindle_um", "part_um"),
    steps=(
        "Set a ball or a ground bar in the spindle; centre it as well as it goes.",
        "Put the indicator in the direction that counts for the work, on the equator.",
        "Mark the places on the nose; turn by hand, always the same way.",
        "Read every place of every turn before you go back.",
        "For the reversal turn ball and indicator both by half a turn, spindle marks as they were.",
    ),
    cautions=(
        "The spindle is turned by hand: machine isolated and locked off as your local rules "
        "and the manual say. The numbers are estimates for planning.",
    ),
    instrument="indicator 0.001 mm or finer, on a ball",
    instrument_sorts=("indicator", "test_bar"),
    reading_unit="µm",
    standard="ISO 230-7",
    edition="2015 (terms from memory)",
    example="rotation.csv",
    order=10,
    columns_note={
        "angle_deg": "place of the spindle, 0 to 360; the same places in every turn",
        "reading_um": "plunger in counts +",
        "turn": "number of the turn; left out for one turn",
        "setup": "first or reversed; or how far the ball was turned on the spindle, in degrees",
    },
)
