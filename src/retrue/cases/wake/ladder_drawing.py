"""The ladder of first power and its run-in table, as their pictures take them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from retrue.base.formatter import day
from retrue.cases.wake.drawing import LadderDrawing, Rung, RunInDrawing, RunInRung
from retrue.cases.wake.lines import Ladder, StageStands
from retrue.kinds.waking import RunInStep


def ladder_drawing(ladder: Ladder) -> LadderDrawing:
    """The stages as rungs.

    Parameters
    ----------
    ladder : Ladder
        As it stands.

    Returns
    -------
    LadderDrawing

    Examples
    --------
    >>> made = ladder_drawing(Ladder(name="mill", lot_name="", kind="", stages=(), next=None,
    ...                              answer="", next_act="", alone=(), evening=()))
    >>> made.machine, made.rungs
    ('mill', ())
    """
    return LadderDrawing(
        rungs=tuple(_rung(one) for one in ladder.stages),
        next=ladder.next.stage.id if ladder.next else "",
        machine=ladder.name,
    )


def _rung(one: StageStands) -> Rung:
    ended = one.ended if one.state == "signed" else None
    return Rung(
        stage=one.stage.id,
        title=one.stage.title,
        state=one.state,
        live=one.live,
        when=day(ended.observed_at) if ended else "",
        by=ended.fact.name if ended else "",
        wants=len(one.wanting),
    )


def run_in_drawing(
    steps: Sequence[RunInStep], stands: StageStands | None = None, highest_rpm: float | None = None
) -> RunInDrawing:
    """The steps of one ladder of run-in as a stair, with where it has come to.

    Parameters
    ----------
    steps : sequence of RunInStep
        Of one ladder, spindle or axis, in order.
    stands : StageStands, optional
        The stage they belong to; without it all are to come.
    highest_rpm : float, optional
        Speed at 100 per cent.

    Returns
    -------
    RunInDrawing

    Examples
    --------
    >>> steps = [RunInStep(id=str(n), ladder="spindle", stage="P8", step=n, percent=10.0 * n,
    ...                    minutes=20) for n in (1, 2)]
    >>> [(one.speed_rpm, one.state) for one in run_in_drawing(steps, highest_rpm=8000).steps]
    [(800.0, 'to_come'), (1600.0, 'to_come')]
    """
    return RunInDrawing(
        steps=tuple(
            RunInRung(
                number=one.step,
                speed_share=one.percent / 100,
                minutes=one.minutes,
                rise_k=one.rise_k,
                speed_rpm=None if highest_rpm is None else highest_rpm * one.percent / 100,
                state=_state(one, stands),
            )
            for one in steps
        ),
        what=steps[0].ladder if steps else "",
    )


def _state(
    one: RunInStep, stands: StageStands | None
) -> Literal["held", "stepped_down", "now", "to_come"]:
    """Of the step that comes next all before it are held; a signed stage holds all of them."""
    if stands is None:
        return "to_come"
    if stands.signed:
        return "held"
    coming = stands.step
    if coming is None or coming.ladder != one.ladder or one.step > coming.step:
        return "to_come"
    if one.step < coming.step:
        return "held"
    return "now" if stands.state == "begun" else "to_come"
