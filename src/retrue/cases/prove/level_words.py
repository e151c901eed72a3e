"""Level and feet in words: what was found, what to turn, what stays unknown."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from retrue.base.formatter import number, short
from retrue.base.say import later, say
from retrue.cases.prove.deed import Options
from retrue.cases.prove.feet import STAYS_UM, Foot, first_three, foot_words, full_name
from retrue.cases.prove.proof import Remedy, ThenRead
from retrue.science.levelling import Move

if TYPE_CHECKING:
    from retrue.cases.prove.level_read import Levelled

CAUTIONS = (
    later(
        "A machine on its feet can tip or crush: isolate it and lock it off under your local rules "
        "before a hand goes under its edge."
    ),
    later(
        "Nobody and no hand under the machine while a foot is turned; jack and packing must carry "
        "its weight. Local codes and whoever is licensed for lifting go before this sheet."
    ),
    later(
        "One foot at a time, in small turns. No foot may hang free: feel or gauge that each one "
        "carries before the machine runs. All figures are estimates for planning."
    ),
)
STEPS = (
    later(
        "Bring the axes to the middle; wipe table and level; let the level take the air's warmth."
    ),
    later("Mark one end of the level. Plus always means: the marked end is high."),
    later("First place, level along x, marked end to +x; read it when the bubble rests."),
    later("Turn it end for end on the same spot, marked end to −x, and read it again."),
    later("The same along y; then the next place."),
)
_NAMES = {
    "tilt_x": "tilt along x",
    "tilt_y": "tilt along y",
    "twist": "twist",
    "bow_x": "bow along x",
    "bow_y": "bow along y",
}
_STIFF = 3.0  # what the form leaves over is told where it is that many times the doubt
_ZERO_TOLD = 5.0  # µm/m
_LOOSE, _FINE = 0.5, 20.0  # share of the largest rise, and µm: from there on it is told
_LARGE = 1000.0  # µm: a rise that is more packing than turning


def prompt(place: int, along: str, way: str) -> str:
    """Where to put the level for one number.

    Parameters
    ----------
    place : int
        Counted from 1.
    along : str
        ``x`` or ``y``.
    way : str
        ``tilt`` or ``turned``.

    Returns
    -------
    str

    Examples
    --------
    >>> prompt(2, "x", "turned")
    'Place 2, level along x, marked end to −x: plus if the marked end is high'
    """
    return say(
        "Place {place}, level along {axis}, marked end to {sign}{axis}: plus if the marked end "
        "is high",
        place=place,
        axis=along,
        sign="−" if way == "turned" else "+",
    )


def where(level: Levelled, row: int) -> str:
    """A place of the level in words.

    Parameters
    ----------
    level : Levelled
        The readings.
    row : int
        Which of them.

    Returns
    -------
    str
    """
    at = level.stations
    return say(
        "x {x}, y {y} mm, level along {axis}",
        x=short(1000 * at.x_m[row]),
        y=short(1000 * at.y_m[row]),
        axis="x" if at.along_x[row] else "y",
    )


def not_read(mode: str) -> str:
    """Why a form of the bed is not known.

    Parameters
    ----------
    mode : str
        Of the modes of levelling.

    Returns
    -------
    str

    Examples
    --------
    >>> not_read("tilt_y")
    'no reading with the level along y yet'
    """
    if mode == "tilt_x":
        return say("no reading with the level along x yet")
    if mode == "tilt_y":
        return say("no reading with the level along y yet")
    return say("twist needs the same direction read at two places across it")


def headline(level: Levelled, worst: int, feet: tuple[Foot, ...]) -> str:
    """The answer in one sentence.

    Parameters
    ----------
    level : Levelled
        The readings.
    worst : int
        The row of the largest tilt.
    feet : tuple of Foot
        With their rises; empty where there are none.

    Returns
    -------
    str
    """
    tilt = float(level.tilts[worst])
    told = say(
        "Largest tilt {tilt} µm/m ({mm} mm/m) at {where}: the {sign}{axis} end is high.",
        tilt=number(abs(tilt)),
        mm=number(abs(tilt) / 1000, 3),
        where=where(level, worst),
        sign="+" if tilt >= 0 else "−",
        axis="x" if level.stations.along_x[worst] else "y",
    )
    turning = [foot for foot in feet if foot.raise_um >= STAYS_UM]
    if not turning:
        return told
    most = max(turning, key=lambda foot: foot.raise_um)
    raise_it = say(
        "Most to do at {foot}: up by {rise} µm.",
        foot=full_name(most.name),
        rise=number(most.raise_um),
    )
    return f"{told} {raise_it}"


def finds(level: Levelled, move: Move | None) -> tuple[str, ...]:
    """What the tilts mean.

    Parameters
    ----------
    level : Levelled
        The readings.
    move : Move or None
        Of the feet.

    Returns
    -------
    tuple of str
    """
    made = []
    if "twist" in level.modes:
        place = level.modes.index("twist")
        twist = float(level.form.parameters[place])
        doubt = level.doubt(float(level.form.standard_uncertainties[place]))
        if doubt is not None and abs(twist) <= doubt:
            made.append(say("No twist that these readings could show."))
        elif abs(twist) >= 1:
            made.append(
                say(
                    "The bed is twisted: the tilt along x changes by {twist} µm/m for each metre "
                    "towards +y.",
                    twist=number(twist, signed=True),
                )
            )
    if level.zero is not None and abs(level.zero) >= _ZERO_TOLD:
        made.append(
            say(
                "The level itself shows {zero} µm/m where all is level. It is taken out here; "
                "set its zero, or go on turning it.",
                zero=number(level.zero, signed=True),
            )
        )
    if move is not None and move.raise_um.max() < STAYS_UM:
        made.append(say("No foot needs turning."))
    return tuple(made)


def remedies(feet: tuple[Foot, ...], move: Move | None, pitch: float | None) -> tuple[Remedy, ...]:
    """What to turn, foot after foot.

    Parameters
    ----------
    feet : tuple of Foot
        With their rises.
    move : Move or None
        None where nothing can be said.
    pitch : float or None
        Rise for one turn, mm.

    Returns
    -------
    tuple of Remedy
    """
    if move is None or move.raise_um.max() < STAYS_UM:
        return ()
    made = []
    if len(feet) > 3:
        three = first_three(feet)
        others = [foot for foot in feet if foot not in three]
        made.append(
            say(
                "Order: slacken {others}, set {three} first, then bring the others up to contact "
                "and on by their figures.",
                others=", ".join(str(foot.name) for foot in others),
                three=", ".join(str(foot.name) for foot in three),
            )
        )
    ranked = sorted(feet, key=lambda foot: -foot.raise_um)
    made += [foot_words(foot) for foot in ranked]
    if pitch is None:
        made.append(say("Give the rise for one turn of the screw, and each foot gets its turns."))
    made.append(say("Lock the nuts, see that each foot carries, and read every place again."))
    return tuple(Remedy(text=text) for text in made)


def cannot_tell(
    level: Levelled, feet: tuple[Foot, ...], move: Move | None, options: Options
) -> tuple[str, ...]:
    """What the readings do not determine, and what would.

    Parameters
    ----------
    level : Levelled
        The readings.
    feet : tuple of Foot
        May be empty.
    move : Move or None
        Of the feet.
    options : mapping
        Of the deed.

    Returns
    -------
    tuple of str
    """
    made = [say("How high the machine stands: a level does not see all feet rise together.")]
    for mode in ("tilt_x", "tilt_y", "twist"):
        if mode not in level.modes:
            what = say(_NAMES[mode])
            made.append(say("The {what}: {why}.", what=what, why=not_read(mode)))
    if level.zero is None:
        made.append(say("The level's own zero, which counts in full: turn it end for end."))
    if not feet:
        made.append(say("What to turn: say where the feet stand."))
    if move is None:
        return tuple(made)
    if len(feet) == 3:
        made.append(say("Twist: three feet carry a plane and cannot put a twist in or out."))
    for mode in move.lost:
        if mode in ("bow_x", "bow_y"):
            made.append(
                say("The {what} that these feet could make: read more places.", what=_NAMES[mode])
            )
    made += [_unseen(feet, row) for row in move.unseen[1:]]
    if len(feet) > 3 and options.get("response") is None:
        made.append(
            say(
                "Whether the bed bends as its feet do: raise one foot by a known amount, read "
                "again, and give that response."
            )
        )
    return tuple(made)


def _unseen(feet: tuple[Foot, ...], row: np.ndarray) -> str:
    size = float(np.abs(row).max())
    parts = [
        f"{foot.name} {number(float(part) / size, 1, signed=True)}"
        for foot, part in zip(feet, row, strict=True)
        if abs(part) > 0.1 * size
    ]
    return say(
        "Feet moved against each other in these shares: {parts}. It does not stand above the doubt "
        "of these readings and is left alone.",
        parts=", ".join(map(str, parts)),
    )


def warnings(level: Levelled, move: Move | None, after: tuple[ThenRead, ...]) -> tuple[str, ...]:
    """What a careful hand looks at before turning.

    Parameters
    ----------
    level : Levelled
        The readings.
    move : Move or None
        Of the feet.
    after : tuple of ThenRead
        What is then read.

    Returns
    -------
    tuple of str
    """
    made = []
    if level.zero_moves:
        made.append(
            say(
                "The level's own zero seems to change from place to place: in both readings plus "
                "must mean that the same, marked end of the level is high. Look at the signs."
            )
        )
    loose = None if move is None else level.doubt(float(move.standard_uncertainties.max()))
    most = 0.0 if move is None else float(move.raise_um.max())
    if loose is not None and loose > max(_LOOSE * most, _FINE):
        made.append(
            say(
                "The feet are known only within {doubt} µm: read at places farther apart.",
                doubt=number(loose),
            )
        )
    if most > _LARGE:
        made.append(
            say("A foot rises more than a millimetre: pack under it first, then level again.")
        )
    doubt = level.doubt(1.0)
    left = max(after, key=lambda one: abs(one.value), default=None)
    if left is not None and doubt is not None and abs(left.value) > _STIFF * doubt / 2:
        made.append(
            say(
                "Turning the feet leaves {value} µm/m at {where}: dirt under the level, a bend in "
                "the bed, or a wrong sign. Read that place again before you turn.",
                value=number(left.value, signed=True),
                where=left.where,
            )
        )
    return tuple(made)


def assumed(level: Levelled, move: Move | None, options: Options) -> tuple[str, ...]:
    """What was taken for granted.

    Parameters
    ----------
    level : Levelled
        The readings.
    move : Move or None
        Of the feet.
    options : mapping
        Of the deed.

    Returns
    -------
    tuple of str
    """
    made = [say("x to the right, y to the rear, in the same millimetres for level and feet.")]
    if move is not None and options.get("response") is None:
        made.append(say("The bed follows its feet without bending between them."))
    if level.freedom is not None:
        made.append(
            say("How far a reading may be off was taken from the scatter of these readings.")
        )
    return tuple(made)
