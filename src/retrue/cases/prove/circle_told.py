"""What a circular test says in sentences: the answer, what it means, what it cannot tell."""

from __future__ import annotations

from collections.abc import Sequence

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.circle_tables import Readings, Run
from retrue.cases.prove.circle_words import Axes, name_of, size
from retrue.cases.prove.proof import Conditions, Quantity
from retrue.cases.prove.said import amount
from retrue.science.bound import Bound
from retrue.science.circle import FULL_DEG, Deviations, arc_deg
from retrue.science.circle_causes import Cause, Separation
from retrue.science.signatures import standstill_ms

ALIKE, LEFT_UM = 0.3, 0.1  # neighbouring residuals this alike, and this large, are worth a word


def headline(run: Run, judged: Quantity, found: Sequence[Cause], axes: Axes) -> str:
    """The answer in one sentence.

    Parameters
    ----------
    run : Run
        The circle that is judged.
    judged : Quantity
        Its deviation.
    found : sequence of Cause
        Largest reach first.
    axes : Axes
        The plane.

    Returns
    -------
    str

    Examples
    --------
    >>> import numpy as np
    >>> from retrue.science.circle import Path
    >>> run = Run("the circle", (Path(np.zeros(8), np.zeros(8), 1, 150.0),))
    >>> one = Quantity(key="a_um", name="", value=2.04, unit="µm")
    >>> headline(run, one, (), Axes("X", "Y"))
    'XY, radius 150 mm: 2.0 µm out of round; no single cause stands out.'
    """
    at = say(
        "{first}{second}, radius {radius} mm",
        first=axes.first,
        second=axes.second,
        radius=number(run.paths[0].radius_mm),
    )
    value = number(judged.value or 0.0, 1)
    if not found:
        return say("{at}: {value} µm out of round; no single cause stands out.", at=at, value=value)
    return say(
        "{at}: {value} µm out of round; the most comes from {name}, {much}.",
        at=at,
        value=value,
        name=name_of(found[0].id, axes),
        much=size(found[0]),
    )


def sentences(
    run: Run,
    values: Deviations,
    found: Sequence[Cause],
    separation: Separation,
    bound: Bound,
    axes: Axes,
) -> tuple[str, ...]:
    """What the readings mean.

    Parameters
    ----------
    run : Run
        The circle that is judged.
    values : Deviations
        Of that circle.
    found : sequence of Cause
        Largest reach first.
    separation : Separation
        All causes.
    bound : Bound
        What noise does to the deviation.
    axes : Axes
        The plane.

    Returns
    -------
    tuple of str
    """
    told = [
        say(
            "{name}: {much}, give or take {doubt}.",
            name=_capital(name_of(cause.id, axes)),
            much=size(cause),
            doubt=number(2 * cause.standard_uncertainty, 2),
        )
        for cause in found
    ]
    lag = next((c for c in found if c.id == "lag_mismatch" and c.unit == "ms"), None)
    if lag is not None:
        slow, quick = (axes.first, axes.second) if lag.value > 0 else (axes.second, axes.first)
        told.append(say("{slow} follows later than {quick}.", slow=slow, quick=quick))
    told += [
        say(
            "The set-up: the centre of {run} stands {x} and {y} µm off; that is no fault of the "
            "machine.",
            run=run.name,
            x=number(values.centre_x, 1, signed=True),
            y=number(values.centre_y, 1, signed=True),
        ),
        _scatter(bound),
        say(
            "What no cause explains scatters by {sd} µm.",
            sd=number(separation.residual_sd, 2),
        ),
    ]
    return tuple(told)


