"""Quiet and lit: all that was heard, felt and seen of one machine, and what comes next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.prove.noise_day import EVIDENCE
from retrue.cases.prove.sense_drawing import BeforeAfter
from retrue.cases.prove.sensed import SENSES, Sense, SensedLine, plain
from retrue.cases.prove.sensed_file import deed_of
from retrue.cases.prove.sensed_pairs import (
    Alone,
    Baseline,
    Pair,
    SourceOrder,
    alone,
    baselines,
    pairs,
    same_place,
    source_order,
)
from retrue.cases.said import cautions_of
from retrue.cases.spot import Spot
from retrue.kinds.library import Kind
from retrue.records.waking import SenseSort


@dataclass(frozen=True, slots=True, kw_only=True)
class NextSense:
    """The one thing to measure or to do next."""

    sort: SenseSort
    words: str
    why: str
    when: str = ""  # what the form says of it: before, after
    measure: bool = True  # False: all is measured, the sheet is to be printed


@dataclass(frozen=True, slots=True, kw_only=True)
class Quiet:
    """All that was measured of a machine, side by side."""

    spot: Spot
    lines: tuple[SensedLine, ...]  # oldest first
    pairs: tuple[Pair, ...]
    baselines: tuple[Baseline, ...]
    sources: SourceOrder | None
    sources_why: str  # why no order can be told, where something stands against it
    alone: Alone | None = None  # the newest level without what is heard with the machine off
    cautions: Mapping[str, tuple[str, ...]] = field(default_factory=dict)  # by sort
    next: NextSense

    def of(self, sort: str) -> tuple[SensedLine, ...]:
        """What was measured of one sort, newest first."""
        return tuple(one for one in reversed(self.lines) if one.sense.sort == sort)


def made_quiet(spot: Spot, lines: Sequence[SensedLine]) -> Quiet:
    """Put side by side what was measured.

    Parameters
    ----------
    spot : Spot
        The machine.
    lines : sequence of SensedLine
        Oldest first.

    Returns
    -------
    Quiet

    Examples
    --------
    >>> spot = Spot(lot="1", lot_name="school", machine="2", name="mill", kind=None)
    >>> made_quiet(spot, []).next.sort
    'sound'
    """
    order, why = None, ""
    try:
        order = source_order(lines)
    except Unusable as no:
        why = f"{no.reason[:1].upper()}{no.reason[1:]}. {no.remedy}"
    found = pairs(lines)
    return Quiet(
        spot=spot,
        lines=tuple(lines),
        pairs=found,
        baselines=baselines(lines),
        sources=order,
        sources_why=why,
        alone=alone(lines),
        cautions={sort: cautions_for(one, spot.kind) for sort, one in SENSES.items()},
        next=_next(lines, found, order, spot.kind),
    )


def cautions_for(one: Sense, kind: Kind | None) -> tuple[str, ...]:
    """What stands before a sort of measuring.

    Parameters
    ----------
    one : Sense
        Of what.
    kind : Kind or None
        Of the machine.

    Returns
    -------
    tuple of str
        Of its look, and what belongs to this sort on every machine.

    Examples
    --------
    >>> cautions_for(SENSES["light"], None)[0][:28]
    'In light that flickers, a ch'
    """
    test = deed_of(one)
    own = test.cautions if test else (EVIDENCE,)
    measure = kind.measures.get(one.measure) if kind else None
    if kind is None or measure is None or one.sort == "light":
        return own
    return (*cautions_of(kind, measure.check), *own)


def _next(
    lines: Sequence[SensedLine],
    found: Sequence[Pair],
    order: SourceOrder | None,
    kind: Kind | None,
) -> NextSense:
    for one in SENSES.values():
        fits = kind is None or one.measure in kind.measures
        if fits and not _read_at_its_place(one, lines):
            return _first(one)
    waits = _waiting(lines, found)
    if order is None:
        return NextSense(
            sort="sound",
            words=say("Switch one source off at a time, and read again at the same place"),
            why=say("It shows which one to treat first, and the most that treating it can gain."),
        )
    if waits is not None:
        return NextSense(
            sort=waits.sense.sort,
            words=say("Do what helps most, then read again: {what}", what=waits.said.point),
            why=say("Same place, same state, same speed, same meter: then the change counts."),
            when="after",
        )
    return NextSense(
        sort="sound",
        words=say("Print before and after on one sheet"),
        why=say("What was gained, with its doubt."),
        measure=False,
    )


def _first(one: Sense) -> NextSense:
    words = {
        "sound": say("Read the sound at the operator's ear, idling, before anything is changed"),
        "vibration": say("Read the vibration at the spindle nose, idling, at a speed you can set "
                         "again"),
        "light": say("Read the light on the work, at several points"),
    }[one.sort]  # fmt: skip
    why = {
        "sound": say("What comes after can only be held against what stood before."),
        "vibration": say("The first reading is the one that all later ones are held against."),
        "light": say("Three minutes with a lux meter; the price and the list of faults learn it."),
    }[one.sort]
    return NextSense(sort=one.sort, words=words, why=why, when="before")


def _read_at_its_place(one: Sense, lines: Sequence[SensedLine]) -> bool:
    return any(
        line.value is not None and plain(line.said.point) == plain(one.point)
        for line in lines
        if line.sense.sort == one.sort
    )


def _waiting(lines: Sequence[SensedLine], found: Sequence[Pair]) -> SensedLine | None:
    """The newest reading "before" that has no "after" yet."""
    done = {same_place(one.before) for one in found}
    for line in reversed(lines):
        if line.said.when == "before" and same_place(line) not in done:
            return line
    return None


def flat(quiet: Quiet) -> dict[str, Any]:
    """All of it as plain values for ``--json``.

    Parameters
    ----------
    quiet : Quiet
        As put together.

    Returns
    -------
    dict
        Null with its reason under ``why``.

    Examples
    --------
    >>> spot = Spot(lot="1", lot_name="school", machine="2", name="mill", kind=None)
    >>> flat(made_quiet(spot, []))["measured"]
    []
    """
    order, bare = quiet.sources, quiet.alone
    why = {} if order else {"sources": quiet.sources_why or say("no source was switched off")}
    if bare is None:
        why["alone_a_db"] = say("nothing was read there with the machine off")
    return {
        "alone_a_db": bare.level_db if bare else None,
        "background_ruling": bare.ruling if bare else "",
        "baselines": [
            {"first": one.first.id, "newest": one.newest.id} | _told_change(one.change)
            for one in quiet.baselines
            if not one.alone
        ],
        "cautions": {sort: list(texts) for sort, texts in quiet.cautions.items()},
        "lot": quiet.spot.lot_name,
        "machine": quiet.spot.name,
        "measured": [_told_line(one) for one in quiet.lines],
        "next": quiet.next.words,
        "pairs": [_told_pair(one) for one in quiet.pairs],
        "schema": "prove.quiet.1",
        "sources": [asdict(one) for one in order.sources] if order else None,
        "why": why,
    }


def _told_line(line: SensedLine) -> dict[str, Any]:
    said = line.said
    why = {} if line.value is not None else {"value": line.why}
    if said.speed_rpm is None:
        why["speed_rpm"] = say("nobody has said")
    if line.give_or_take is None:
        why["give_or_take"] = line.why
    return {
        "answer": dict(line.answer),
        "give_or_take": line.give_or_take,
        "id": line.id,
        "instrument": line.instrument,
        "learned": sorted(str(one.fact.check) for one in line.learned),
        "point": said.point,
        "sort": said.sort,
        "speed_rpm": said.speed_rpm,
        "state": said.state,
        "unit": line.sense.unit,
        "value": line.value,
        "when": said.when,
        "why": why,
        "without": line.without,
    }


def _told_pair(one: Pair) -> dict[str, Any]:
    told = _told_change(one.change) | {"after_id": one.after.id, "before_id": one.before.id}
    told |= {"mind": list(one.mind), "sort": one.after.sense.sort, "bands": []}
    if one.bands is not None:
        first, second = one.bands.series
        told["bands"] = [
            {"after_db": after, "before_db": before, "frequency_hz": hz}
            for hz, before, after in zip(
                one.bands.nominal_hz, first.level_db, second.level_db, strict=True
            )
        ]
    return told


def _told_change(change: BeforeAfter) -> dict[str, Any]:
    names = ("after", "before", "difference", "difference_unit", "give_or_take", "told", "unit")
    told = {name: getattr(change, name) for name in names}
    why = {name: say("one of them has no number") for name in names if told[name] is None}
    return told | {"why": why}
