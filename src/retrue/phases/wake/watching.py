"""A watch begins with its limits written down; what is read is kept; it says how it stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Literal, Unpack, cast

from retrue.base.refusals import NotYet, Problem, Unusable
from retrue.base.say import say
from retrue.cases.spot import Spot, find
from retrue.cases.wake.kept import known_of, progress_kept, readings_kept
from retrue.cases.wake.watch_kept import WatchStands, calls_of, stands_of, watch_kept
from retrue.cases.wake.watch_last import last_time
from retrue.cases.wake.watch_plan import plan_text, watch_plan
from retrue.cases.wake.watch_view import Called
from retrue.cases.wake.written import Written, read_written
from retrue.kinds.library import Kind
from retrue.phases.wake.here import machine_at, refuse_fields, sent_as, stage_of
from retrue.phases.wake.left_out import with_left_out
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import StageBegun, WatchBegun, WatchEnded, WatchReadings
from retrue.science.watch_limits import channel

Source = Literal["typed", "logger", "sound"]
Alarm = Literal["laptop", "paper"]


def begin_watch(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    stage: str = "",
    step: int | None = None,
    what: str = "",
    alarm: str = "laptop",
    heard: bool = False,
    logger: str = "",
    room_c: float | None = None,
    expected_a: float | None = None,
    silence_minutes: float = 6.0,
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[WatchBegun]:
    """Begin a watch: what it holds its readings against is written down with it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    stage : str
        Which it belongs to, P8 or P8-V; empty: none.
    step : int or None
        Of the run-in; None: the one that is going on.
    what : str
        What is watched, in words.
    alarm : str
        laptop or paper.
    heard : bool
        It was heard once, at the machine.
    logger : str
        Name of the logger whose file is followed.
    room_c, expected_a : float or None
        The room, and the current expected at this step.
    silence_minutes : float
        No reading for that long means stop; on paper a timer of its own calls, and silence is
        not judged.
    text : str
    **hand : Hand
        Who begins it.

    Returns
    -------
    Record of WatchBegun

    Raises
    ------
    NotYet
        Its stage is not going on, or a watch of it runs already.
    Unusable
        The alarm was not heard and paper does not stand in for it; a number that cannot be.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    of = stage_of(kind, stage).id if stage else None
    sent = sent_as(shop, WatchBegun, hand, lot=spot.lot, machine=spot.machine, stage=of)
    if sent is not None:
        return sent
    begun = _going_on(shop, spot, kind, stage) if stage else None
    number = _step(begun, step)
    of_stage = begun.fact.stage if begun else None
    known = known_of(shop, spot, progress_kept(shop, spot, kind), readings_kept(shop, spot))
    plan = watch_plan(
        read_written(begun.fact.bands) if begun else Written(), known,
        stage=begun.fact.stage if begun else "", step=number, what=what.strip(), room_c=room_c,
        expected_a=expected_a, silence_minutes=silence_minutes,
        baselines=last_time(shop, spot, of_stage, number),
    )  # fmt: skip
    plan = replace(plan, paper=alarm == "paper")
    fact = WatchBegun(
        lot=spot.lot, machine=spot.machine, stage=begun.fact.stage if begun else None,
        begun=begun.id if begun else None, step=number, what=what.strip(), plan=plan_text(plan),
        alarm=cast(Alarm, alarm), heard=heard, logger=logger.strip(), text=text.strip(),
    )  # fmt: skip
    refuse_fields(fact)
    return shop.add(fact, **hand)