def _scatter(bound: Bound) -> str:
    """What noise does to a largest value."""
    if bound.bias < 0.05:
        return say("The true deviation is at most {upper} µm.", upper=number(bound.upper, 1))
    return say(
        "Scatter makes the deviation read about {bias} µm too large; the true one is at most "
        "{upper} µm.",
        bias=number(bound.bias, 1),
        upper=number(bound.upper, 1),
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def cannot_tell(
    readings: Readings, separation: Separation, axes: Axes, pitch_mm: float | None
) -> tuple[str, ...]:
    """What these readings cannot determine, and what would.

    Parameters
    ----------
    readings : Readings
        All runs.
    separation : Separation
        The fitted causes.
    axes : Axes
        The plane.
    pitch_mm : float or None
        Of the screws.

    Returns
    -------
    tuple of str

    References
    ----------
    From the rank of the columns of the causes, our own.
    """
    first, second = axes.first, axes.second
    stems = {id.partition("@")[0] for id in separation.ids}
    ways = {path.direction for path in readings.paths}
    told = []
    if len(ways) == 1:
        told.append(
            say(
                "One direction only: squareness and a lag of {first} over {second} have the same "
                "shape, sideways play looks like radius and scale, and there is no hysteresis. Run "
                "the other direction.",
                first=first,
                second=second,
            )
        )
    if "scale_mean" not in stems:
        told.append(
            say(
                "Radius, length of the bar and mean scale are one number here: calibrate the bar, "
                "or run a second radius."
            )
        )
    told += _one_feed(readings)
    told += [
        say(
            "A bow of {first} and an uneven scale of {second} have the same shape, and so the "
            "other way round: prove straightness with a straightedge, positioning with a standard.",
            first=first,
            second=second,
        ),
        say(
            "An S-shaped bow adds to squareness, and squareness holds at this place and height "
            "only: run a second place."
        ),
    ]
    told += _too_coarse(stems, pitch_mm)
    return tuple(told)


def _one_feed(readings: Readings) -> list[str]:
    feeds = {path.feed_mm_min for path in readings.paths}
    if len({path.direction for path in readings.paths}) == 1:
        return []
    if len(feeds) > 1 and None not in feeds:
        return []
    return [
        say(
            "Lost motion, lag and spikes lean on each other at one feed: run the circle again at "
            "a second feed, at least twice as high."
        )
    ]


def _too_coarse(stems: set[str], pitch_mm: float | None) -> list[str]:
    """What was left out because the readings stand too far apart."""
    told = []
    if not pitch_mm:
        told.append(say("Errors once a turn of the screw: give the pitch of the screws."))
    elif not any(stem.startswith("cyclic") for stem in stems):
        told.append(
            say("Errors once a turn of the screw: the readings stand too far apart, read more.")
        )
    if "reversal_x" not in stems:
        told.append(say("Lost motion and lag: too few readings, read more places around."))
    elif not any(stem.startswith("spike") for stem in stems):
        told.append(say("Spikes after a reversal: read at least every 1.5° of the whole circle."))
    return told


def bare(conditions: Conditions) -> tuple[str, ...]:
    """What the give or take leaves out.

    Parameters
    ----------
    conditions : Conditions
        Uncertainty of one reading, where it is known.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> bare(Conditions(reading_uncertainty=1.0))
    ()
    """
    if conditions.reading_uncertainty is not None or conditions.uncertainty is not None:
        return ()
    return (
        say(
            "Give or take counts the scatter of these readings only; nobody has said how far the "
            "bar itself may be off."
        ),
    )


def warnings(readings: Readings, run: Run, separation: Separation) -> tuple[str, ...]:
    """What weakens the answer.

    Parameters
    ----------
    readings : Readings
        All runs.
    run : Run
        The circle that is judged.
    separation : Separation
        The fitted causes.

    Returns
    -------
    tuple of str
    """
    told = []
    arc = min(arc_deg(path.angle_rad) for path in run.paths)
    if arc < FULL_DEG:
        told.append(
            say(
                "Only {arc}° of the circle were run: centre, radius and oval lean on each other.",
                arc=round(arc),
            )
        )
    if separation.autocorrelation > ALIKE and separation.residual_sd > LEFT_UM:
        told.append(
            say(
                "Neighbouring readings stray together: something shakes, or a cause is not in this "
                "list. They count as {count} readings, and every doubt is widened for it.",
                count=number(separation.effective),
            )
        )
    if any(path.feed_mm_min is None for path in readings.paths):
        told.append(
            say("Nobody said the feed: the lag is given in µm on the circle, not in milliseconds.")
        )
    return tuple(told)


def standstills(run: Run, found: Sequence[Cause], axes: Axes) -> tuple[str, ...]:
    """What each outward spike means as a time that an axis stood still.

    Parameters
    ----------
    run : Run
        With its radius and feed.
    found : sequence of Cause
        Causes that were found.
    axes : Axes
        The plane.

    Returns
    -------
    tuple of str
        Nothing where nobody said the feed.

    Examples
    --------
    >>> import numpy as np
    >>> from retrue.science.circle import Path
    >>> turn = np.linspace(0, 6, 9)
    >>> run = Run("1", (Path(turn, 0 * turn, 1, 150.0, 2000.0),))
    >>> spike = Cause("spike_90", 1.4815, "um", 0.1, True)
    >>> standstills(run, [spike], Axes("X", "Y"))[0].replace("\u202f", " ")
    'A spike of 1.5 µm is what 20 ms of standing still make where Y turns round.'
    """
    path = run.paths[0]
    feed = path.feed_mm_min
    if not feed:
        return ()
    return tuple(
        say(
            "A spike of {much} is what {time} ms of standing still make where {axis} turns round.",
            much=amount(cause.value, "µm"),
            time=number(standstill_ms(cause.value, path.radius_mm, feed)),
            axis=axes.of(cause.id),
        )
        for cause in found
        if cause.id.startswith("spike") and cause.value > 0
    )
