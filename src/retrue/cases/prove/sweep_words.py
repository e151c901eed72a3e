"""A sweep in words: which way the spindle leans, on which side the shim goes."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retrue.base.say import say
from retrue.cases.prove.deed import Options
from retrue.cases.prove.proof import Remedy
from retrue.cases.prove.said import amount
from retrue.science.sweep import Swept, shim_um

Floats = NDArray[np.float64]
LEAST = 0.5  # µm/m: a lean that no shim and no swivel can follow
MOVED_UM = 2.0  # a first place that reads otherwise by more than that is told


@dataclass(frozen=True, slots=True)
class Moves:
    """Moves of the hand, signed as the lean they take out, and the machine after them."""

    shim: float | None  # µm; None: the length of the joint is not given
    swivel: float | None
    left: Swept


def moves(swept: Swept, options: Options) -> Moves:
    """What to shim and to turn.

    Parameters
    ----------
    swept : Swept
        The lean against the axes, as far as it is known.
    options : mapping
        ``joint_mm``, ``swivel_mm`` and ``foil_um`` of the test.

    Returns
    -------
    Moves
        In whole steps of foil; where a length is not given, the lean is taken out wholly.

    Examples
    --------
    >>> from retrue.science.sweep import sweep
    >>> one = sweep([0, 90, 180, 270], [4.0, -2.5, -4.0, 2.5], 100)
    >>> moves(one, {"joint_mm": 450.0, "swivel_mm": None, "foil_um": 5.0}).shim
    -10.0
    """
    step = options["foil_um"]

    def whole(lean: float, length: float | None) -> tuple[float | None, float]:
        if not length:
            return None, 0.0
        wanted = shim_um(lean, length)
        move = round(wanted / step) * step if step else wanted
        return move, lean - move / length * 1000

    shim, nod = whole(swept.nod, options["joint_mm"])
    swivel, tilt = whole(swept.tilt, options["swivel_mm"])
    return Moves(shim, swivel, replace(swept, tilt=tilt, nod=nod))


def headline(swept: Swept, largest: float) -> str:
    """The answer in one sentence.

    Parameters
    ----------
    swept : Swept
        The lean.
    largest : float
        Difference on a 300 mm circle, micrometres.

    Returns
    -------
    str
    """
    if largest < 0.05:
        return say("The spindle stands square to the table as far as the indicator tells.")
    return say(
        "On a 300 mm circle the table reads {most} from its highest to its lowest side; "
        "the top of the spindle leans {way}.",
        most=amount(largest, "µm"),
        way=_way(swept),
    )


def _way(swept: Swept) -> str:
    parts = []
    if abs(swept.tilt) >= 0.5:
        parts.append(say("to +X, right") if swept.tilt > 0 else say("to −X, left"))
    if abs(swept.nod) >= 0.5:
        parts.append(say("to +Y, back") if swept.nod > 0 else say("to −Y, front"))
    return say(" and ").join(parts) or say("nowhere worth a shim")


def finds(swept: Swept, read: Swept, options: Options) -> tuple[str, ...]:
    """What the readings mean.

    Parameters
    ----------
    swept, read : Swept
        Against the axes, as far as that is known; as read on the table.
    options : mapping
        Of the test.

    Returns
    -------
    tuple of str
    """
    known = [one for one in ("table_x_um_per_m", "table_y_um_per_m") if options[one] is not None]
    told = [
        say(
            "Tilt {tilt}, nod {nod}: a plus means that the top of the spindle leans to +X or +Y, "
            "so that the table reads more there.",
            tilt=amount(swept.tilt, "µm/m", 1, signed=True),
            nod=amount(swept.nod, "µm/m", 1, signed=True),
        )
    ]
    if known:
        told.append(
            say(
                "The lean of the table against the axes was taken off; as read: tilt {tilt}, "
                "nod {nod}.",
                tilt=amount(read.tilt, "µm/m", 1, signed=True),
                nod=amount(read.nod, "µm/m", 1, signed=True),
            )
        )
    return tuple(told)


def remedy(swept: Swept, move: Moves) -> tuple[Remedy, ...]:
    """What to do, and on which side.

    Parameters
    ----------
    swept : Swept
        The lean.
    move : Moves
        Of :func:`moves`.

    Returns
    -------
    tuple of Remedy
    """
    made = []
    if abs(swept.nod) >= LEAST:
        made.append(Remedy(text=_shim_words(swept.nod, move.shim)))
    if abs(swept.tilt) >= LEAST:
        made.append(Remedy(text=_swivel_words(swept.tilt, move.swivel)))
    if not made:
        return ()
    tighten = say("Tighten the head as it was, and sweep again before you cut.")
    return (*made, Remedy(text=tighten))


def _shim_words(nod: float, shim: float | None) -> str:
    top = nod > 0
    where = say("top") if top else say("bottom")
    if shim is None:
        each = amount(abs(shim_um(nod, 100.0)), "µm")
        return say(
            "Nod: shim the joint face of the head at the {where}, {each} for every 100 mm between "
            "its upper and its lower bolts.",
            where=where,
            each=each,
        )
    if shim == 0:
        return say("Nod: leave the joint face; less than half a foil would be needed.")
    return say(
        "Nod: put {thick} of foil into the joint face of the head at the {where}.",
        thick=amount(abs(shim), "µm", 0),
        where=where,
    )


def _swivel_words(tilt: float, swivel: float | None) -> str:
    way = say("left") if tilt > 0 else say("right", sense="side")
    if swivel is None:
        each = amount(abs(shim_um(tilt, 100.0)), "µm")
        return say(
            "Tilt: turn the head so that its top goes to the {way}, {each} for every 100 mm above "
            "the pivot.",
            way=way,
            each=each,
        )
    if swivel == 0:
        return say("Tilt: leave the swivel; the move would be less than half a step.")
    return say(
        "Tilt: turn the head so that its top goes to the {way} by {far} at the swivel's pointer; "
        "hold an indicator there.",
        way=way,
        far=amount(abs(swivel), "µm", 0),
    )


def cannot_tell(options: Options) -> tuple[str, ...]:
    """What a sweep leaves open, and what would close it.

    Parameters
    ----------
    options : mapping
        Of the test.

    Returns
    -------
    tuple of str
    """
    told = [
        say(
            "A sweep tells the spindle against the table. Whether the head leans on the column or "
            "the column on its base, it does not tell: read a square along Z, and the bar along Z "
            "(alignment)."
        )
    ]
    missing = [one for one in ("table_x_um_per_m", "table_y_um_per_m") if options[one] is None]
    if missing:
        told.append(
            say(
                "Whether the spindle leans on the axes or the table does not lie along them: read "
                "the table along X and along Y first, and give what it rises per metre."
            )
        )
    return tuple(told)


def warnings(angles: Floats, readings: Floats, read: Swept, known: float | None) -> tuple[str, ...]:
    """What is odd about the readings.

    Parameters
    ----------
    angles, readings : ndarray, shape (n,)
        Degrees; micrometres.
    read : Swept
        Their fit.
    known : float or None
        Expanded uncertainty of one reading, where it is stated.

    Returns
    -------
    tuple of str
    """
    made = []
    first, again = np.flatnonzero(angles == 0), np.flatnonzero(angles == 360)
    if len(first) and len(again):
        moved = float(readings[again].mean() - readings[first].mean())
        if abs(moved) > max(MOVED_UM, 1.5 * (known or 0.0)):
            made.append(
                say(
                    "Back at the first place the indicator read {moved} otherwise: something "
                    "moved. Look after the arm and read again.",
                    moved=amount(moved, "µm", 1, signed=True),
                )
            )
    if read.twofold > max(4 * MOVED_UM, 2 * (known or 0.0)):
        made.append(
            say(
                "Opposite pairs differ by {twofold}: the table is not flat there, or a reading is "
                "wrong. No lean can cause that.",
                twofold=amount(read.twofold, "µm"),
            )
        )
    return tuple(made)


def assumed() -> tuple[str, ...]:
    """How signs and sides are counted.

    Returns
    -------
    tuple of str
    """
    return (
        say("Angles count from +X towards +Y, seen from above; a plunger pushed in counts +."),
        say("A size is never below nothing: what scatters makes it read larger, not smaller."),
        say("The head stands in front of its joint face: +Y, and the column, are behind it."),
    )
