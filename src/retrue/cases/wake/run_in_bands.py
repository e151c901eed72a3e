"""The bands of a run-in: how far the nose climbs at a step, how long it is held, hours attended."""

from __future__ import annotations

from retrue.base.say import say
from retrue.cases.wake.lines import BandLine
from retrue.kinds.waking import RunInStep, Stage

ATTENDED = "attended_hours"
STEP_RISE = "nose_rise_step"
STEP_MINUTES = "step_minutes_step"
AXES_RUN = "axes_run_in_step"


def minutes_line(step: RunInStep) -> BandLine:
    """How long a step is held at least: from its watch, or typed where paper keeps it.

    Parameters
    ----------
    step : RunInStep

    Returns
    -------
    BandLine

    Examples
    --------
    >>> step = RunInStep(id="spindle_1", ladder="spindle", stage="P8", step=1, percent=5,
    ...                  minutes=10)
    >>> band = minutes_line(step)
    >>> band.name, band.expected_low, band.hold
    ('step_minutes_step1', 10, True)
    """
    return BandLine(
        name=f"{STEP_MINUTES}{step.step}",
        words=say("Minutes of step {step}, held", step=step.step),
        unit="min",
        expected_low=step.minutes,
        hold=True,
        mark=step.mark,
        step=step.step,
    )


def rise_line(step: RunInStep) -> BandLine:
    """How far the nose may climb over its start by the end of a step.

    Parameters
    ----------
    step : RunInStep

    Returns
    -------
    BandLine
    """
    return BandLine(
        name=f"{STEP_RISE}{step.step}",
        words=say("Nose over its start, step {step}", step=step.step),
        unit="K",
        expected_high=step.rise_k,
        abort_high=step.abort_rise_k,
        mark=step.mark,
        note=step.text,
        step=step.step,
    )


def axis_line(step: RunInStep) -> BandLine:
    """How long the axes run at a step of theirs, all pieces together.

    Parameters
    ----------
    step : RunInStep

    Returns
    -------
    BandLine
    """
    percent = f"{step.percent:g}"
    return BandLine(
        name=f"{AXES_RUN}{step.step}",
        words=say("Axes run in at {percent} % of their rapid, in all", percent=percent),
        unit="min",
        expected_low=step.minutes,
        hold=True,
        mark=step.mark,
        note=step.text,
    )


def hours_line(stage: Stage) -> BandLine:
    """How many hours somebody attends the dry run.

    Parameters
    ----------
    stage : Stage

    Returns
    -------
    BandLine
    """
    pieces = ", ".join(f"{one:g}" for one in stage.pieces_hours)
    return BandLine(
        name=ATTENDED,
        words=say("Hours with somebody there, added up"),
        unit="h",
        expected_low=float(sum(stage.pieces_hours)),
        hold=True,
        note=say(
            "in pieces of {pieces} h, one after the other; who was there is kept", pieces=pieces
        ),
        mark=stage.mark,
    )
