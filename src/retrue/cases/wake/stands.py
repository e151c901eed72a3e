"""One stage as it stands: its state, why it stays closed, its bands with what was read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from retrue.base.formatter import short
from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.find.looked import bare
from retrue.cases.find.standing import touched
from retrue.cases.wake.bands import bands_of, step_rpm, steps_of
from retrue.cases.wake.closed import closed_lines, open_problems
from retrue.cases.wake.hours import attended
from retrue.cases.wake.kept import PowerKept
from retrue.cases.wake.lines import BandLine, ClosedLine, ReadingLine, StageStands, StageState
from retrue.cases.wake.people import names_somebody
from retrue.cases.wake.points import found_readings, point_problems
from retrue.cases.wake.progress import Progress
from retrue.cases.wake.run_in_bands import ATTENDED
from retrue.cases.wake.watch_notes import unwatched
from retrue.cases.wake.written import limits_words, read_written, ruling
from retrue.kinds.library import Kind
from retrue.kinds.waking import RunInStep, Stage
from retrue.records.shop import Record
from retrue.records.waking import StageReading

DEAD = "P0"  # the stage in which the dead tests themselves are made


def stage_stands(
    kept: PowerKept,
    stage: Stage,
    *,
    at_switch: str | None = None,
    suspected: Mapping[str, tuple[str, ...]] | None = None,
) -> StageStands:
    """One stage of a machine as it stands.

    Parameters
    ----------
    kept : PowerKept
    stage : Stage
    at_switch : str or None
        Who stands at the main switch; empty: nobody; None: that is not judged.
    suspected : mapping of str to tuple of str, optional
        By stage: likely faults that it could hurt, in words.

    Returns
    -------
    StageStands
    """
    progress = kept.progress[stage.id]
    closed = closed_lines(kept, stage)
    wanting = wanting_of(kept, stage, closed, at_switch)
    bands, choice = _bands(kept, stage, progress)
    step = _step(kept.kind, stage, progress.step)
    return StageStands(
        stage=stage,
        state=_state(progress, wanting),
        live=stage.live,
        who=stage.who,
        closed=closed,
        wanting=() if progress.signed or progress.begun else wanting,
        unsigned=unsigned_of(kept, stage, bands, closed) if progress.begun else (),
        bands=bands,
        cautions=caution_rows(kept.kind, stage.cautions),
        abort_limits=stage.abort_limits,
        on_abort=stage.on_abort,
        alone_instead=stage.alone_instead,
        begun=progress.begun,
        ended=progress.ended,
        aborts=progress.aborts,
        needs_watch=stage.watch,
        step=None if progress.signed else step,
        step_rpm=None if progress.signed else step_rpm(step, kept.known),
        suspected=() if progress.signed else (suspected or {}).get(stage.id, ()),
        choice=choice,
        hours=hours_of(kept, progress),
    )


def caution_rows(kind: Kind, ids: Iterable[str]) -> tuple[tuple[str, str, str], ...]:
    """Cautions by their ids.

    Parameters
    ----------
    kind : Kind
    ids : iterable of str
        Those the kind does not have fall away.

    Returns
    -------
    tuple of (str, str, str)
        Id, words, what they defer to.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> caution_rows(load()["turning_centre"], ("X32",))[0][1][:38]
    'Who stands at the main switch? Write t'
    """
    known = (kind.cautions[id] for id in ids if id in kind.cautions)
    return tuple((one.id, one.text, one.defers_to) for one in known)


def wanting_of(
    kept: PowerKept, stage: Stage, closed: Sequence[ClosedLine], at_switch: str | None
) -> tuple[Problem, ...]:
    """Why a stage may not begin, one problem for each open thing.

    Parameters
    ----------
    kept : PowerKept
    stage : Stage
    closed : sequence of ClosedLine
        Of this stage.
    at_switch : str or None
        None: not judged.

    Returns
    -------
    tuple of Problem
        The dead stage may always begin: it is where dead tests are made.
    """
    progress = kept.progress[stage.id]
    found: list[Problem] = []
    if progress.strip:
        told = say("aborted {count} times: it is taken apart, or repaired, first",
                   count=progress.aborts)  # fmt: skip
        found.append(Problem("strip", told))
    if progress.uncaused is not None:
        told = say(
            "aborted ({why}), and nobody has found the cause", why=progress.uncaused.fact.why
        )
        found.append(Problem("cause", told))
    if not stage.alone and at_switch is not None and not names_somebody(at_switch):
        told = say("nobody stands at the main switch")
        found.append(Problem("at_switch", told, say("Write who it is. Alone: dead work only.")))
    if stage.stage != DEAD:
        found += open_problems(closed, kept)
    return tuple(found)


def unsigned_of(
    kept: PowerKept, stage: Stage, bands: Iterable[BandLine], closed: Iterable[ClosedLine]
) -> tuple[Problem, ...]:
    """What keeps a stage that was begun from being signed.

    Parameters
    ----------
    kept : PowerKept
    stage : Stage
    bands : iterable of BandLine
        As they were written, with what was read.
    closed : iterable of ClosedLine

    Returns
    -------
    tuple of Problem
        Bands without a reading, readings outside of what holds it, a watch that is wanting; and
        everything that must be closed before it and is open again.
    """
    step = kept.progress[stage.id].step
    hours = hours_of(kept, kept.progress[stage.id])
    found = [
        problem for band in bands if band.step in (None, step) for problem in _unread(band, hours)
    ]
    found += (problem for band in bands for problem in point_problems(kept, stage, band))
    begun = kept.progress[stage.id].begun
    if stage.watch and begun is not None:
        found += unwatched(begun, _step(kept.kind, stage, step), kept.watches)
    found += (_reopened(one, kept, stage) for one in open_problems(closed, kept))
    return tuple(found)


def _reopened(problem: Problem, kept: PowerKept, stage: Stage) -> Problem:
    """What was closed at the start and is not now: an earlier stage is signed first."""
    if stage.stage == DEAD or problem.where not in kept.progress:
        return problem
    return replace(problem, remedy=say("Leave this stage first, then sign that one again."))


def hours_of(kept: PowerKept, progress: Progress) -> float:
    """Hours attended since the stage was last opened or aborted.

    Parameters
    ----------
    kept : PowerKept
    progress : Progress

    Returns
    -------
    float
    """
    return attended(progress.starts, kept.readings)


def newest_readings(band: BandLine) -> dict[str, ReadingLine]:
    """The readings of a band that count: the newest of each point.

    Parameters
    ----------
    band : BandLine

    Returns
    -------
    dict of str to ReadingLine
        By the point without capitals and double blanks.

    Examples
    --------
    >>> newest_readings(BandLine(name="v", words="", unit="V"))
    {}
    """
    return {bare(one.point): one for one in band.readings}


def _unread(band: BandLine, hours: float) -> Iterator[Problem]:
    """What is wanting of one band before its stage is signed."""
    if band.name == ATTENDED:
        if hours < (band.expected_low or 0.0):
            told = say("{words}: {hours} of {wanted} h", words=band.words, hours=short(hours),
                       wanted=short(band.expected_low or 0.0))  # fmt: skip
            yield Problem(band.name, told)
        return
    read = newest_readings(band)
    missing = [point for point in band.points if bare(point) not in read]
    if missing or not read:
        where = f" ({', '.join(map(str, missing))})" if missing else ""
        yield Problem(band.name, say("{words}{where}: not read", words=band.words, where=where))
    for one in read.values():
        if one.ruling == "abort" or (band.hold and one.ruling == "out"):
            what = "{words}: {reading} {unit} was read, wanted is {limits}"
            told = say(what, words=band.words, reading=short(one.reading), unit=one.unit,
                       limits=limits_words(band))  # fmt: skip
            yield Problem(band.name, told)


def _state(progress: Progress, wanting: Sequence[Problem]) -> StageState:
    if progress.signed:
        return "signed"
    if progress.begun is not None:
        return "begun"
    if progress.strip:
        return "strip"
    if progress.uncaused is not None:
        return "aborted"
    return "closed" if wanting else "open"


def _step(kind: Kind, stage: Stage, number: int | None) -> RunInStep | None:
    return next((one for one in steps_of(kind, stage) if one.step == number), None)


def _bands(kept: PowerKept, stage: Stage, progress: Progress) -> tuple[tuple[BandLine, ...], str]:
    """Bands as they were written where it was begun, else as they stand now; and the choice."""
    start = progress.begun or (progress.proof if progress.signed else None)
    if start is None:
        return bands_of(kept.kind, stage, kept.known), ""
    was = read_written(start.fact.bands)
    mine = kept.readings.get(start.id, ())
    every = tuple(one for begun in progress.begins for one in kept.readings.get(begun, ()))
    lines = (
        replace(
            band,
            readings=(
                *_found(kept, stage, band),
                # what is signed shows every step; what goes on is held by its own readings alone
                *_mine(band, every if progress.signed or band.step is not None else mine),
            ),
        )
        for band in was.bands
    )
    return tuple(lines), was.choice


def _mine(band: BandLine, mine: Iterable[Record[StageReading]]) -> Iterator[ReadingLine]:
    for one in mine:
        fact = one.fact
        if fact.name != band.name:
            continue
        if len(band.points) == 1 and fact.point != band.points[0]:
            continue  # of small motors each has its own line
        yield ReadingLine(
            record=one.id, point=fact.point, reading=fact.reading, unit=fact.unit,
            when=one.observed_at, by=fact.taken_by or one.by,
            ruling="kept" if band.name == ATTENDED else ruling(band, fact.reading),
        )  # fmt: skip


def _found(kept: PowerKept, stage: Stage, band: BandLine) -> Iterator[ReadingLine]:
    """Dead tests read already, since the machine was last changed or put right: not typed twice."""
    rows = {one.name: one for one in kept.kind.stage_readings.get(stage.id, ())}
    measure = rows[band.name].measure if band.name in rows else ""
    if stage.stage != DEAD or not measure or band.points:
        return
    shown = kept.kind.checks[kept.kind.measures[measure].check].links
    worked = (one.seq for one in kept.acts if any(f in shown for f in touched(one.fact, kept.kind)))
    since = max([kept.progress[stage.id].since, *worked])
    newest = {bare(one.point): one for one in found_readings(kept, stage, band, since)}
    yield from newest.values()  # of each point: a good motor does not speak for a bad one
