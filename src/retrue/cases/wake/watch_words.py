"""What a watch says to people: its call in a word or two, its reasons in sentences, what to do."""

from __future__ import annotations

import math
from collections.abc import Mapping

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.science.watch_limits import CHANNELS
from retrue.science.watch_state import Reason

WORDS: Mapping[str, str] = {
    "go": "Go on",
    "hold": "Hold",
    "step": "Next step",
    "stop": "Stop",
    "no_reading": "Stop",
    "ended": "Ended",
}
PARTS: Mapping[str, str] = {
    "nose": "the nose",
    "housing": "the bearing housing",
    "winding": "the motor's winding",
    "motor_case": "the motor's case",
    "cabinet": "the cabinet",
    "drive": "the drive",
    "room": "the room",
    "amps": "the current",
    "load_percent": "the load",
    "sound_db": "the sound",
    "pressure_bar": "the pressure",
    "vibration_mm_s": "the vibration",
}
# {part} reads {value} {unit}, held against {limit}; what is in another unit says so itself.
REASONS: Mapping[str, str] = {
    "over_cap": "{part} reads {value} {unit}; the limit is {limit} {unit}",
    "under_least": "{part} reads {value} {unit}; it must not fall under {limit} {unit}",
    "over_expected": "{part} reads {value} {unit}; up to {limit} {unit} was expected",
    "under_expected": "{part} reads {value} {unit}; {limit} {unit} at least was expected",
    "over_rise": "{part} is {value} K over the room; the limit is {limit} K",
    "over_expected_rise": "{part} is {value} K over the room; up to {limit} K was expected",
    "over_step_rise": "{part} is {value} K over its start; the limit is {limit} K",
    "over_expected_step_rise": "{part} is {value} K over its start; up to {limit} K was expected",
    "too_fast": "{part} warms by {value} K a minute; the limit is {limit} K",
    "perhaps_too_fast": "{part} may warm by over {limit} K a minute: read it again now",
    "fast": "{part} warms by {value} K a minute; up to {limit} K is usual",
    "heads_over": "{part} heads for {value} °C; the limit is {limit} °C",
    "class_reached": "{part} reads {value} °C; its insulation class allows {limit} °C",
    "class_soon": "{part} passes the {limit} °C of its insulation class within {value} minutes",
    "class_settles": "{part} heads for {value} °C; its insulation class allows {limit} °C",
    "heats_faster": "{part} warms faster and faster, by {value} K a minute now",
    "current_up": "{part} is {value} points of the rated up; the limit is {limit} points",
    "current_rises": "{part} is {value} points of the rated up",
    "pressure_falls": "{part} has fallen by {share} %; the limit is {limit_share} %",
    "pressure_sags": "{part} has fallen by {share} %",
    "louder": "{part} is {value} dB over its own level; the limit is {limit} dB",
    "somewhat_louder": "{part} is {value} dB over its own level: listen",
    "rougher": "{part} is {value} times its own level; the limit is {limit} times",
    "somewhat_rougher": "{part} is {value} times its own level: feel and listen",
    "read_again": "{part} reads {value} {unit}, which is not believed yet: read it again now",
    "sensor_off": "{part} cools faster than what runs can cool: is the sensor still on it?",
    "under_room": "{part} reads {value} {unit}, too cold to be true: is the sensor still on it?",
    "sensor_flat": "{part} reads exactly the same for {value} minutes: is the sensor on it?",
    "not_believed": "{part}: no believable reading for {value} minutes; {limit} are the limit",
    "not_read_yet": "{part} was not read yet: without it nothing is judged",
    "no_room": "the room was not read: how far {part} is over it cannot be told",
    "overfill": "{part} has not fallen from its peak for {value} minutes: too much grease?",
    "peak_falls": "{part} is {value} K under its peak: grease settles, that is good",
    "silent": "{part} was not read for {value} minutes; after {limit} it is stopped",
    "never_read": "{part} was never read; after {limit} minutes it is stopped",
    "next_step": "it has run {value} minutes, and it has levelled",
    "not_level": "{part} still changes by {value} K in 5 minutes",
    "cannot_tell_level": "whether {part} has levelled cannot be told yet: read on",
    "gap": "nothing was read for {value} minutes; after {limit} it is stopped",
}
DIGITS: Mapping[str, int] = {"K a minute": 2, "times": 1, "K in 5": 2}


def part(name: str) -> str:
    """A channel in words.

    Parameters
    ----------
    name : str
        ``nose``, ``amps:coolant pump``.

    Returns
    -------
    str

    Examples
    --------
    >>> part("nose"), part("amps:coolant pump")
    ('the nose', 'the current of coolant pump')
    """
    sort, _, where = name.partition(":")
    words = say(PARTS.get(sort, sort)) if sort else say("anything")
    return say("{part} of {where}", part=words, where=where) if where else words


def sentence(reason: Reason) -> str:
    """A reason as a sentence.

    Parameters
    ----------
    reason : Reason

    Returns
    -------
    str

    Examples
    --------
    >>> sentence(Reason("too_fast", "stop", "nose", 1.34, 1.0))
    'The nose warms by 1.34 K a minute; the limit is 1 K.'
    """
    text = REASONS[reason.code]
    name = reason.channel.partition(":")[0]
    digits = next((d for mark, d in DIGITS.items() if mark in text), 1)
    whole = ("points", "within", "minutes;", "was never", "minutes:")
    if any(mark in text for mark in whole):
        digits = 0
    told = say(
        text,
        part=part(reason.channel),
        unit=CHANNELS[name].unit if name in CHANNELS else "",
        value=_number(reason.value, digits),
        limit=_number(reason.limit, 0 if reason.limit == round(reason.limit, 0) else 1),
        share=_number(100 * reason.value, 0),
        limit_share=_number(100 * reason.limit, 0),
    )
    return told[:1].upper() + told[1:] + ("" if told.endswith("?") else ".")


def what_to_do(
    call: str, *, again_at_step: int | None, aborts: int, unread: str = ""
) -> tuple[str, ...]:
    """What to do now, one sentence each; with a stop the order matters.

    Parameters
    ----------
    call : str
        Of the watch.
    again_at_step : int or None
        Two steps back.
    aborts : int
        Earlier aborts of this stage.
    unread : str
        The channel to read next, in words.

    Returns
    -------
    tuple of str

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> what_to_do("stop", again_at_step=3, aborts=0)[1]
    'The door stays shut until it stands.'
    """
    if call in ("stop", "no_reading"):
        return _stop(again_at_step, aborts)
    if call == "hold":
        return (say("No next step yet. Read on; reach for no screen near what turns."),)
    if call == "step":
        return (say("Listen once more, write your name for it, then take the next step."),)
    if call == "go":
        return (say("Read {part} on; reach for no screen near what turns.",
                    part=unread or say("it")),)  # fmt: skip
    return ()


def _stop(again_at_step: int | None, aborts: int) -> tuple[str, ...]:
    told = [
        say("Stop it at the machine now: nothing here can stop it for you."),
        say("The door stays shut until it stands."),
        say("Let it cool to within 5 K of the room, and write what is read then."),
    ]
    if aborts:
        told.append(say("This is the second abort of this stage: strip before any other try."))
        return tuple(told)
    told.append(say("Find the cause before a second try."))
    if again_at_step is not None:
        told.append(say("It begins again at step {step}, two steps back.", step=again_at_step))
    told.append(say("A second abort of the same stage: strip."))
    return tuple(told)


def _number(value: float, digits: int) -> str:
    return number(value, digits) if math.isfinite(value) else say("unknown")
