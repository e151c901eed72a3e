"""What to enter in the control after a positioning test, and what the axis should then read."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number, short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Options
from retrue.cases.prove.positioning_readings import ARC_SECOND, Readings, place
from retrue.cases.prove.proof import Grid, Remedy, Setting
from retrue.science.compensation import (
    Compensation,
    Side,
    compensate,
    entries,
    played_back,
    uniform_reversal,
)
from retrue.science.positioning import Positioning, largest_values
from retrue.science.positioning_uncertainty import reversal_doubts

Floats = NDArray[np.float64]
UNIFORM_UM = 5.0  # common practice, no source: reversals that differ by more are wear


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """What is entered and what is left, played back through the entries themselves; in µm."""

    made: Compensation
    typed: Floats
    forward: Floats  # mean deviations after; NaN for a direction not measured
    backward: Floats
    systematic: float
    accuracy: float | None
    uniform: bool
    reference: int
    incremental: bool
    sign: int
    side: Side

    @property
    def nothing(self) -> bool:
        """Whether every entry is zero."""
        return not self.typed.any() and self.made.reversal == 0


def plan(axis: Positioning, readings: Readings, options: Options) -> Plan:
    """Work out table and reversal for this control and run the axis through them.

    Parameters
    ----------
    axis : Positioning
        As measured.
    readings : Readings
        Their targets.
    options : mapping
        ``table``, ``sign``, ``reference_mm``, ``increment_um``, ``enter_reversal``,
        ``reversal_side``.

    Returns
    -------
    Plan

    Raises
    ------
    Unusable
        The reference is none of the targets, or the increment is zero.

    References
    ----------
    By definition; only what is uniform is compensated, common practice, no source.

    Examples
    --------
    >>> from retrue.science.positioning import bidirectional
    >>> axis = bidirectional([[0.0], [2.0]], [[6.0], [8.0]])
    >>> nothing = Readings(np.array([0.0, 100.0]), "mm", None, None, np.zeros(2))
    >>> made = plan(axis, nothing, {"increment_um": 1.0})
    >>> made.typed.tolist(), made.made.reversal, made.systematic
    ([0.0, -2.0], 6.0, 0.0)
    """
    ahead, back = axis.mean_forward, axis.mean_backward
    both = not (np.isnan(ahead).any() or np.isnan(back).any())
    lost, uniform = 0.0, True
    if both:
        lost, uniform = uniform_reversal(axis.reversals, spread_um=_spread(axis))
        lost = max(lost, -float(options.get("reversal_now_um") or 0.0))
    side: Side = "forward" if options.get("reversal_side") == "forward" else "backward"
    reference = _reference(readings, options)
    made = compensate(
        ahead if both or not np.isnan(ahead).any() else back,
        back if both or not np.isnan(back).any() else ahead,
        increment_um=_increment(options),
        lost_motion_um=lost,
        side=side,
        reference=reference,
        enter_reversal=both and options.get("enter_reversal") != "no",
    )
    incremental = options.get("table") == "incremental"
    sign = -1 if options.get("sign") == "-1" else 1
    typed = entries(made, incremental=incremental, sign=sign)
    after = played_back(
        ahead, back, typed, incremental=incremental, sign=sign,
        reversal_um=made.reversal, side=side,
    )  # fmt: skip
    left = _left(axis, after)
    return Plan(made, typed, *after, left[0], left[1], uniform, reference, incremental, sign, side)


def _spread(axis: Positioning) -> float:
    """How far reversals may differ and still count as uniform: what scatter explains is no wear."""
    if axis.runs < 2:
        return UNIFORM_UM
    return max(UNIFORM_UM, 2 * float(np.median(reversal_doubts(axis))))


def _increment(options: Options) -> float:
    step = options.get("increment_um")
    if step:
        return float(step)
    raise Unusable(
        say("the control's least step is missing"),
        remedy=say("Give increment_um over zero: usually 1."),
        problems=(Problem("increment_um", say("is empty")),),
    )


def _reference(readings: Readings, options: Options) -> int:
    wanted = options.get("reference_mm")
    if wanted is None:
        return 0
    index = int(np.argmin(np.abs(readings.targets - wanted)))
    if abs(readings.targets[index] - wanted) < 1e-6:
        return index
    raise Unusable(
        say("the reference is none of the targets"),
        remedy=say("Give one of the targets, or leave it out: then it is the first."),
        problems=(Problem("reference_mm", say("{value} is no target", value=short(wanted))),),
    )


def _left(axis: Positioning, after: tuple[Floats, Floats]) -> tuple[float, float | None]:
    """E and A after; of the one direction where only one was measured."""
    found = largest_values(*after, axis.spread_forward, axis.spread_backward)
    ways = ("", "_forward", "_backward")

    def known(stem: str) -> float | None:
        values = (float(found[stem + way]) for way in ways)
        return next((value for value in values if not np.isnan(value)), None)

    systematic = known("systematic")
    assert systematic is not None
    return systematic, known("accuracy")


def remedies(plan: Plan, readings: Readings, options: Options) -> tuple[Remedy, ...]:
    """What to enter, each as the setting it changes.

    Parameters
    ----------
    plan : Plan
        Worked out.
    readings : Readings
        Their targets.
    options : mapping
        ``reversal_now_um``: what stands in the control now.

    Returns
    -------
    tuple of Remedy

    References
    ----------
    Our own wording.

    Examples
    --------
    >>> from retrue.science.positioning import bidirectional
    >>> axis = bidirectional([[0.0], [2.0]], [[6.0], [8.0]])
    >>> nothing = Readings(np.array([0.0, 100.0]), "mm", None, None, np.zeros(2))
    >>> made = remedies(plan(axis, nothing, {"increment_um": 1.0}), nothing, {})
    >>> made[0].setting.old, made[0].setting.new
    ('0.0 µm', '6.0 µm')
    """
    made = []
    if plan.made.reversal:
        now = float(options.get("reversal_now_um") or 0.0)
        new = now + plan.made.reversal
        side = say("backward") if plan.side == "backward" else say("forward")
        made.append(
            Remedy(
                text=say(
                    "Enter a reversal of {new} µm (now {now}); the control adds it in the {side} "
                    "approach.",
                    new=number(new, 1), now=number(now, 1), side=side,
                ),
                setting=Setting(
                    name=say("reversal of the axis"),
                    old=f"{number(now, 1)} µm",
                    new=f"{number(new, 1)} µm",
                    why=say(
                        "lost motion of {lost} µm at every target",
                        lost=number(plan.made.reversal, 1),
                    ),
                ),
            )
        )  # fmt: skip
    if plan.typed.any():
        made.append(_table_remedy(plan, readings))
    return tuple(made)


def _table_remedy(plan: Plan, readings: Readings) -> Remedy:
    sort = say("steps from target to target") if plan.incremental else say("values from zero")
    way = say("added to") if plan.sign == 1 else say("taken off")
    text = say(
        "Enter the pitch table of {count} values: {sort}, {way} the commanded position, zero at "
        "{reference} {unit}. If a table stands there already, add these to it.",
        count=len(plan.typed), sort=sort, way=way,
        reference=place(float(readings.targets[plan.reference])), unit=readings.unit,
    )  # fmt: skip
    return Remedy(
        text=text,
        setting=Setting(
            name=say("pitch table of the axis"),
            old=say("as it was when measured"),
            new=say(
                "{count} values from {low} to {high} µm more",
                count=len(plan.typed),
                low=number(float(plan.typed.min()), 1, signed=True),
                high=number(float(plan.typed.max()), 1, signed=True),
            ),
            why=say("mean deviations of the positioning test"),
        ),
    )


def files(plan: Plan, readings: Readings, options: Options) -> dict[str, str]:
    """The finished tables as CSV.

    Parameters
    ----------
    plan : Plan
        Worked out.
    readings : Readings
        Their targets.
    options : mapping
        ``radius_mm`` gives a rotary axis its entries in arc seconds.

    Returns
    -------
    dict of str to str
        CSV by file name; nothing where every entry is zero.

    References
    ----------
    Our own file shape.

    Examples
    --------
    >>> from retrue.science.positioning import bidirectional
    >>> axis = bidirectional([[0.0], [2.0]], [[6.0], [8.0]])
    >>> nothing = Readings(np.array([0.0, 100.0]), "mm", None, None, np.zeros(2))
    >>> made = files(plan(axis, nothing, {"increment_um": 1.0}), nothing, {})
    >>> made["compensation-pitch.csv"].splitlines()[-1]
    '2,100,-2'
    """
    if plan.nothing:
        return {}
    rotary, radius = readings.unit == "°", options.get("radius_mm")
    turned = rotary and bool(radius)
    share = 1 / (ARC_SECOND * float(radius) * 1000) if turned and radius else 1.0
    unit = "arcsec" if turned else "um"
    sort = "incremental" if plan.incremental else "absolute"
    lines = [f"point,target_{'deg' if rotary else 'mm'},{sort}_{unit}"]
    for index, (target, value) in enumerate(zip(readings.targets, plan.typed, strict=True), 1):
        lines.append(f"{index},{target:g},{value * share:.6g}")
    reversal = plan.made.reversal + float(options.get("reversal_now_um") or 0.0)
    return {
        "compensation-pitch.csv": "\n".join(lines) + "\n",
        "compensation-reversal.csv": (
            f"setting,approach,value_{unit}\nreversal,{plan.side},{reversal * share:.6g}\n"
        ),
    }


def grid(plan: Plan, readings: Readings) -> Grid:
    """The entries as a table of the page.

    Parameters
    ----------
    plan : Plan
        Worked out.
    readings : Readings
        Their targets.

    Returns
    -------
    Grid

    References
    ----------
    By definition.

    Examples
    --------
    >>> from retrue.science.positioning import bidirectional
    >>> axis = bidirectional([[0.0], [2.0]], [[6.0], [8.0]])
    >>> nothing = Readings(np.array([0.0, 100.0]), "mm", None, None, np.zeros(2))
    >>> grid(plan(axis, nothing, {"increment_um": 1.0}), nothing).rows[1]
    ('100', -2.0, -2.0, 0.0, 0.0)
    """
    columns = (
        say("target, {unit}", unit=readings.unit),
        say("to enter, µm"),
        say("sum, µm"),
        say("forward after, µm"),
        say("backward after, µm"),
    )

    def shown(value: float) -> float | None:
        return None if np.isnan(value) else float(value) + 0.0

    rows = tuple(
        (f"{t:g}", float(e), float(c), shown(a), shown(b))
        for t, e, c, a, b in zip(
            readings.targets, plan.typed, plan.made.absolute, plan.forward, plan.backward,
            strict=True,
        )
    )  # fmt: skip
    return Grid(title=say("Pitch table"), columns=columns, rows=rows)