def add_readings(
    shop: RecordShop,
    watch: str,
    rows: Sequence[tuple[str, str, float]],
    *,
    source: str = "typed",
    first_row: int | None = None,
    **hand: Unpack[Hand],
) -> Record[WatchReadings]:
    """Keep readings of a watch; late ones too, and those that come after it ended.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    watch : str
        Its id.
    rows : sequence of (str, str, float)
        ISO time with offset, channel, value.
    source : str
        typed, logger or sound.
    first_row : int or None
        Of the logger's file.
    **hand : Hand
        Who read.

    Returns
    -------
    Record of WatchReadings

    Raises
    ------
    Unknown
        No such watch, or no such channel.
    Unusable
        No rows, or a moment without its offset.
    """
    kept = watch_kept(shop, watch)
    for name in dict.fromkeys(name for _, name, _ in rows):
        channel(name)
    fact = WatchReadings(
        lot=kept.watch.fact.lot, machine=kept.watch.fact.machine, watch=_first(shop, watch),
        source=cast(Source, source), rows=tuple((at, name, float(v)) for at, name, v in rows),
        first_row=first_row,
    )  # fmt: skip
    refuse_fields(fact)
    return shop.add(fact, **hand)


def watch_stands(
    shop: RecordShop, watch: str, now: datetime, kinds: Mapping[str, Kind]
) -> WatchStands:
    """A watch as it stands at one moment.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    watch : str
        Its id.
    now : datetime
        With its offset.
    kinds : mapping of str to Kind
        The library, for how often its stage was aborted before.

    Returns
    -------
    WatchStands

    Raises
    ------
    Unknown
        No such watch.
    """
    kept = watch_kept(shop, watch)
    fact = kept.watch.fact
    aborts = 0
    if fact.stage:
        spot, kind = machine_at(shop, fact.lot, fact.machine, kinds)
        aborts = progress_kept(shop, spot, kind)[fact.stage].aborts
    own = 1 if kept.called and fact.begun else 0  # a stop of this watch was one of them
    return with_left_out(shop, stands_of(kept, now, aborts=max(0, aborts - own)))


def calls(shop: RecordShop, watch: str) -> tuple[Called, ...]:
    """What a watch has called so far, oldest first.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    watch : str
        Its id.

    Returns
    -------
    tuple of Called
    """
    return calls_of(watch_kept(shop, watch))


def watches(shop: RecordShop, lot: str, machine: str) -> tuple[Record[WatchBegun], ...]:
    """All watches of a machine, the newest first.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot, machine : str
        Name or id.

    Returns
    -------
    tuple of Record
    """
    spot = find(shop, lot, machine, {})
    return tuple(reversed(shop.current(WatchBegun, lot=spot.lot, machine=spot.machine)))


def _first(shop: RecordShop, watch: str) -> str:
    """The id by which readings name a watch."""
    return shop.history(watch)[0].id


def _step(begun: Record[StageBegun] | None, step: int | None) -> int | None:
    """The step that is watched: the one that is going on, where the stage itself has steps."""
    own = begun.fact.step if begun is not None else None
    if own is None or step is None or step == own:
        return step if own is None else own
    told = say("is {step}; step {own} is going on", step=step, own=own)
    raise Unusable(
        say("this step is not going on"),
        remedy=say("Leave it out: the watch takes the one that is."),
        problems=(Problem("step", told),),
    )


def _going_on(shop: RecordShop, spot: Spot, kind: Kind, stage: str) -> Record[StageBegun]:
    of = stage_of(kind, stage)
    progress = progress_kept(shop, spot, kind)
    begun = progress[of.id].begun
    before = next((one.stage for one in progress.values() if not one.signed), of)
    if begun is not None and before.id != of.id:
        raise NotYet(
            say("{before} is open again, so {stage} does not go on", before=before.stage,
                stage=of.stage),
            remedy=say("Leave this stage first, then sign that one again."),
        )  # fmt: skip
    if begun is None:
        raise NotYet(
            say("{stage} is not going on, so nothing of it is watched", stage=of.stage),
            remedy=say("Hear the alarm, begin the stage, then begin the watch."),
        )
    ended = {one.fact.watch for one in shop.current(WatchEnded, machine=spot.machine)}
    for one in shop.current(WatchBegun, machine=spot.machine, begun=begun.id):
        if _first(shop, one.id) not in ended:
            raise NotYet(
                say("a watch of {stage} runs already", stage=of.stage),
                remedy=say("Go on with that one, or end it by name first."),
            )
    return begun
