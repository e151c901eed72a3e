"""The ladder of first power: every stage, what comes next, what can be done alone tonight."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from retrue.base.refusals import NotYet, Problem
from retrue.base.say import say
from retrue.cases.spot import Spot
from retrue.cases.wake.bands import Known, bands_of, steps_of
from retrue.cases.wake.closed import clearing_looks
from retrue.cases.wake.kept import PowerKept, progress_kept
from retrue.cases.wake.lines import ClosedLine, Ladder, StageStands
from retrue.cases.wake.progress import Progress
from retrue.cases.wake.stands import caution_rows, stage_stands
from retrue.kinds.library import Kind
from retrue.kinds.waking import Stage
from retrue.records.shop import RecordShop

GENERAL = ("X01",)
# The stop points of fault-finding, and the last stage that has to be signed for each.
STOP_POINTS: Mapping[str, str] = {"power_up": "P2", "running": "P8"}


def ladder_of(
    kept: PowerKept,
    *,
    at_switch: str = "",
    suspected: Mapping[str, tuple[str, ...]] | None = None,
) -> Ladder:
    """All stages of a machine as they stand.

    Parameters
    ----------
    kept : PowerKept
    at_switch : str
        Who stands at the main switch; empty: nobody, and what energises stays closed.
    suspected : mapping of str to tuple of str, optional

    Returns
    -------
    Ladder
    """
    stages = tuple(
        stage_stands(kept, stage, at_switch=at_switch, suspected=suspected)
        for stage in kept.kind.stages.values()
    )
    coming = next((one for one in stages if not one.signed), None)
    begun = coming.begun if coming is not None and coming.state == "begun" else None
    switch = at_switch.strip() or (begun.fact.at_switch if begun is not None else "")
    return Ladder(
        name=kept.spot.name,
        lot_name=kept.spot.lot_name,
        kind=kept.kind.id,
        stages=stages,
        next=coming,
        answer=_answer(stages, coming),
        next_act=_next_act(coming),
        alone=_alone(coming) if begun is None or not begun.fact.at_switch else (),
        evening=coming.stage.leave_it if coming else stages[-1].stage.leave_it,
        cautions=caution_rows(kept.kind, GENERAL),
        at_switch=switch,
    )


def ladder_of_kind(kind: Kind) -> Ladder:
    """The ladder of a kind alone: everything is open, and plate values are missing.

    Parameters
    ----------
    kind : Kind

    Returns
    -------
    Ladder

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> told = ladder_of_kind(load()["turning_centre"])
    >>> len(told.stages), told.next.stage.id, told.stages[1].bands[0].lacks
    (11, 'P0-L', 'N04')
    """
    stages = tuple(_of_kind(kind, stage) for stage in kind.stages.values())
    return Ladder(
        name="",
        lot_name="",
        kind=kind.id,
        stages=stages,
        next=stages[0],
        answer=say("{count} stages, none of them begun", count=len(stages)),
        next_act=say("Begin with {stage}: {title}.", stage=stages[0].stage.stage,
                     title=stages[0].stage.title),
        alone=_alone(stages[0]),
        evening=stages[0].stage.leave_it,
        cautions=caution_rows(kind, GENERAL),
    )  # fmt: skip


def refuse_stop_point(shop: RecordShop, spot: Spot, kind: Kind, stop: str) -> None:
    """Refuse a stop point of power while its stages are not signed.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    kind : Kind
    stop : str
        power_up or running.

    Raises
    ------
    NotYet
        One problem for each stage that is not signed, in order.
    """
    missing = unsigned_stages(progress_kept(shop, spot, kind).values(), stop)
    if missing:
        raise NotYet(
            say("first power is not signed so far: {count} stages are open", count=len(missing)),
            remedy=say("Sign them one by one in first power: `retrue wake plan`."),
            problems=tuple(
                Problem(one.id, say("{title}: not signed", title=one.title)) for one in missing
            ),
        )


def unsigned_stages(progress: Iterable[Progress], stop: str) -> tuple[Stage, ...]:
    """Stages up to a stop point of power that are not signed.

    Parameters
    ----------
    progress : iterable of Progress
        Of every stage of the kind, in order.
    stop : str
        power_up or running.

    Returns
    -------
    tuple of Stage

    Examples
    --------
    >>> unsigned_stages((), "power_up")
    ()
    """
    last = int(STOP_POINTS[stop][1:])
    return tuple(
        one.stage for one in progress if int(one.stage.stage[1:]) <= last and not one.signed
    )


def _of_kind(kind: Kind, stage: Stage) -> StageStands:
    lines = []
    for one in kind.stages.values():
        if one.id == stage.id:
            break
        told = say("{title}: not signed", title=f"{one.stage}: {one.title}")
        lines.append(ClosedLine(id=one.id, text=told, how="open"))
    for fault in stage.faults:
        looks = clearing_looks(kind, fault)
        told = say("{name}: not cleared. Look: {look}", name=kind.faults[fault].name,
                   look=kind.checks[looks[0]].text if looks else "")  # fmt: skip
        lines.append(ClosedLine(id=fault, text=told, how="open"))
    shown = {look for fault in stage.faults for look in clearing_looks(kind, fault)}
    lines += [
        ClosedLine(id=check, how="open",
                   text=say("{look}: not looked at yet", look=kind.checks[check].text))
        for check in stage.checks if check not in shown
    ]  # fmt: skip
    lines += [
        ClosedLine(id=job, text=say("{job}: not done yet", job=kind.jobs[job].name), how="open")
        for job in stage.jobs
    ]
    first = stage.stage == "P0"
    return StageStands(
        stage=stage,
        state="open" if first else "closed",
        live=stage.live,
        who=stage.who,
        closed=tuple(lines),
        wanting=() if first else tuple(Problem(one.id, one.text) for one in lines),
        bands=bands_of(kind, stage, Known()),
        cautions=caution_rows(kind, stage.cautions),
        abort_limits=stage.abort_limits,
        on_abort=stage.on_abort,
        alone_instead=stage.alone_instead,
        needs_watch=stage.watch,
        step=next(iter(steps_of(kind, stage)), None),
    )


def _answer(stages: tuple[StageStands, ...], coming: StageStands | None) -> str:
    signed = sum(one.signed for one in stages)
    if coming is None:
        return say("All {count} stages are signed", count=len(stages))
    return say("{signed} of {count} stages are signed; next is {stage}: {title}", signed=signed,
               count=len(stages), stage=coming.stage.stage, title=coming.stage.title)  # fmt: skip


def _next_act(coming: StageStands | None) -> str:
    if coming is None:
        return say("Nothing is open.")
    if coming.state == "begun":
        if coming.unsigned:
            return say("It is going on; before it is signed: {what}.", what=coming.unsigned[0].what)
        return say("Sign its stop point by name.")
    if coming.state == "open":
        return say("Begin {stage}: {title}.", stage=coming.stage.stage, title=coming.stage.title)
    others = [one for one in coming.wanting if one.where != "at_switch"]
    if others:
        return say("Close first: {what}.", what=others[0].what)
    return say("Find somebody for the main switch; alone only this: {alone}.",
               alone=coming.alone_instead)  # fmt: skip


def _alone(coming: StageStands | None) -> tuple[str, ...]:
    """What can be done with nobody at the switch."""
    if coming is None:
        return ()
    if coming.stage.alone:
        return (coming.stage.title,)
    return tuple(part.strip() for part in coming.alone_instead.split(";") if part.strip())
