"""Flatness in words."""

from __future__ import annotations

import numpy as np

from retrue.base.formatter import number
from retrue.base.say import later, say
from retrue.cases.prove.flatness_read import Plate
from retrue.cases.prove.proof import Remedy, Verdict
from retrue.science.bound import Bound
from retrue.science.flatness import LINES, Flat

CAUTIONS = (
    later(
        "Read with the axes at rest, drives off and locked off under your local rules. Heavy "
        "straightedges and plates are lifted by two, or with a hoist by whoever may use one."
    ),
    later("All figures are estimates for planning; local codes and licensed practice go first."),
)
STEPS = (
    later("Level the machine first; stone off burrs, wipe; let plate and level take one warmth."),
    later("Mark the eight lines: diagonals A, B, edges C to F, middle lines G, H."),
    later(
        "Along each line move the level by its own foot spacing, end to end, never turned round."
    ),
    later("Plus means the end towards which you go is high."),
)
CORNERS = {
    "A": "from south-west to north-east",
    "B": "from north-west to south-east",
    "C": "from south-west to north-west",
    "D": "from north-west to north-east",
    "E": "from north-east to south-east",
    "F": "from south-east to south-west",
    "G": "up the middle, from south to north",
    "H": "across the middle, from west to east",
}
PLAIN = 0.3  # of the flatness: from there on a plate is called hollow or domed
INNER = 0.5  # the middle: that share of half of each side


def line_heading(line: str) -> str:
    """A line with its way, as heading of its numbers.

    Parameters
    ----------
    line : str
        A to H.

    Returns
    -------
    str

    Examples
    --------
    >>> line_heading("G")
    'Line G, up the middle, from south to north'
    """
    return say("Line {line}, {way}", line=line, way=say(CORNERS[line]))


def headline(made: Flat) -> str:
    """The answer in one sentence.

    Parameters
    ----------
    made : Flat
        Of the plate.

    Returns
    -------
    str

    Examples
    --------
    >>> import numpy as np
    >>> headline(Flat(3.0, 2.5, np.zeros(1)))
    'Flat within 2.50 µm by the minimum-zone plane, 3.00 µm by the least-squares plane.'
    """
    return say(
        "Flat within {zone} µm by the minimum-zone plane, {least} µm by the least-squares plane.",
        zone=number(made.minimum_zone, 2),
        least=number(made.least_squares, 2),
    )


def _middle(plate: Plate, made: Flat) -> float:
    """How high the middle lies over the rest, by the means; micrometres."""
    across = np.abs(plate.x_mm - np.mean([plate.x_mm.max(), plate.x_mm.min()]))
    deep = np.abs(plate.y_mm - np.mean([plate.y_mm.max(), plate.y_mm.min()]))
    inner = (across < INNER * np.ptp(plate.x_mm) / 2) & (deep < INNER * np.ptp(plate.y_mm) / 2)
    if not inner.any() or inner.all():
        return 0.0
    return float(made.deviations[inner].mean() - made.deviations[~inner].mean())


def finds(plate: Plate, made: Flat) -> tuple[str, ...]:
    """Where it is high and low, and its form.

    Parameters
    ----------
    plate : Plate
        The readings.
    made : Flat
        Its deviations.

    Returns
    -------
    tuple of str
    """
    high, low = int(np.argmax(made.deviations)), int(np.argmin(made.deviations))
    told = [
        say(
            "Highest at x {hx}, y {hy} mm, lowest at x {lx}, y {ly} mm.",
            hx=number(float(plate.x_mm[high])),
            hy=number(float(plate.y_mm[high])),
            lx=number(float(plate.x_mm[low])),
            ly=number(float(plate.y_mm[low])),
        )
    ]
    middle = _middle(plate, made)
    if middle < -PLAIN * made.minimum_zone:
        told.append(say("Hollow: the middle lies below the edges."))
    elif middle > PLAIN * made.minimum_zone:
        told.append(say("Domed: the middle lies above the edges."))
    if plate.jack is not None and made.least_squares > plate.jack.flatness:
        told.append(
            say(
                "The least-squares plane gives more than the plane of the diagonals: always say "
                "which plane a flatness belongs to."
            )
        )
    return tuple(told)


