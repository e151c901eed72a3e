"""Sound, vibration, light as a machine's owner keeps them: where, in what state, how surely."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import later, say
from retrue.cases.known import nearest
from retrue.records.facts import Finding
from retrue.records.shop import Record
from retrue.records.waking import Sensed, SenseSort

CALIBRATED_DB = 2.0  # of one level, k = 2: a checked class 2 meter (table of measures, judgement)
INDICATIVE_DB = 5.0  # of a telephone or a microphone that heard no known level (judgement)
VELOCITY_SHARE = 0.15  # of the value, k = 2 (table of measures, judgement)
LUX_SHARE = 0.10  # of the value, k = 2 (table of measures, judgement)
IDLING, CUTTING, OFF = later("idling"), later("cutting"), later("machine off")
LUX = "lux"  # the one reading that may be typed several times: at several points of the work
WITHOUT = "without"  # option: the one source that was switched off while all others ran


@dataclass(frozen=True, slots=True, kw_only=True)
class Sense:
    """One sort of what is heard, felt or seen; its measure is read at one place, in one state."""

    sort: SenseSort
    title: str
    point: str  # where the measure of the table is read
    points: tuple[str, ...]  # usual places, that one first
    states: tuple[str, ...]  # usual ones; the first is that of the measure
    measure: str
    key: str  # of the number that is compared
    name: str
    unit: str
    digits: int
    better: Literal["less", "more"]
    meter: str  # sort of the instrument it is read with
    units: tuple[str, ...]  # in which its certificate may say how far it is off
    typed: Mapping[str, tuple[str, str, float]]  # key -> name, unit, most: what may be typed


SENSES: Mapping[str, Sense] = {
    "sound": Sense(
        sort="sound",
        title=later("Sound"),
        point=later("operator's ear"),
        points=(later("operator's ear"), later("1 m in front of the cover"), later("at the pump")),
        states=(IDLING, CUTTING, OFF, later("covers off")),
        measure="M28",
        key="level_a_db",
        name=later("level, A-weighted"),
        unit="dB(A)",
        digits=1,
        better="less",
        meter="sound_meter",
        units=("dB(A)", "dBA", "dB"),
        typed={
            "level_a_db": (later("level, A-weighted"), "dB(A)", 194.0),
            "level_c_db": (later("level, C-weighted"), "dB(C)", 194.0),
            "level_z_db": (later("level, not weighted"), "dB", 194.0),
        },
    ),
    "vibration": Sense(
        sort="vibration",
        title=later("Vibration"),
        point=later("spindle nose"),
        points=(
            later("spindle nose"),
            later("spindle motor"),
            later("belt cover"),
            later("a foot"),
        ),
        states=(IDLING, CUTTING, later("belt off")),
        measure="M27",
        key="velocity_rms_mm_s",
        name=later("vibration velocity, 10 to 1000 Hz"),
        unit="mm/s",
        digits=2,
        better="less",
        meter="accelerometer",
        units=("mm/s", "mm/s rms"),
        typed={
            "velocity_rms_mm_s": (later("vibration velocity, 10 to 1000 Hz"), "mm/s", 1000.0),
        },
    ),
    "light": Sense(
        sort="light",
        title=later("Light"),
        point=later("on the work"),
        points=(later("on the work"), later("at the spindle"), later("around the machine")),
        states=(later("its own lamp on"), later("all lamps on"), later("daylight as well")),
        measure="M29",
        key="mean_lux",
        name=later("light on the work"),
        unit="lux",
        digits=0,
        better="more",
        meter="lux_meter",
        units=("lux", "lx"),
        typed={LUX: (later("light on the work"), "lux", 200_000.0)},
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SensedLine:
    """One thing that was measured, with what it says and what was learned from it."""

    id: str  # of the first record of its line
    record: Record[Sensed]
    sense: Sense
    answer: Mapping[str, Any]
    value: float | None  # of the number that is compared
    give_or_take: float | None  # k = 2
    instrument: str = ""  # by name
    learned: tuple[Record[Finding], ...] = ()

    @property
    def said(self) -> Sensed:
        """As it was kept."""
        return self.record.fact

    @property
    def without(self) -> str:
        """The one source that was switched off."""
        return dict(self.said.options).get(WITHOUT, "")

    @property
    def why(self) -> str:
        """Why there is no number."""
        return "" if self.value is not None else str(self.answer["why"].get(self.sense.key, ""))


def sense(sort: str) -> Sense:
    """One sort of what is measured.

    Parameters
    ----------
    sort : str
        sound, vibration or light.

    Returns
    -------
    Sense

    Raises
    ------
    Unknown
        Neither of them.

    Examples
    --------
    >>> sense("light").unit
    'lux'
    """
    if sort not in SENSES:
        raise Unknown(
            say("{sort} is not sound, vibration or light", sort=sort or '""'),
            remedy=nearest(sort, SENSES),
        )
    return SENSES[sort]


def plain(words: str) -> str:
    """Two places or states are the same by these words: no capitals, no "the" and "at" before them.

    Parameters
    ----------
    words : str
        As typed.

    Returns
    -------
    str

    Examples
    --------
    >>> plain(" At the operator\\u2019s  Ear "), plain("the spindle nose")
    ("operator's ear", 'spindle nose')
    """
    bare = words.casefold().replace("\u2019", "'").split()
    while len(bare) > 1 and bare[0] in ("the", "at"):
        bare = bare[1:]
    return " ".join(map(str, bare))


def typed_readings(
    one: Sense, readings: Iterable[tuple[str, float]]
) -> tuple[tuple[str, float], ...]:
    """Numbers as typed, in the order of the sort.

    Parameters
    ----------
    one : Sense
        Of what.
    readings : iterable of (str, float)
        Key and number; lux may stand there several times.

    Returns
    -------
    tuple of (str, float)

    Raises
    ------
    Unusable
        A key is not one of this sort or stands there twice, or a number is none that it can be;
        all are named.

    Examples
    --------
    >>> typed_readings(sense("sound"), [("level_c_db", 84), ("level_a_db", 78)])
    (('level_a_db', 78.0), ('level_c_db', 84.0))
    """
    read = [(key, float(value)) for key, value in readings]
    problems = tuple(_wrong(one, read))
    if problems:
        raise Unusable(
            say("this cannot be kept as {what}", what=one.title.lower()),
            remedy=say("Correct what is named; nothing else was lost."),
            problems=problems,
        )
    order = list(one.typed)
    return tuple(sorted(read, key=lambda pair: order.index(pair[0])))


def _wrong(one: Sense, read: Sequence[tuple[str, float]]) -> Iterator[Problem]:
    keys = [key for key, _ in read]
    for key in sorted({key for key in keys if keys.count(key) > 1} - {LUX}):
        yield Problem(key, say("stands there twice"), say("Type the one that counts."))
    for key, value in read:
        if key not in one.typed:
            yield Problem(
                key,
                say("is nothing that is read of {what}", what=one.title.lower()),
                say("Known: {words}.", words=", ".join(map(str, one.typed))),
            )
            continue
        _, unit, most = one.typed[key]
        if not math.isfinite(value) or not 0 <= value <= most:
            yield Problem(
                key,
                say("{value} {unit} cannot be", value=short(value), unit=unit),
                say("Type what the meter shows, from 0 to {most} {unit}.", most=short(most),
                    unit=unit),
            )  # fmt: skip


def typed_answer(
    one: Sense, read: Sequence[tuple[str, float]], *, calibrated: bool = False
) -> dict[str, Any]:
    """What typed numbers say, in the keys of a file of the same sort.

    Parameters
    ----------
    one : Sense
        Sound or vibration; several readings of light are a table.
    read : sequence of (str, float)
        Key and number.
    calibrated : bool
        The meter is a class 2 meter or better that is checked; only sound asks for it.

    Returns
    -------
    dict
        Null with its reason under ``why``.

    Examples
    --------
    >>> made = typed_answer(sense("sound"), [("level_a_db", 78.0)], calibrated=True)
    >>> made["level_a_db"], made["calibrated"], made["level_c_db"], made["bands"]
    (78.0, True, None, [])
    """
    given = dict(read)
    told: dict[str, Any] = {key: given.get(key) for key in one.typed}
    why = {key: say("was not read") for key, value in told.items() if value is None}
    if one.sort == "sound":
        told |= {"bands": [], "calibrated": calibrated}
    if one.sort == "vibration":
        told |= {"lines": [], "conclusion": None}
        why["conclusion"] = say("needs the vibration itself as a file, not one number of it")
    return told | {"schema": f"prove.{one.sort}.1", "why": why}


def nothing_told(one: Sense, why: str) -> dict[str, Any]:
    """The answer of a file that could not be worked out; it is kept all the same.

    Parameters
    ----------
    one : Sense
        Of what.
    why : str
        Reason and remedy.

    Returns
    -------
    dict

    Examples
    --------
    >>> nothing_told(sense("light"), "It is empty.")["why"]
    {'mean_lux': 'It is empty.'}
    """
    return {one.key: None, "schema": f"prove.{one.sort}.1", "why": {one.key: why}}


def give_or_take(one: Sense, answer: Mapping[str, Any], own: float | None = None) -> float | None:
    """How far the number that is compared may be off, k = 2.

    Parameters
    ----------
    one : Sense
        Of what.
    answer : mapping
        As worked out.
    own : float or None
        What the instrument's certificate says, in the unit of the number. A level that was heard
        without a known one beside it is indicative, whatever the instrument. What a file itself
        says of its doubt goes first.

    Returns
    -------
    float or None
        None where there is no number.

    Examples
    --------
    >>> give_or_take(sense("sound"), {"level_a_db": 80.0, "calibrated": False}, own=1.0)
    5.0
    >>> round(give_or_take(sense("vibration"), {"velocity_rms_mm_s": 2.0}), 3)
    0.3
    """
    value = answer.get(one.key)
    if value is None:
        return None
    told = answer.get("uncertainty")
    if isinstance(told, Mapping) and told.get(one.key) is not None:
        return float(told[one.key])
    if one.sort == "sound" and not answer.get("calibrated"):
        return INDICATIVE_DB
    if own is not None:
        return own
    if one.sort == "sound":
        return CALIBRATED_DB
    return float(value) * (VELOCITY_SHARE if one.sort == "vibration" else LUX_SHARE)
