"""Straightness in words."""

from __future__ import annotations

import numpy as np

from retrue.base.formatter import number
from retrue.base.say import later, say
from retrue.cases.prove.proof import Remedy, Verdict
from retrue.cases.prove.straightness_read import Line
from retrue.science.bound import Bound
from retrue.science.straightness import Straight

CAUTIONS = (
    later(
        "Read with the axes at rest, drives off and locked off under your local rules; move the "
        "slide by hand or by someone at the panel who sees you."
    ),
    later(
        "All figures are estimates for planning; local codes and licensed practice go before them."
    ),
)
STEPS = (
    later("Level the machine first; wipe the way; let level, bridge and machine take one warmth."),
    later("Put the level at the start, its length along the line; read when it rests."),
    later(
        "Move it on by exactly its own base, the near foot where the far foot stood; read again."
    ),
    later("Never turn it round on the way; plus means the far end is high."),
    later("With an indicator: straightedge along the line, plus means high."),
)
THIRD = 1 / 3
PLAIN = 0.4  # of the whole error: from there on a form is called hollow or crowned


def prompt(position: float, step: float, *, by_level: bool) -> str:
    """Where the instrument stands for one number.

    Parameters
    ----------
    position, step : float
        Millimetres.
    by_level : bool
        A level from there on, or an indicator at the point.

    Returns
    -------
    str

    Examples
    --------
    >>> prompt(250.0, 250.0, by_level=True)
    'Level from 250 to 500 mm: plus if the far end is high'
    """
    start, end = f"{round(position, 1):g}", f"{round(position + step, 1):g}"
    if by_level:
        return say(
            "Level from {start} to {end} mm: plus if the far end is high", start=start, end=end
        )
    return say("Indicator at {start} mm: plus is high", start=start)


def headline(error: float, reference: str, line: Line) -> str:
    """The answer in one sentence.

    Parameters
    ----------
    error : float
        Micrometres.
    reference : str
        Which line.
    line : Line
        The readings.

    Returns
    -------
    str
    """
    return say(
        "Straight within {error} µm over {length} mm, by the {line} line.",
        error=number(error, 2),
        length=number(float(np.ptp(line.positions_mm))),
        line=reference,
    )


def _middle(line: Line, made: Straight) -> float:
    """How high the middle third lies over the chord of the ends, by the mean; micrometres."""
    x, h = line.positions_mm, line.heights_um
    share = (x - x[0]) / np.ptp(x)
    over = h - h[0] - (h[-1] - h[0]) * share
    inner = (share > THIRD - 1e-9) & (share < 2 * THIRD + 1e-9)
    return float(over[inner].mean()) if inner.any() else 0.0


def finds(line: Line, made: Straight) -> tuple[str, ...]:
    """Where it is high and low, and its form.

    Parameters
    ----------
    line : Line
        The readings.
    made : Straight
        Its deviations.

    Returns
    -------
    tuple of str
    """
    high, low = int(np.argmax(made.deviations)), int(np.argmin(made.deviations))
    told = [
        say(
            "Highest at {high} mm ({up} µm), lowest at {low} mm ({down} µm).",
            high=number(float(line.positions_mm[high])),
            up=number(float(made.deviations[high]), 2, signed=True),
            low=number(float(line.positions_mm[low])),
            down=number(float(made.deviations[low]), 2, signed=True),
        )
    ]
    middle = _middle(line, made)
    if middle < -PLAIN * made.error:
        told.append(say("Hollow: the middle lies below the ends."))
    elif middle > PLAIN * made.error:
        told.append(say("Crowned: the middle lies above the ends."))
    return tuple(told)


def blames(line: Line, made: Straight) -> tuple[str, ...]:
    """What looks like wear.

    Parameters
    ----------
    line : Line
        The readings.
    made : Straight
        Its deviations.

    Returns
    -------
    tuple of str
    """
    if _middle(line, made) < -PLAIN * made.error:
        return (
            say("A hollow where the slide runs most is how wear looks; a sagging bed looks alike."),
        )
    return ()


