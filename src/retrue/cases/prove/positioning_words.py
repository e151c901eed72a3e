"""A positioning test in sentences: what it means, what it hides, what it cannot tell."""

from __future__ import annotations

import numpy as np

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.compensation_table import UNIFORM_UM, Plan
from retrue.cases.prove.deed import Options
from retrue.cases.prove.positioning_numbers import Judged
from retrue.cases.prove.positioning_readings import place
from retrue.cases.prove.proof import Quantity
from retrue.science.compensation import slope_um_per_m

SELDOM = 0.02  # a climb over the runs that chance gives less often than this is told
SCATTER_UM = 10.0  # common practice, no source: repeatability of a restored axis, one direction
LONG_MM = 2000.0


def drifts(judged: Judged) -> bool:
    """Whether the readings climb or fall from run to run by more than chance gives.

    Parameters
    ----------
    judged : Judged
        One axis.

    Returns
    -------
    bool
    """
    return judged.drift is not None and judged.drift.chance < SELDOM


def scatters(judged: Judged) -> bool:
    """Whether one direction alone repeats too badly for a table to help.

    Parameters
    ----------
    judged : Judged
        One axis.

    Returns
    -------
    bool

    Examples
    --------
    >>> from types import SimpleNamespace as Like
    >>> scatters(Like(axis=Like(repeatability_forward=4.0, repeatability_backward=12.0)))
    True
    """
    ways = (judged.axis.repeatability_forward, judged.axis.repeatability_backward)
    return max((way for way in ways if way is not None), default=0.0) > SCATTER_UM


def headline(judged: Judged, made: tuple[Quantity, ...]) -> str:
    """The answer in one sentence.

    Parameters
    ----------
    judged : Judged
        One axis.
    made : tuple of Quantity
        Its quantities.

    Returns
    -------
    str
    """
    axis, digits = judged.axis, made[0].digits
    where = say(
        "Over {length} {unit}", length=number(judged.readings.length, 0), unit=judged.readings.unit
    )
    if axis.accuracy is not None and axis.reversal is not None:
        return say(
            "{where} the axis holds its place within {value} µm; it loses up to {lost} µm when it "
            "turns round.",
            where=where, value=number(axis.accuracy, digits), lost=number(axis.reversal, digits),
        )  # fmt: skip
    one = axis.accuracy_backward if axis.accuracy_forward is None else axis.accuracy_forward
    if one is not None:
        return say(
            "{where} the axis holds its place within {value} µm, measured from one side only.",
            where=where,
            value=number(one, digits),
        )
    sizes = (axis.systematic, axis.systematic_forward, axis.systematic_backward)
    size = next(value for value in sizes if value is not None)
    return say(
        "{where} the deviations range over {value} µm; one run does not show how they repeat.",
        where=where,
        value=number(size, digits),
    )


def finds(judged: Judged, plan: Plan) -> tuple[str, ...]:
    """What the readings mean.

    Parameters
    ----------
    judged : Judged
        One axis.
    plan : Plan
        What to enter.

    Returns
    -------
    tuple of str
    """
    axis, told = judged.axis, []
    mean = axis.mean_reversal
    if mean is not None and plan.uniform and axis.reversal is not None and axis.reversal >= 1:
        told.append(
            say("The reversal is much the same everywhere: mean {mean} µm. It can be entered.",
                mean=number(mean, 1, signed=True))
        )  # fmt: skip
    if mean is not None and mean > 1:
        told.append(
            say("Coming forward the axis goes further than coming backward: that is the reverse "
                "of lost motion. Look whether too much reversal is entered already.")
        )  # fmt: skip
    if axis.reversal is not None and not plan.uniform:
        told.append(
            say("The reversal differs by {spread} µm along the travel. Only {part} µm is the same "
                "everywhere and worth entering.",
                spread=number(float(np.ptp(axis.reversals)), 1),
                part=number(plan.made.reversal, 1))
        )  # fmt: skip
    if judged.readings.unit == "mm":
        told.extend(_slope_words(judged))
    if judged.sampled.get("accuracy") is not None:
        one = judged.sampled["accuracy"]
        told.append(
            say("With {runs} runs the accuracy may truly be as large as {upper} µm.",
                runs=axis.runs, upper=number(one.upper, 1 if one.upper >= 1 else 3))
        )  # fmt: skip
    return tuple(told)


def _slope_words(judged: Judged) -> list[str]:
    axis = judged.axis
    means = np.nanmean([axis.mean_forward, axis.mean_backward], axis=0)
    slope = slope_um_per_m(judged.readings.targets, means)
    ends = slope * judged.readings.length / 1000
    if abs(ends) < 1 or abs(ends) < 0.5 * float(np.ptp(means)):
        return []
    warmer = slope / 11.5
    return [
        say("Most of it is one straight slope of {slope} µm a metre: a scale that is off, or a "
            "steel screw {kelvin} K away from the standard's temperature.",
            slope=number(slope, 1, signed=True), kelvin=number(warmer, 1, signed=True))
    ]  # fmt: skip


