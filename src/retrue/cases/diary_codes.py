"""Codes that stand in records, in the words of the library: a reading, a tick, a card, a test."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from retrue.base.refusals import Unknown
from retrue.base.say import later, say
from retrue.cases.fix.clearing import CLEAR, CLEAR_RUNNING
from retrue.cases.fix.way_words import way_words
from retrue.cases.prove.sensed import SENSES
from retrue.cases.reckon.method import method
from retrue.cases.strip.ticks import items_of
from retrue.cases.wake.run_in_bands import (
    ATTENDED,
    AXES_RUN,
    STEP_MINUTES,
    STEP_RISE,
    axis_line,
    hours_line,
    minutes_line,
    rise_line,
)
from retrue.kinds.library import Kind
from retrue.records.facts import Fact

STEPS = {
    STEP_MINUTES: ("spindle", minutes_line),
    STEP_RISE: ("spindle", rise_line),
    AXES_RUN: ("axes", axis_line),
}
_STEP = re.compile(r"(\D+)(\d+)")

ACTS: Mapping[str, str] = {
    "clean": later("cleaned"),
    "adjust": later("adjusted"),
    "repair": later("repaired"),
    "replace": later("part replaced"),
    "send_out": later("sent out"),
    "call_for_help": later("help called"),
    "observe": later("watched"),
    "measure": later("measured"),
}
"""What was done, of a record of something done."""

DONE: Mapping[str, str] = {
    "clean": later("cleaned"),
    "adjust": later("adjusted"),
    "repair": later("repaired"),
    "replace": later("a new one fitted"),
    "second_hand": later("a used one fitted"),
    "outside": later("repaired by a specialist"),
    "local": later("repaired by a local firm"),
}
"""How it was put right, of a record of something done."""

CARD_HEADS: Mapping[str, str] = {
    "open": "Open: {place}",
    "before": "Read before it comes apart: {place}",
    "close": "Close: {place}",
    "look": "Look before it is closed: {place}",
    "send": "Take out and send: {fault}",
    "renew": "While you're in there: {part}, new",
}
CARDS: Mapping[str, str] = {
    "unseen": later("What nobody has seen yet"),
    "work:control": later("a new control"),
    CLEAR: later("Looks that clear what must not be there, all dead"),
    CLEAR_RUNNING: later("Looks that clear what must not be there, by hand and under power"),
}


def band_words(kind: Kind | None, stage: str, name: str) -> str:
    """What a reading of a stage of first power is called.

    Parameters
    ----------
    kind : Kind or None
        The type of the machine.
    stage : str
        Of its ladder: P4-V.
    name : str
        As the record has it: axis_load, nose_rise_step3.

    Returns
    -------
    str
        Empty where the library does not know it.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> band_words(mill, "P0-V", "earth"), band_words(mill, "P8-V", "step_minutes_step1")
    ('Earth, each metal part', 'Minutes of step 1, held')
    """
    if kind is None:
        return ""
    rows = kind.stage_readings.get(stage, ())
    every = (*rows, *(one for bands in kind.stage_readings.values() for one in bands))
    found = next((one.words for one in every if one.name == name), "")
    if found:
        return found
    if name == ATTENDED and stage in kind.stages:
        return hours_line(kind.stages[stage]).words
    parts = _STEP.fullmatch(name)
    ladder, line = STEPS.get(parts[1], ("", None)) if parts else ("", None)
    if parts is None or line is None:
        return ""
    steps = (one for one in kind.run_in if (one.ladder, one.step) == (ladder, int(parts[2])))
    return next((line(one).words for one in steps), "")


def card_words(kind: Kind | None, key: str) -> str:
    """What a job card, or a line of the tables, is called.

    Parameters
    ----------
    kind : Kind or None
        The type of the machine.
    key : str
        J05, F15:local, open:cabinet, renew:belt; own words stay as they are.

    Returns
    -------
    str
        Empty where the library does not know it.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> lathe = load()["turning_centre"]
    >>> card_words(lathe, "open:cabinet"), card_words(lathe, "own words")
    ('Open: Electrical cabinet', '')
    """
    if key in CARDS:
        return say(CARDS[key])
    if kind is None:
        return ""
    if key in kind.jobs:
        return kind.jobs[key].name
    if key in kind.costs:
        return kind.costs[key].item
    if key in kind.faults:
        return kind.faults[key].name
    head, _, rest = key.partition(":")
    if head == "upgrade":
        return kind.upgrades[rest].name if rest in kind.upgrades else ""
    if head in kind.faults:
        return say("{fault}: {way}", fault=kind.faults[head].name, way=way_words(rest))
    named = _of_head(kind, head, rest) if head in CARD_HEADS else ""
    told = {"place": named, "fault": named, "part": named}
    return say(CARD_HEADS[head], **told) if named else ""


def _of_head(kind: Kind, head: str, rest: str) -> str:
    if head == "send":
        return card_words(kind, rest)
    if head == "renew":
        return kind.renewals[rest].name if rest in kind.renewals else ""
    return kind.places[rest].name if rest in kind.places else ""


def _tick(fact: Any, value: str, kind: Kind | None) -> str:
    return items_of(kind, fact.list).get(value, ("", ()))[0] if kind else ""


def _method(fact: Any, value: str, kind: Kind | None) -> str:
    """What a calculator is called; one of an older version by nothing."""
    try:
        return str(method(value).title)
    except Unknown:
        return ""


def _test(fact: Any, value: str, kind: Kind | None) -> str:
    """What a test is called; one of an older version by nothing."""
    from retrue.cases.prove.deed import deed  # dear to load, and seldom asked for

    try:
        return str(deed(value).title)
    except Unknown:
        return ""


def _card(fact: Any, value: str, kind: Kind | None) -> str:
    return card_words(kind, value)


def _sense(fact: Any, value: str, kind: Kind | None) -> str:
    return str(SENSES[value].title) if value in SENSES else ""


def _way(fact: Any, value: str, kind: Kind | None) -> str:
    said = way_words(value)
    return "" if said == value else said


CODED: Mapping[tuple[str, str], Callable[[Any, str, Kind | None], str]] = {
    ("act", "sort"): lambda fact, value, kind: say(ACTS.get(value, value)),
    ("act", "way"): lambda fact, value, kind: say(DONE[value]) if value in DONE else "",
    ("card_marked", "card"): _card,
    ("chosen", "what"): _card,
    ("chosen", "way"): _way,
    ("cost_line", "line"): _card,
    ("hours_told", "line"): _card,
    ("out", "line"): _card,
    ("planned", "method"): _method,
    ("posting", "line"): _card,
    ("quoted", "line"): _card,
    ("reading_set", "test"): _test,
    ("result", "test"): _test,
    ("sensed", "sort"): _sense,
    ("sensed_result", "sort"): _sense,
    ("stage_reading", "name"): lambda fact, value, kind: band_words(kind, fact.stage, value),
    ("stock", "name"): _card,
    ("ticked", "item"): _tick,
}
"""By kind of record and field."""


def code_words(fact: Fact, name: str, kind: Kind | None) -> str:
    """A code of a record in the words of the library or of our own tables.

    Parameters
    ----------
    fact : Fact
        What was kept.
    name : str
        Of the field.
    kind : Kind or None
        The type of its machine.

    Returns
    -------
    str
        Empty where it is no code, or nobody knows it.

    Examples
    --------
    >>> from retrue.records.waking import Sensed
    >>> heard = Sensed(lot="l", machine="m", sort="sound")
    >>> code_words(heard, "sort", None), code_words(heard, "point", None)
    ('Sound', '')
    """
    find = CODED.get((fact.KIND, name))
    value: Any = getattr(fact, name)
    return str(find(fact, value, kind)) if find and isinstance(value, str) and value else ""