def remedies(
    verdict: Verdict | None, stretch: tuple[float, float, float] | None
) -> tuple[Remedy, ...]:
    """What to do where it is not proved good.

    Parameters
    ----------
    verdict : Verdict or None
        None: nothing was asked of it, nothing is to be done.
    stretch : (float, float, float) or None
        Error, start and end of the straightest half.

    Returns
    -------
    tuple of Remedy
    """
    if verdict is None or verdict.ruling == "proved_good":
        return ()
    texts = [
        say("Level the machine again and repeat: loose feet bend a bed, and that shows here too.")
    ]
    if verdict.ruling == "not_proved":
        texts.append(say("Measure with an instrument of less doubt, or twice and take the mean."))
    else:
        texts.append(
            say("Have it scraped or re-ground by whoever does that; no setting makes it straight.")
        )
    if stretch is not None:
        error, start, end = stretch
        texts.append(
            say(
                "Until then work between {start} and {end} mm: straight there within {error} µm.",
                start=number(start),
                end=number(end),
                error=number(error, 1),
            )
        )
    return tuple(Remedy(text=text) for text in texts)


def cannot_tell(line: Line) -> tuple[str, ...]:
    """What the readings do not determine.

    Parameters
    ----------
    line : Line
        The readings.

    Returns
    -------
    tuple of str
    """
    made = [say("What lies between the points: a ridge shorter than a step is not seen.")]
    if line.step_m is None:
        made.append(
            say("How straight the straightedge is: turn it over, measure again, take half the sum.")
        )
    else:
        made.append(say("Sideways straightness: a level sees height only."))
    return tuple(made)


def warnings(line: Line, bounds: dict[str, Bound]) -> tuple[str, ...]:
    """What a careful reader minds.

    Parameters
    ----------
    line : Line
        The readings.
    bounds : dict of str to Bound
        Of its straightness; may be empty.

    Returns
    -------
    tuple of str
    """
    made = []
    if not bounds:
        made.append(say("Nobody has said how far one reading may be off, so nothing is proved."))
    elif bounds["minimum-zone"].bias > 0.5 * bounds["minimum-zone"].value:
        made.append(
            say("Most of this may be the level's own unrest: the line may well be straighter.")
        )
    if len(line.positions_mm) < 5:
        made.append(say("Few points: five or more show a form."))
    return tuple(made)


def assumed(line: Line) -> tuple[str, ...]:
    """What was taken for granted.

    Parameters
    ----------
    line : Line
        The readings.

    Returns
    -------
    tuple of str
    """
    if line.step_m is None:
        return (say("The straightedge is straight."),)
    base = number(1000 * line.step_m)
    return (say("The level's base is the step from reading to reading, {base} mm.", base=base),)


def method(reference: str) -> str:
    """How it was worked out.

    Parameters
    ----------
    reference : str
        Which line.

    Returns
    -------
    str

    Examples
    --------
    >>> method("minimum-zone")[:12]
    'Largest less'
    """
    return say(
        "Largest less smallest deviation from the {line} line; the not-above figure adds the "
        "readings' own noise many times over.",
        line=reference,
    )


def no_doubt() -> str:
    """Why there is no upper figure.

    Returns
    -------
    str

    Examples
    --------
    >>> no_doubt()
    'the doubt of one reading is not said'
    """
    return say("the doubt of one reading is not said")


def no_window(length: float | None) -> str:
    """Why there is no local figure.

    Parameters
    ----------
    length : float or None
        As asked, mm.

    Returns
    -------
    str

    Examples
    --------
    >>> no_window(None)
    'no length of a local stretch was given'
    """
    if length is None:
        return say("no length of a local stretch was given")
    return say("no stretch of that length holds three points")
