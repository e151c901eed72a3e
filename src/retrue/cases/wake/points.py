"""Dead tests point by point: at which motors and metal parts, and which one is still bad."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from retrue.base.formatter import short
from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.evidence import INSULATION
from retrue.cases.find.looked import OWN, bare, earlier
from retrue.cases.wake.kept import PowerKept
from retrue.cases.wake.lines import BandLine, ReadingLine
from retrue.cases.wake.written import ruling
from retrue.kinds.waking import Stage
from retrue.records.facts import Finding
from retrue.records.shop import Record
from retrue.science.insulation import at_40_c

FINDING_END = ".finding"  # of the id of a finding that a reading of a stage made


@dataclass(frozen=True, slots=True)
class _At:
    """One reading at one point, of a stage or of fault-finding."""

    point: str
    reading: float
    when: datetime


def point_problems(kept: PowerKept, stage: Stage, band: BandLine) -> Iterator[Problem]:
    """What is wanting of a band that is read at several places, each by its name.

    Parameters
    ----------
    kept : PowerKept
    stage : Stage
    band : BandLine
        With what was read at this start.

    Yields
    ------
    Problem
        It was read at too few places; or a place was bad at any earlier start, or in
        fault-finding, and has not been read again since. Work on it opens it and does not
        close it: it is read again.

    Examples
    --------
    >>> once = BandLine(name="cell", words="Memory cell", unit="%")
    >>> list(point_problems(None, None, once))  # read once: at no named places
    []
    """
    if not band.least:
        return
    read = {bare(one.point): one for one in band.readings if bare(one.point)}
    missing = _nameless(kept, stage, band, read) if read else ()
    if missing:
        told = say(
            "{words}: not read at {places}", words=band.words, places=", ".join(map(str, missing))
        )
        yield Problem(band.name, told, say("Its point has that word: X motor, spindle motor."))
    elif read and len(read) < band.least:
        told = say("{words}: read at {count} places, wanted are {least}, each by its name",
                   words=band.words, count=len(read), least=band.least)  # fmt: skip
        yield Problem(band.name, told)
    for one in _bad(kept, stage, band):
        now = read.get(bare(one.point))
        if now is None or earlier(now.when, one.when):
            told = say("{words} ({point}): {reading} {unit} before, and not read again since",
                       words=band.words, point=one.point, reading=short(one.reading),
                       unit=band.unit)  # fmt: skip
            yield Problem(band.name, told)


def found_readings(
    kept: PowerKept, stage: Stage, band: BandLine, since: int = -1
) -> Iterator[ReadingLine]:
    """Readings of fault-finding of what a band reads, oldest first.

    Parameters
    ----------
    kept : PowerKept
    stage : Stage
    band : BandLine
    since : int
        Place in the order of records.

    Yields
    ------
    ReadingLine
        Insulation is brought to 40 degrees where its temperature was kept.
    """
    rows = {one.name: one for one in kept.kind.stage_readings.get(stage.id, ())}
    measure = rows[band.name].measure if band.name in rows else ""
    every = kept.findings.values() if measure else ()
    for one in sorted(every, key=lambda one: one.seq):
        fact = one.fact
        if fact.machine != kept.spot.machine or fact.measure != measure or fact.grade < OWN:
            continue
        if fact.reading is None or one.seq <= since or one.id.endswith(FINDING_END):
            continue
        yield _line(one, fact.reading, band, measure)


def _line(one: Record[Finding], reading: float, band: BandLine, measure: str) -> ReadingLine:
    fact = one.fact
    if measure == INSULATION and fact.temperature_c is not None:
        reading = at_40_c(reading, fact.temperature_c)
    return ReadingLine(
        record=one.id, point=fact.text, reading=reading, unit=band.unit, when=one.observed_at,
        by=fact.informant or one.by, ruling=ruling(band, reading),
    )  # fmt: skip


def _nameless(
    kept: PowerKept, stage: Stage, band: BandLine, read: Iterable[str]
) -> tuple[str, ...]:
    """Words that one place each should have in its name, and none of those read has."""
    rows = kept.kind.stage_readings.get(stage.id, ())
    each = next((row.each for row in rows if row.name == band.name), ())
    named = {word for point in read for word in re.findall(r"[^\W_]+", point)}
    return tuple(one for one in each if one.casefold() not in named)


def _bad(kept: PowerKept, stage: Stage, band: BandLine) -> Iterable[_At]:
    """Points whose newest reading, of whatever start, is not inside the band."""
    stages = (
        (one.seq, _At(one.fact.point, one.fact.reading, one.observed_at))
        for many in kept.readings.values()
        for one in many
        if one.fact.stage == stage.id and one.fact.name == band.name
    )
    found = (
        (kept.findings[one.record].seq, _At(one.point, one.reading, one.when))
        for one in found_readings(kept, stage, band)
    )
    newest: dict[str, _At] = {}
    for _, one in sorted([*stages, *found], key=lambda pair: pair[0]):
        old = newest.get(bare(one.point))
        if bare(one.point) and (old is None or not earlier(one.when, old.when)):
            newest[bare(one.point)] = one
    return [one for one in newest.values() if ruling(band, one.reading) != "in"]
