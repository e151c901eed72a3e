"""What is said of a spindle's rotation: finds, blames, what these readings cannot tell."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NoReturn

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number, short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.proof import Quantity, Verdict
from retrue.science.rotation import ErrorMotion, lobes

Floats = NDArray[np.float64]
MOST_NAMED = 20
FEW_TURNS = 10


def group(setup: str, turn: int) -> str:
    """The heading over the readings of one turn.

    Parameters
    ----------
    setup : str
        Name of the set-up.
    turn : int
        Number of the turn.

    Returns
    -------
    str

    Examples
    --------
    >>> group("reversed", 2)
    'Ball and indicator turned half round, turn 2'
    """
    if setup == "reversed":
        return say("Ball and indicator turned half round, turn {n}", n=turn)
    if setup == "first":
        return say("As set up first, turn {n}", n=turn)
    return say("Ball turned by {angle}° on the spindle, turn {n}", angle=setup, n=turn)


def missing(gaps: Sequence[tuple[str, float, float]], name: str) -> NoReturn:
    """Refuse a set in which places are missing, each named.

    Parameters
    ----------
    gaps : sequence of (setup, turn, angle)
        What was not read.
    name : str
        Of the file or form.

    Returns
    -------
    NoReturn

    Raises
    ------
    Unusable
        Always.

    Examples
    --------
    >>> missing([("first", 1.0, 30.0)], "form")
    Traceback (most recent call last):
        ...
    retrue.base.refusals.Unusable: readings are still missing: 1
    """
    problems = [
        Problem(
            say("set-up {setup}, turn {turn}", setup=setup, turn=short(turn)),
            say("{angle}° is not read", angle=short(angle)),
        )
        for setup, turn, angle in gaps[:MOST_NAMED]
    ]
    if len(gaps) > MOST_NAMED:
        problems.append(Problem(name, say("and {n} more", n=len(gaps) - MOST_NAMED)))
    raise Unusable(
        say("readings are still missing: {n}", n=len(gaps)),
        remedy=say("Read every place in every turn; what is read is kept."),
        problems=tuple(problems),
    )


def headline(method: str, spindle: Quantity, asynchronous: float | None) -> str:
    """The answer in one sentence.

    Parameters
    ----------
    method : str
        How it was read.
    spindle : Quantity
        What repeats.
    asynchronous : float or None
        What does not, µm.

    Returns
    -------
    str

    Examples
    --------
    >>> one = Quantity(key="a_um", name="", value=1.8, unit="µm")
    >>> headline("error_motion", one, 1.0)
    'The spindle wanders 1.80 µm the same way every turn, and 1.00 µm otherwise.'
    """
    value = number(spindle.value or 0.0, 2)
    if method != "error_motion":
        return say("With the ball's own form taken off, the spindle wanders {a} µm.", a=value)
    if asynchronous is None:
        return say("Spindle and ball together wander {a} µm in one turn.", a=value)
    return say(
        "The spindle wanders {a} µm the same way every turn, and {b} µm otherwise.",
        a=value,
        b=number(asynchronous, 2),
    )


def finds(angles: Floats, profile: Floats, asynchronous: float | None) -> tuple[str, ...]:
    """What the readings mean.

    Parameters
    ----------
    angles, profile : ndarray, shape (n,)
        Places in degrees, motion in µm.
    asynchronous : float or None
        µm.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> places = np.arange(0, 360, 30.0)
    >>> finds(places, 0.9 * np.cos(np.radians(2 * places)), None)
    ('Its strongest wave comes 2 times a turn, 0.90 µm either way.',)
    """
    times, size = lobes(angles, profile)
    made = [
        say(
            "Its strongest wave comes {n} times a turn, {size} µm either way.",
            n=times,
            size=number(size, 2),
        )
    ]
    if asynchronous is not None and asynchronous > float(np.ptp(profile)):
        made.append(say("More changes from turn to turn than repeats."))
    return tuple(made)


def blames(
    verdict: Verdict | None, angles: Floats, profile: Floats, motion: ErrorMotion
) -> tuple[str, ...]:
    """What a motion that is proved too large points to; common practice, no source.

    Parameters
    ----------
    verdict : Verdict or None
        Nothing is blamed unless it is proved bad.
    angles, profile : ndarray, shape (n,)
        Places in degrees, motion in µm.
    motion : ErrorMotion
        Of the first set-up.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from retrue.science.rotation import error_motion
    >>> places = np.arange(0, 360, 30.0)
    >>> blames(None, places, places, error_motion(places, [places]))
    ()
    """
    if verdict is None or verdict.ruling != "proved_bad":
        return ()
    made = []
    if lobes(angles, profile)[0] in (2, 3):
        made.append(say("Two or three waves a turn: a bearing seat out of round, or pinched."))
    else:
        made.append(say("Many waves a turn: a bearing ring marked or waved, or dirt on its seat."))
    if motion.asynchronous is not None and motion.asynchronous > motion.synchronous:
        made.append(say("Much that does not repeat: rolling parts worn, or too little preload."))
    return tuple(made)


def cannot_tell(method: str, turns: int) -> tuple[str, ...]:
    """What these readings cannot determine, and what would.

    Parameters
    ----------
    method : str
        How it was read.
    turns : int
        In each set-up.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> len(cannot_tell("error_motion", 1)), len(cannot_tell("reversal", 5))
    (4, 2)
    """
    made = []
    if method == "error_motion":
        made.append(say("How much of it is the ball's own form: a reversal parts the two."))
    if method == "positions":
        made.append(
            say("Form of the ball that repeats with the steps it was turned by: a reversal can.")
        )
    if turns < 2:
        made.append(say("What repeats and what does not: read two turns at least."))
    made.append(say("A motion once a turn: it cannot be told from a ball off centre."))
    made.append(say("What the spindle does at speed and warm: by hand it is cold and slow."))
    return tuple(made)


def warnings(angles: Floats, turns: int) -> tuple[str, ...]:
    """What makes the numbers weaker than they look.

    Parameters
    ----------
    angles : ndarray, shape (n,)
        Places in degrees, rising.
    turns : int
        In each set-up.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> warnings(np.arange(0, 360, 30.0), 20)
    ()
    """
    made = []
    steps = np.diff(np.append(angles, angles[0] + 360))
    if steps.max() > 1.5 * steps.min():
        made.append(say("The places are unevenly spaced: form leaks into the ball's centre."))
    if 1 < turns < FEW_TURNS:
        made.append(
            say("{n} turns: more of them would show more of what does not repeat.", n=turns)
        )
    return tuple(made)


def assumed(method: str) -> tuple[str, ...]:
    """What is taken for granted.

    Parameters
    ----------
    method : str
        How it was read.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> len(assumed("error_motion")), len(assumed("reversal"))
    (2, 2)
    """
    made = [say("Once a turn is the ball off centre, and is taken off.")]
    if method == "error_motion":
        made.append(say("The ball is rounder than the spindle turns."))
    else:
        made.append(say("The spindle moves alike in every set-up."))
    return tuple(made)


def method(how: str) -> str:
    """How it was worked out.

    Parameters
    ----------
    how : str
        How it was read.

    Returns
    -------
    str

    Examples
    --------
    >>> method("reversal")
    'Least-squares circle taken off; half the sum is the ball, half the difference the spindle.'
    """
    if how == "reversal":
        return say(
            "Least-squares circle taken off; half the sum is the ball, half the difference the "
            "spindle."
        )
    if how == "positions":
        return say("Least-squares circle taken off; mean over the positions is the spindle.")
    return say("Least-squares circle taken off; mean and spread over the turns at each place.")


def centre_the_ball(direction_deg: float, eccentricity: float) -> str:
    """How the ball is centred.

    Parameters
    ----------
    direction_deg : float
        Place of the spindle with the highest reading.
    eccentricity : float
        µm.

    Returns
    -------
    str

    Examples
    --------
    >>> centre_the_ball(40.2, 5.0)
    'Turn the spindle to 40°; push the ball 5.0 µm away from the indicator; then read again.'
    """
    return say(
        "Turn the spindle to {angle}°; push the ball {size} µm away from the indicator; "
        "then read again.",
        angle=number(round(direction_deg) % 360),
        size=number(eccentricity, 1),
    )
