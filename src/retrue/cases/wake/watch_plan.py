"""The plan of a watch, written before the start: each channel and what it is held against."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any

import msgspec

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.sheet_json import dumps
from retrue.cases.wake.bands import Known
from retrue.cases.wake.lines import BandLine
from retrue.cases.wake.run_in_bands import STEP_RISE
from retrue.cases.wake.written import Written
from retrue.science.run_in import step_after_abort
from retrue.science.watch_limits import (
    RATE_HOLD_K_PER_MIN,
    RATE_STOP_K_PER_MIN,
    SILENCE_S,
    Bounds,
    Limits,
    channel,
    class_ceiling_c,
)

SCHEMA = "wake.watch_plan.1"
SPINDLE_AMPS, INSULATION_CLASS = "N16", "N19"
LOWEST_CLASS = "B"
LEAST_SILENCE, MOST_SILENCE = 1.0, 30.0  # minutes
EXPECTED_TIMES, ABORT_TIMES = 1.25, 1.5  # of a current that was expected without a plate
_CLASS = re.compile(r"(?<![A-Za-z])([AEBFH])(?![A-Za-z])", re.IGNORECASE)
# Which channel a band of a stage is read on, and which ends of its bounds it sets.
BAND_CHANNELS: Mapping[str, tuple[str, tuple[str, str, str, str]]] = {
    "nose": ("nose", ("expected_low", "expected_high", "abort_low", "abort_high")),
    "nose_rate": ("nose", ("", "rate_hold", "", "rate_stop")),
    "nose_rise": ("nose", ("", "expected_rise_kelvin", "", "abort_rise_kelvin")),
    "cabinet_rise": ("cabinet", ("", "expected_rise_kelvin", "", "abort_rise_kelvin")),
    "motor_case": ("motor_case", ("expected_low", "expected_high", "abort_low", "abort_high")),
    "spindle_amps": ("amps", ("expected_low", "expected_high", "abort_low", "abort_high")),
    "motor_amps": ("amps", ("expected_low", "expected_high", "abort_low", "abort_high")),
    "axis_load": (
        "load_percent", ("expected_low", "expected_high", "abort_low", "abort_high")
    ),
    "hydraulic_bar": (
        "pressure_bar", ("expected_low", "expected_high", "abort_low", "abort_high")
    ),
    "air_bar": (
        "pressure_bar:air", ("expected_low", "expected_high", "abort_low", "abort_high")
    ),
    "lube_bar": (
        "pressure_bar:lubrication", ("expected_low", "expected_high", "abort_low", "abort_high")
    ),
}  # fmt: skip
BAND_ENDS = ("expected_low", "expected_high", "abort_low", "abort_high")
NOSE = Bounds(
    expected_high=55.0, abort_high=60.0, rate_hold=RATE_HOLD_K_PER_MIN,
    rate_stop=RATE_STOP_K_PER_MIN,
)  # fmt: skip
MOTOR_CASE = Bounds(expected_high=70.0, abort_high=90.0)
MUST = ("nose", "amps")  # with a band of the stage they must be read; else the load; else any
LOAD = "load_percent"
SHORT_SILENCE = ("P8", "P10")  # stages in which nothing is left unread for longer than usual
LAST_TIME = ("amps", "sound_db", "vibration_mm_s")  # whose own level of last time is a baseline


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchPlan:
    """What a watch holds its readings against.

    Attributes
    ----------
    stage, what : str
        Of the ladder, P8-V; and in words.
    step : int or None
        Of the run-in.
    channels : mapping of str to Bounds
        That may be read; those that must be say so.
    silence_minutes : float
        No reading for that long means stop.
    step_minutes : float or None
        The least this step lasts.
    speed_rpm : float or None
        Of this step.
    room_c, expected_a : float or None
        Typed before the start.
    assumed, lacks : tuple of str
        What was taken where nobody has said; values of the plate that are missing.
    paper : bool
        A kitchen timer calls for the next reading: silence is not judged here.
    last_time : mapping of str to float
        What the same machine read at this step when it was last run in and levelled.
    """

    stage: str = ""
    what: str = ""
    step: int | None = None
    channels: Mapping[str, Bounds] = field(default_factory=dict)
    silence_minutes: float = SILENCE_S / 60.0
    step_minutes: float | None = None
    speed_rpm: float | None = None
    room_c: float | None = None
    expected_a: float | None = None
    assumed: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()
    paper: bool = False
    last_time: Mapping[str, float] = field(default_factory=dict)

    def limits(self) -> Limits:
        """The same for the science, seconds counted from the start of the watch."""
        return Limits(
            channels=self.channels, begun_s=0.0, silence_s=60.0 * self.silent_for,
            step_minutes=self.step_minutes, room_c=self.room_c, main=not self.stage,
        )  # fmt: skip

    @property
    def silent_for(self) -> float:
        """Minutes without a reading that mean stop: on paper none, it has a timer of its own."""
        return math.inf if self.paper else self.silence_minutes

    @property
    def again_at_step(self) -> int | None:
        """The step at which it is taken up after an abort."""
        return None if self.step is None else step_after_abort(self.step)


def watch_plan(
    held: Written,
    known: Known,
    *,
    stage: str = "",
    step: int | None = None,
    what: str = "",
    room_c: float | None = None,
    expected_a: float | None = None,
    silence_minutes: float = SILENCE_S / 60.0,
    baselines: Mapping[str, float] | None = None,
) -> WatchPlan:
    """Plan a watch from what was written before its stage began.

    Parameters
    ----------
    held : Written
        The bands of the stage and the steps of the run-in; empty for a watch without a stage.
    known : Known
        The plate: rated amps, insulation class.
    stage, what : str
    step : int or None
        Of the run-in table.
    room_c, expected_a : float or None
        The room, and the current expected at this step.
    silence_minutes : float
        No reading for that long means stop; 1 to 30, beside a spindle or a dry run 1 to 6.
    baselines : mapping of str to float, optional
        Own levels of an earlier healthy run of this step, by channel; ``nose_rise`` too.

    Returns
    -------
    WatchPlan

    Raises
    ------
    Unusable
        A silence, a room or a current that cannot be, or a step that is not in the table.

    Examples
    --------
    >>> plan = watch_plan(Written(), Known(plate={"N16": "30 A", "N19": "F"}), room_c=20.0)
    >>> plan.channels["winding"].ceiling_c, plan.channels["amps"].rated
    (145.0, 30.0)
    """
    _possible(room_c, expected_a, silence_minutes, stage)
    row = _step(held, step)
    channels, lacks = _from_bands(held, step)
    banded = [name for name, one in channels.items() if one != Bounds()]
    must = [name for name in MUST if name in banded] or [one for one in (LOAD,) if one in banded]
    channels["nose"] = _over(NOSE, channels.get("nose", Bounds()))
    channels["housing"] = replace(NOSE, expected_high=None)
    channels["motor_case"] = _over(MOTOR_CASE, channels.get("motor_case", Bounds()))
    letter = insulation_letter(known.plate.get(INSULATION_CLASS, ""))
    channels["winding"] = Bounds(ceiling_c=class_ceiling_c(letter or LOWEST_CLASS))
    channels["amps"] = _amps(channels.get("amps", Bounds()), known, stage, expected_a)
    for name in ("sound_db", "vibration_mm_s", "cabinet", "room"):
        channels.setdefault(name, Bounds())
    for name in LAST_TIME:
        if baselines and name in baselines and channels[name].baseline is None:
            channels[name] = replace(channels[name], baseline=baselines[name])
    for name in must:
        channels[name] = replace(channels[name], must=True)
    if channels["amps"].rated is None:
        lacks.append(say("amps of the spindle motor"))
    assumed = () if letter else (
        say("the insulation class is not on the plate: {letter} taken, the lowest in common use",
            letter=LOWEST_CLASS),
    )  # fmt: skip
    return WatchPlan(
        stage=stage, what=what, step=step, channels=channels, silence_minutes=silence_minutes,
        step_minutes=row.get("minutes"), speed_rpm=row.get("speed_rpm"), room_c=room_c,
        expected_a=expected_a, assumed=assumed, lacks=tuple(dict.fromkeys(lacks)),
        last_time=dict(baselines or {}),
    )  # fmt: skip


def insulation_letter(stamped: str) -> str:
    """The letter of an insulation class out of what is stamped.

    Parameters
    ----------
    stamped : str
        F, "Cl. F", "Iso.-Kl. B".

    Returns
    -------
    str
        Empty where there is none, or more than one.

    Examples
    --------
    >>> insulation_letter("Th.Cl. 155 (F)"), insulation_letter("iso b"), insulation_letter("")
    ('F', 'B', '')
    """
    found = {one.upper() for one in _CLASS.findall(stamped)}
    return found.pop() if len(found) == 1 else ""


def plan_text(plan: WatchPlan) -> str:
    """A plan as canonical JSON, as it is kept before the start.

    Parameters
    ----------
    plan : WatchPlan

    Returns
    -------
    str

    Examples
    --------
    >>> plan = watch_plan(Written(), Known(), what="warm up")
    >>> read_plan(plan_text(plan)) == plan
    True
    """
    told = {spec.name: getattr(plan, spec.name) for spec in fields(plan)}
    empty = Bounds()
    told["channels"] = {
        name: {
            spec.name: getattr(bounds, spec.name)
            for spec in fields(bounds)
            if getattr(bounds, spec.name) != getattr(empty, spec.name)
        }
        for name, bounds in plan.channels.items()
    }
    return dumps({**told, "schema": SCHEMA})


def read_plan(text: str) -> WatchPlan:
    """A plan as it was kept.

    Parameters
    ----------
    text : str
        Of :func:`plan_text`.

    Returns
    -------
    WatchPlan

    Raises
    ------
    Unusable
        It is no plan of a watch, or of another edition.

    Examples
    --------
    >>> read_plan('{"schema": "wake.watch_plan.1", "channels": {"nose": {"must": true}}}').stage
    ''
    """
    try:
        held = msgspec.json.decode(text.encode(), type=dict[str, Any])
        if held.pop("schema") != SCHEMA:
            raise ValueError
        channels = {name: Bounds(**bounds) for name, bounds in held.pop("channels").items()}
        for name in channels:
            channel(name)
        rest: dict[str, Any] = {
            name: tuple(v) if isinstance(v, list) else v for name, v in held.items()
        }
        return WatchPlan(channels=channels, **rest)
    except (ValueError, KeyError, TypeError, AttributeError, Unknown) as wrong:
        raise Unusable(
            say("the plan of this watch cannot be read"),
            remedy=say("Begin a new watch; what was read is kept."),
        ) from wrong


def _possible(
    room_c: float | None, expected_a: float | None, silence_minutes: float, stage: str
) -> None:
    most = SILENCE_S / 60.0 if stage.partition("-")[0] in SHORT_SILENCE else MOST_SILENCE
    problems = []
    if room_c is not None and not -20.0 <= room_c <= 50.0:
        problems.append(Problem("room_c", say("no workshop is at {value} °C", value=short(room_c)),
                                say("If it was °F, write 70 °F.")))  # fmt: skip
    if expected_a is not None and not 0 < expected_a <= 1000:
        problems.append(Problem("expected_a", say("is no current of a machine"),
                                say("Leave it empty where nobody knows.")))  # fmt: skip
    if not LEAST_SILENCE <= silence_minutes <= most:
        problems.append(Problem("silence_minutes", say("is not from 1 to {most}", most=short(most)),
                                say("Six minutes are usual.")))  # fmt: skip
    if problems:
        raise Unusable(
            say("This watch cannot be planned yet"),
            remedy=say("Correct the fields that are named."),
            problems=tuple(problems),
        )


def _step(held: Written, step: int | None) -> dict[str, Any]:
    if step is None:
        return {}
    row = next((one for one in held.steps if one["step"] == step), None)
    if row is None:
        raise Unusable(
            say("step {step} is not in the table that was written before the start", step=step),
            remedy=say("Choose one of: {named}.",
                       named=", ".join(str(one["step"]) for one in held.steps) or "-"),
        )  # fmt: skip
    return row


def _from_bands(held: Written, step: int | None) -> tuple[dict[str, Bounds], list[str]]:
    channels: dict[str, Bounds] = {}
    lacks: list[str] = []
    for band in held.bands:
        for name, ends in _sets(band, step):
            if band.lacks:
                lacks.append(band.lacks_words or band.lacks)
            told: dict[str, Any] = {
                end: getattr(band, of)
                for end, of in zip(ends, BAND_ENDS, strict=True)
                if end and getattr(band, of) is not None
            }
            if band.name.startswith(STEP_RISE):
                told["over_start"] = True
            channels[name] = replace(channels.get(name, Bounds()), **told)
    return channels, lacks


def _sets(band: BandLine, step: int | None) -> Iterator[tuple[str, tuple[str, str, str, str]]]:
    if band.name.startswith(STEP_RISE):
        if band.step == step:
            yield BAND_CHANNELS["nose_rise"]
    elif band.name in BAND_CHANNELS:
        name, ends = BAND_CHANNELS[band.name]
        if band.name == "motor_amps":
            for point in band.points or ("",):
                yield (f"{name}:{point}" if point else name), ends
        else:
            yield name, ends


def _over(usual: Bounds, own: Bounds) -> Bounds:
    """The stage's own bounds, and the usual ones where it sets none."""
    empty = Bounds()
    said = {
        spec.name: getattr(own, spec.name)
        for spec in fields(own)
        if getattr(own, spec.name) != getattr(empty, spec.name)
    }
    return replace(usual, **said)


def _amps(bounds: Bounds, known: Known, stage: str, expected_a: float | None) -> Bounds:
    rated = known.number(SPINDLE_AMPS, "A")
    made = replace(bounds, rated=rated, baseline=expected_a)
    if made.abort_high is None and expected_a is not None and rated is None:
        made = replace(made, expected_high=EXPECTED_TIMES * expected_a,
                       abort_high=ABORT_TIMES * expected_a)  # fmt: skip
    return made