def blames(judged: Judged, plan: Plan) -> tuple[str, ...]:
    """Sentences that blame wear.

    Parameters
    ----------
    judged : Judged
        One axis.
    plan : Plan
        What to enter.

    Returns
    -------
    tuple of str
    """
    axis = judged.axis
    if axis.reversal is None or plan.uniform:
        return ()
    places = judged.readings.targets
    worst = places[int(np.argmax(np.abs(axis.reversals)))]
    return (
        say("Most is lost at {place} {unit}: there the nut, the screw or its bearing is worn, and "
            "no table cures that.", place=place(float(worst)), unit=judged.readings.unit),
    )  # fmt: skip


def warnings(judged: Judged, options: Options, plan: Plan) -> tuple[str, ...]:
    """What must be known before anything is entered.

    Parameters
    ----------
    judged : Judged
        One axis.
    options : mapping
        ``variant``.
    plan : Plan
        What to enter.

    Returns
    -------
    tuple of str
    """
    axis, told = judged.axis, []
    if drifts(judged):
        told.append(_drift_words(judged))
    if scatters(judged):
        told.append(
            say("The axis repeats badly from one side alone. A pitch table now would hide that, "
                "not cure it: find the loose part first.")
        )  # fmt: skip
    if axis.reversal is not None and not plan.uniform:
        told.append(
            say("Reversals differ by more than {limit} µm along the travel: entering the largest "
                "would push the axis over where it is good.", limit=number(UNIFORM_UM, 0))
        )  # fmt: skip
    told.extend(_plan_words(judged, options))
    return tuple(told)


def _drift_words(judged: Judged) -> str:
    drift, left = judged.drift, judged.without_drift
    assert drift is not None
    assert left is not None
    way = say("climb") if drift.per_run > 0 else say("fall")
    text = say(
        "The readings {way} by {each} µm a run, {total} µm in all: heat or a wandering zero.",
        way=way,
        each=number(abs(drift.per_run), 1 if abs(drift.per_run) >= 1 else 3),
        total=number(abs(drift.total), 1 if abs(drift.total) >= 1 else 3),
    )
    before, after = judged.axis.repeatability, left.repeatability
    if before is None or after is None:
        return text
    return say(
        "{text} It inflates repeatability (from {after} to {before} µm) and with it accuracy. "
        "Warm the machine up, fix the zero and measure again.",
        text=text, after=number(after, 1 if after >= 1 else 3),
        before=number(before, 1 if before >= 1 else 3),
    )  # fmt: skip


def _plan_words(judged: Judged, options: Options) -> list[str]:
    """Where the test itself is thinner than the standard asks."""
    readings, told = judged.readings, []
    count, runs = len(readings.targets), readings.runs
    rotary, long = readings.unit == "°", readings.unit == "mm" and readings.length > LONG_MM
    long = long or options.get("variant") == "long"
    if rotary:
        least = 3 if readings.length <= 90 else 5 if readings.length <= 180 else 8
    elif long:
        least = int(np.ceil(readings.length / 250)) + 1
    else:
        least = max(5, int(np.ceil(readings.length / 200)))
    if count < least:
        told.append(
            say("{count} targets are few: the standard asks for {least} over this travel.",
                count=count, least=least)
        )  # fmt: skip
    if runs < 5 and not (long and runs >= 1):
        told.append(
            say("{runs} runs instead of five: repeatability is badly known.", runs=runs)
            if runs > 1
            else say("One run only: repeatability and accuracy are not defined.")
        )
    if readings.forward is None or readings.backward is None:
        told.append(
            say("Only one direction was measured: nothing is known of what it loses when it turns.")
        )
    return told


def cannot_tell(judged: Judged, options: Options) -> tuple[str, ...]:
    """What the readings leave open, and what would tell.

    Parameters
    ----------
    judged : Judged
        One axis.
    options : mapping
        Whether temperatures are given.

    Returns
    -------
    tuple of str
    """
    told = []
    if judged.readings.unit == "mm" and options.get("scale_c") is None:
        told.append(
            say("Heat and a wrong pitch look alike here: read the temperatures of the screw and "
                "of the standard and give both.")
        )  # fmt: skip
    told.append(
        say("What happens between two targets, within one turn of the screw, was not measured: "
            "a second set with close targets over two turns shows it.")
    )  # fmt: skip
    if judged.axis.reversal is not None:
        told.append(
            say("Play in the nut, wind-up of the screw and friction in the ways all look like "
                "reversal: push the table by hand against an indicator to part them.")
        )  # fmt: skip
    return tuple(told)
