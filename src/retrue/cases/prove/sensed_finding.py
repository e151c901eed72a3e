"""What the belief learns from sound, vibration and light, and why it sometimes learns nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.sensed import IDLING, WITHOUT, Sense, give_or_take, plain
from retrue.kinds.library import Kind
from retrue.records.facts import Channel, Finding, Grade
from retrue.records.waking import Sensed
from retrue.science.sound_level import Correction, background_correction

BEARING = "bearing"  # option: whose bearing it is
LOOKS = {"spindle": "C48", "motor": "C123"}  # growl or whine of the spindle; the motor run alone
DEFECTS = ("outer_race", "inner_race", "rolling_element", "cage")
CHANNELS: tuple[Channel, ...] = ("running", "power_up", "visit_live")


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """What is told to the belief; ``why`` where that is nothing."""

    findings: tuple[Finding, ...] = ()
    why: str = ""


def learned(
    one: Sense,
    said: Sensed,
    answer: Mapping[str, Any],
    kind: Kind | None,
    *,
    own: float | None = None,
    checked: bool = False,
    mended: bool = True,
    background_db: float | None = None,
) -> Learned:
    """What a measured thing says of what may be wrong.

    Parameters
    ----------
    one : Sense
        Of what.
    said : Sensed
        As kept.
    answer : mapping
        As worked out.
    kind : Kind or None
        Of the machine.
    own : float or None
        Give or take of the instrument, k = 2, in the unit of the number.
    checked : bool
        It has a certificate that is not past due: grade 5 in place of 4.
    mended : bool
        Something of the machine was repaired since the reading before; only a level marked "after"
        asks for it.
    background_db : float or None
        Level at the same place with the machine off; it is taken off a level.

    Returns
    -------
    Learned

    Notes
    -----
    A number is told as a reading of its measure (by the likelihood of that reading) only where it
    was read as the measure is defined: level and vibration with the spindle idling, at the
    operator's ear and at the spindle nose; light on the work. Nothing is told of a level with one
    source off. A level "after" with nothing repaired in between speaks of covers and sheets, not of
    bearings: what stood before stays. Where the same place was read with the machine off, that is
    taken off by the rule of ISO 3744:2010, 8.2.3; under 6 dB over it nothing is told.
    A named bearing defect answers the look for growl and whine of the spindle (C48: seen), and of
    the motor the look with the motor run alone (C123: seen): a frequency of the bearing's own is
    what those looks listen for; but only where somebody said what else turns, for a pump or another
    shaft draws the same line. "Nothing found" and "not conclusive" tell nothing: the search hears
    one speed at one place, the look asks for five speeds; weaker evidence than "not seen".

    Examples
    --------
    >>> from retrue.cases.prove.sensed import sense
    >>> from retrue.kinds.load import load
    >>> mill = load(only=("vertical_machining_centre",))["vertical_machining_centre"]
    >>> said = Sensed(lot="a", machine="b", sort="light", point="on the work",
    ...               readings=(("lux", 220.0),))
    >>> made = learned(sense("light"), said, {"mean_lux": 220.0}, mill)
    >>> [(f.check, f.measure, f.reading, f.grade) for f in made.findings]
    [('C95', 'M29', 220.0, 4)]
    """
    grade: Grade = 5 if checked else 4
    named = tuple(_defect(one, said, answer, kind, grade))
    why = _held_back(one, said, answer, kind, mended=mended)
    taken_off = Correction(0.0, "nothing")
    if not why and one.sort == "sound" and background_db is not None:
        taken_off = background_correction(float(answer[one.key]) - background_db)
        if taken_off.ruling == "upper_bound":
            why = say("With the machine off it is nearly as loud there: it may be anything below.")
    if why or kind is None:
        return Learned(findings=named, why="" if named else _unsaid(answer) or why)
    measure = kind.measures[one.measure]
    reading = Finding(
        lot=said.lot,
        machine=said.machine,
        check=measure.check,
        measure=measure.id,
        reading=float(answer[one.key]) - taken_off.k1_db,
        uncertainty=give_or_take(one, answer, own),
        grade=grade,
        channel=_channel(kind, measure.check),
        text=_text(one, said),
    )
    return Learned(findings=(reading, *named))


def as_defined(one: Sense, said: Sensed) -> str:
    """Why a reading is not taken where, or as, its measure is defined.

    Parameters
    ----------
    one : Sense
        Of what.
    said : Sensed
        As kept.

    Returns
    -------
    str
        Empty where it is.

    Examples
    --------
    >>> from retrue.cases.prove.sensed import sense
    >>> said = Sensed(lot="a", machine="b", sort="sound", point="at the pump")
    >>> as_defined(sense("sound"), said)
    "Only what is read at the operator's ear tells what is probably wrong."
    """
    if dict(said.options).get(WITHOUT):
        return say("One source was off: it says which sound first, not what is wrong.")
    if plain(said.point) != plain(one.point):
        return say("Only what is read {where} tells what is probably wrong.",
                   where=one.point if one.sort == "light" else say("at the {place}",
                                                                   place=one.point))  # fmt: skip
    if one.sort != "light" and not said.state:
        return say("Nobody said in what state: only idling does it tell what is probably wrong.")
    if one.sort != "light" and plain(said.state) != IDLING:
        return say("Only with the spindle idling does it tell what is probably wrong.")
    return ""


def _held_back(
    one: Sense, said: Sensed, answer: Mapping[str, Any], kind: Kind | None, *, mended: bool
) -> str:
    """Why a number is no reading of its measure; empty where it is one."""
    if answer.get(one.key) is None:
        return say("There is no number to learn from.")
    measure = kind.measures.get(one.measure) if kind else None
    if kind is None or measure is None or measure.check not in kind.checks:
        return say("This type of machine has no such look; it is kept and compared.")
    if answer.get("clipped_share"):
        return say("The strongest of it is cut off at the end of the range: it is at least that.")
    if one.measure not in answer.get("measures", (one.measure,)):
        return say("It is not told over the whole band that its measure is defined in.")
    why = as_defined(one, said)
    if why:
        return why
    if one.sort == "sound" and said.when == "after" and not mended:
        return say(
            "Nothing was repaired since the reading before: quieter covers are no better "
            "bearings. What was heard before still counts."
        )
    return ""


def _defect(
    one: Sense, said: Sensed, answer: Mapping[str, Any], kind: Kind | None, grade: Grade
) -> Iterator[Finding]:
    """A named defect as an answer to the look that listens for it."""
    options = dict(said.options)
    check = LOOKS.get(options.get(BEARING, ""), "")
    if one.sort != "vibration" or answer.get("conclusion") not in DEFECTS or _unsaid(answer):
        return
    if kind is not None and check in kind.checks:
        yield Finding(
            lot=said.lot,
            machine=said.machine,
            check=check,
            answer="seen",
            grade=grade,
            channel=_channel(kind, check),
            text=_text(one, said),
        )


def _unsaid(answer: Mapping[str, Any]) -> str:
    """Why a named part is not believed; empty where it is, or where none is named."""
    if answer.get("conclusion") not in DEFECTS or answer.get("others_said"):
        return ""
    return say(
        "A part of the bearing is named, but nobody said what else turns: it is not counted."
    )


def _channel(kind: Kind, check: str) -> Channel:
    stages = kind.checks[check].stages
    return next((word for word in CHANNELS if word in stages), "running")


def _text(one: Sense, said: Sensed) -> str:
    """What it was, as the list of findings shows it."""
    speed = f"{number(said.speed_rpm)} rpm" if said.speed_rpm is not None else ""
    return ", ".join(str(part) for part in (one.title, said.point, said.state, speed) if part)