def blames(plate: Plate, made: Flat) -> tuple[str, ...]:
    """What looks like wear.

    Parameters
    ----------
    plate : Plate
        The readings.
    made : Flat
        Its deviations.

    Returns
    -------
    tuple of str
    """
    if _middle(plate, made) < -PLAIN * made.minimum_zone:
        return (say("Hollow where most work has stood is how wear looks; so is a sagging plate."),)
    return ()


def remedies(verdict: Verdict | None) -> tuple[Remedy, ...]:
    """What to do where it is not proved good.

    Parameters
    ----------
    verdict : Verdict or None
        None: nothing was asked of it, nothing is to be done.

    Returns
    -------
    tuple of Remedy

    Examples
    --------
    >>> remedies(None)
    ()
    """
    if verdict is None or verdict.ruling == "proved_good":
        return ()
    texts = [say("Level again and repeat: a table bent by its supports or clamps shows here too.")]
    if verdict.ruling == "not_proved":
        texts.append(say("Measure with an instrument of less doubt, or twice and take the mean."))
    else:
        texts.append(
            say("Have it scraped or re-ground by whoever does that; no setting makes it flat.")
        )
    return tuple(Remedy(text=text) for text in texts)


def warnings(
    plate: Plate, closures: tuple[float | None, float | None], bounds: dict[str, Bound]
) -> tuple[str, ...]:
    """What a careful reader minds.

    Parameters
    ----------
    plate : Plate
        The readings.
    closures : (float or None, float or None)
        Expanded uncertainty of the closures of G and H; None where not known.
    bounds : dict of str to Bound
        Of the flatness; may be empty.

    Returns
    -------
    tuple of str
    """
    made = []
    if not bounds:
        made.append(say("Nobody has said how far one reading may be off, so nothing is proved."))
    if plate.rises is not None and plate.jack is None:
        left = ", ".join(str(line) for line in LINES if line not in plate.rises)
        made.append(say("Lines {lines} are not read; what they would show is unknown.", lines=left))
    if plate.jack is None:
        return tuple(made)
    limits = [0.1 * plate.jack.flatness if one is None else 1.25 * one for one in closures]
    for line, closure, limit in zip(
        ("G", "H"), (plate.jack.closure_g, plate.jack.closure_h), limits, strict=True
    ):
        if abs(closure) > max(limit, 0.05):
            made.append(
                say(
                    "Line {line} misses the middle by {closure} µm: a reading jumped, or a sign "
                    "is wrong. Read that line again.",
                    line=line,
                    closure=number(closure, 2, signed=True),
                )
            )
    return tuple(made)


def cannot_tell(plate: Plate) -> tuple[str, ...]:
    """What the readings do not determine.

    Parameters
    ----------
    plate : Plate
        The readings.

    Returns
    -------
    tuple of str
    """
    made = [say("What lies between the points.")]
    if plate.rises is not None:
        made.append(say("How the plate stands: each line's own tilt is taken out."))
    else:
        made.append(say("The instrument's own plane: a grid has no closure to show a mistake."))
    return tuple(made)


def assumed(plate: Plate, foot_mm: float | None) -> tuple[str, ...]:
    """What was taken for granted.

    Parameters
    ----------
    plate : Plate
        The readings.
    foot_mm : float or None
        As given.

    Returns
    -------
    tuple of str
    """
    if plate.rises is None or foot_mm is None:
        return ()
    return (
        say(
            "Lines over {long} × {wide} mm, foot spacing {foot} mm.",
            long=number(float(np.ptp(plate.x_mm))),
            wide=number(float(np.ptp(plate.y_mm))),
            foot=number(foot_mm),
        ),
    )
