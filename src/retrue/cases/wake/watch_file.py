"""A logger's file judged by itself: whole, as it ended, or so far, while it grows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta, tzinfo
from functools import partial

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.wake.bands import Known, bands_of, run_in_of
from retrue.cases.wake.logger import Followed, follow_logger
from retrue.cases.wake.watch_plan import WatchPlan, watch_plan
from retrue.cases.wake.watch_view import Called, Watched
from retrue.cases.wake.watching import called_since, taken_rows, watched
from retrue.cases.wake.written import Written, read_written, written
from retrue.kinds.library import Kind
from retrue.kinds.waking import Stage

LONG = timedelta(days=400)  # a file that is judged whole may be of any day


@dataclass(frozen=True, slots=True, kw_only=True)
class FileJudged:
    """What a logger's file says against a plan.

    Attributes
    ----------
    followed : Followed
        What was taken of it, and what not.
    watched : Watched
        As it stands at its last reading, or now.
    called : Called or None
        The first stop in it.
    begun : datetime
        Its first reading, or since when it is followed.
    """

    followed: Followed
    watched: Watched
    called: Called | None
    begun: datetime


def plan_alone(
    kind: Kind | None,
    stage: Stage | None,
    plate: Mapping[str, str],
    *,
    step: int | None = None,
    what: str = "",
    room_c: float | None = None,
    expected_a: float | None = None,
    silence_minutes: float = 6.0,
) -> WatchPlan:
    """The plan of a watch that no shop keeps.

    Parameters
    ----------
    kind : Kind or None
    stage : Stage or None
        Of that kind.
    plate : mapping of str to str
        Values as typed, by the ids of the plate's table.
    step : int or None
        Of the run-in.
    what : str
    room_c, expected_a : float or None
    silence_minutes : float

    Returns
    -------
    WatchPlan

    Raises
    ------
    Unusable
        A number that cannot be, or a step that is not in the table.

    Examples
    --------
    >>> plan_alone(None, None, {"N16": "30 A"}, room_c=21.0).channels["amps"].rated
    30.0
    """
    known = Known(plate=plate)
    held = Written()
    if kind is not None and stage is not None:
        bands = bands_of(kind, stage, known)
        held = read_written(written(bands, steps=run_in_of(kind, stage), known=known))
    return watch_plan(
        held, known, stage=stage.id if stage else "", step=step, what=what, room_c=room_c,
        expected_a=expected_a, silence_minutes=silence_minutes,
    )  # fmt: skip


def judged_file(
    content: bytes,
    name: str,
    plan: WatchPlan,
    now: datetime,
    *,
    started: datetime | None = None,
    zone: tzinfo = UTC,
    fahrenheit: bool | None = None,
    offset_s: float = 0.0,
) -> FileJudged:
    """Judge a logger's file.

    Parameters
    ----------
    content : bytes
        CSV with a heading.
    name : str
        Of the file.
    plan : WatchPlan
    now : datetime
        With its offset.
    started : datetime or None
        Since when it is followed as it grows: it is judged at this moment, and a file that has
        stopped growing is a stop. None: it is judged whole, as at its last reading.
    zone : tzinfo
        Of moments written without one.
    fahrenheit : bool or None
        What was answered to the question of °F.
    offset_s : float
        Added to the logger's clock.

    Returns
    -------
    FileJudged

    Raises
    ------
    Unusable
        Nothing of it can be taken, or it asks what only a person can answer.
    Unreadable
        It is no text.

    Examples
    --------
    >>> text = b"time,nose_c\\n2026-11-26T20:00:00,59\\n2026-11-26T20:01:00,61\\n"
    >>> at = datetime(2026, 11, 27, tzinfo=UTC)
    >>> plan = plan_alone(None, None, {}, room_c=21.0)
    >>> found = judged_file(text, "log.csv", plan, at, fahrenheit=False)
    >>> found.watched.call, found.called.at.minute
    ('stop', 1)
    """
    take = partial(
        follow_logger, content, name, zero=started or now, zone=zone, fahrenheit=fahrenheit,
        offset_s=offset_s, room_c=plan.room_c,
    )  # fmt: skip
    found = take(now=now) if started else take(now=take(now=now + LONG).last_at or now)
    _refuse(found, name, growing=started is not None)
    rows = taken_rows(found.rows)
    begun = started or rows[0][0]
    moment = now if started else rows[-1][0]
    called = called_since(plan, begun, found.rows, begun - timedelta(seconds=1), moment)
    kept = (called,) if called is not None and called.call == "stop" else ()
    made = watched(plan, begun, found.rows, moment, called=kept)
    made = replace(made, notes=(*found.unknown, *made.notes))
    return FileJudged(followed=found, watched=made, called=called, begun=begun)


def _refuse(found: Followed, name: str, *, growing: bool) -> None:
    if found.asked:
        raise Unusable(
            say("{name} asks what only a person can answer", name=name),
            remedy=say("Answer with --fahrenheit or --celsius."),
            problems=tuple(Problem(name, question) for question in found.asked),
        )
    if not found.rows and not growing:
        raise Unusable(
            say("of {name} no reading can be taken", name=name),
            remedy=say("Mend what is named, or wait until it has grown."),
            problems=found.problems or tuple(Problem(name, note) for note in found.notes),
        )
