"""What the pictures of first power show, as plain values; the drawing itself is made elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from retrue.base.refusals import Unusable
from retrue.base.say import say

RungState = Literal["signed", "begun", "open", "closed", "aborted", "strip"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """One other channel of a watch over the same minutes: current, pressure, sound."""

    name: str  # spindle current
    unit: str  # A
    minutes: tuple[float, ...]
    values: tuple[float, ...]
    expected_low: float | None = None
    expected_high: float | None = None
    abort_low: float | None = None
    abort_high: float | None = None

    def __post_init__(self) -> None:
        _same(self.name, self.minutes, self.values)


@dataclass(frozen=True, slots=True, kw_only=True)
class WarmUpDrawing:
    """A temperature that was read, the curve it follows, and the limits written before."""

    minutes: tuple[float, ...]  # since the start
    temperature_c: tuple[float, ...]
    fit_minutes: tuple[float, ...] = ()  # may reach past the last reading; empty: not fitted
    fit_c: tuple[float, ...] = ()
    fit_low_c: tuple[float, ...] = ()  # lower and upper edge of the curve, k = 2
    fit_high_c: tuple[float, ...] = ()
    settles_c: float | None = None  # None: the readings do not tell yet
    settles_give_or_take_k: float | None = None  # k = 2
    settles_minutes: float | None = None  # when it is as good as there
    room_c: float | None = None
    expected_high_c: float | None = None  # upper end of the band written before
    abort_c: float | None = None  # a reading over it ends the stage
    called: tuple[tuple[float, str], ...] = ()  # minute, one or two words: stop, step down
    gaps: tuple[tuple[float, float], ...] = ()  # minutes without a reading
    others: tuple[Trace, ...] = ()  # drawn below, in this order
    what: str = ""  # spindle nose
    starts: str = ""  # when the first minute was, as a person reads it

    def __post_init__(self) -> None:
        _same(self.what, self.minutes, self.temperature_c)
        _same(self.what, self.fit_minutes, self.fit_c)
        for edge in (self.fit_low_c, self.fit_high_c):
            if edge:
                _same(self.what, self.fit_minutes, edge)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """One stage of the ladder."""

    stage: str  # P3-V
    title: str
    state: RungState
    live: bool = False  # a licensed electrician's
    when: str = ""  # signed on
    by: str = ""  # signed by
    wants: int = 0  # how many items keep it closed


@dataclass(frozen=True, slots=True, kw_only=True)
class LadderDrawing:
    """The stages of first power, the first one first."""

    rungs: tuple[Rung, ...]
    next: str = ""  # the stage that comes now; empty: none
    machine: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunInRung:
    """One step of a run-in table."""

    number: int
    speed_share: float  # of the highest speed, 0 to 1
    minutes: float  # at least
    rise_k: float | None = None  # the nose may rise by so much over the room
    speed_rpm: float | None = None  # None: the highest speed is not known
    state: Literal["held", "stepped_down", "now", "to_come"] = "to_come"


@dataclass(frozen=True, slots=True, kw_only=True)
class RunInDrawing:
    """A run-in table as a stair of speed over minutes."""

    steps: tuple[RunInRung, ...]
    what: str = ""  # spindle, X axis
    machine: str = ""

    def __post_init__(self) -> None:
        numbers = [step.number for step in self.steps]
        if any(later <= earlier for earlier, later in pairwise(numbers)):
            raise Unusable(
                say("the steps of {what} are out of order", what=self.what or say("the run-in")),
                remedy=say("Give each step once, the lowest number first."),
            )


WakeDrawing = WarmUpDrawing | LadderDrawing | RunInDrawing


def _same(what: str, first: tuple[float, ...], second: tuple[float, ...]) -> None:
    if len(first) != len(second):
        raise Unusable(
            say("{what}: {first} minutes stand beside {second} values",
                what=what or say("the picture"), first=len(first), second=len(second)),
            remedy=say("Give each reading its minute."),
        )  # fmt: skip
