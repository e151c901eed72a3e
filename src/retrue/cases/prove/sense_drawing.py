"""What the pictures of sound and vibration show, as plain values."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

from retrue.base.refusals import Unusable
from retrue.base.say import say


@dataclass(frozen=True, slots=True, kw_only=True)
class BandLevels:
    """The levels of one recording, band by band."""

    name: str  # before, after, background
    level_db: tuple[float | None, ...]  # None: nothing was in that band
    level_a_db: float | None = None  # of all bands together


@dataclass(frozen=True, slots=True, kw_only=True)
class BandsDrawing:
    """Octave or third-octave bands of one or two recordings at the same place."""

    nominal_hz: tuple[float, ...]  # 31.5, 40, 50 ..., rising
    series: tuple[BandLevels, ...]  # before first, after second
    thirds: bool = True  # False: octaves
    weighting: Literal["A", "C", "Z"] = "Z"  # of the levels drawn
    calibrated: bool = False  # against a known level; else indicative
    point: str = ""  # where it was measured
    state: str = ""  # idle, cutting, covers off

    def __post_init__(self) -> None:
        for one in self.series:
            if len(one.level_db) != len(self.nominal_hz):
                raise Unusable(
                    say("{name}: {levels} levels stand beside {bands} bands", name=one.name,
                        levels=len(one.level_db), bands=len(self.nominal_hz)),
                    remedy=say("Give each band its level, or none."),
                )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedLine:
    """A line that a defect would draw in a spectrum, and what was found there."""

    name: str  # outer race, shaft, belt
    expected_hz: float
    low_hz: float | None = None  # with slip it may lie from ... to ...
    high_hz: float | None = None
    found_hz: float | None = None
    score_db: float | None = None  # above its neighbourhood
    order: int = 1  # of a multiple: 2 is twice the frequency


@dataclass(frozen=True, slots=True, kw_only=True)
class SpectrumDrawing:
    """A spectrum or envelope spectrum with the lines that were expected."""

    frequency_hz: tuple[float, ...]  # rising
    amplitude: tuple[float, ...]  # in ``unit``
    unit: str = "m/s²"
    sort: Literal["spectrum", "envelope"] = "spectrum"
    before: tuple[float, ...] = ()  # own baseline at the same frequencies; empty: none
    lines: tuple[ExpectedLine, ...] = ()
    named: tuple[str, ...] = ()  # names of lines the conclusion rests on; drawn full
    conclusion: str = ""  # in words: not conclusive
    point: str = ""
    speed_rpm: float | None = None

    def __post_init__(self) -> None:
        for values in (self.amplitude, self.before or self.amplitude):
            if len(values) != len(self.frequency_hz):
                raise Unusable(
                    say("{lines} frequencies stand beside {values} amplitudes",
                        lines=len(self.frequency_hz), values=len(values)),
                    remedy=say("Give each frequency its amplitude."),
                )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class BeforeAfter:
    """One quantity at one place, before and after something was done."""

    name: str  # level at the operator's ear
    unit: str  # dB(A)
    before: float | None
    after: float | None
    before_give_or_take: float | None = None  # k = 2; None: not known
    after_give_or_take: float | None = None
    digits: int = 1
    better: Literal["less", "more"] = "less"  # light: more
    again: float | None = None  # of the difference, where one instrument read both; k = 2
    difference: float | None = field(init=False)  # after less before
    give_or_take: float | None = field(init=False)  # of it: that, else both taken independent
    told: Literal["better", "worse", "cannot_tell", "unknown"] = field(init=False)

    @property
    def difference_unit(self) -> str:
        """A difference of weighted levels is in decibels and nothing else."""
        return "dB" if self.unit.startswith("dB") else self.unit

    def __post_init__(self) -> None:
        difference = off = None
        if self.before is not None and self.after is not None:
            difference = self.after - self.before
        first, second = self.before_give_or_take, self.after_give_or_take
        if difference is not None and self.again is not None:
            off = self.again
        elif difference is not None and first is not None and second is not None:
            off = math.hypot(first, second)
        object.__setattr__(self, "difference", difference)
        object.__setattr__(self, "give_or_take", off)
        object.__setattr__(self, "told", _told(difference, off, self.better))


SenseDrawing = BandsDrawing | SpectrumDrawing


def _told(
    difference: float | None, off: float | None, better: Literal["less", "more"]
) -> Literal["better", "worse", "cannot_tell", "unknown"]:
    """A difference inside its own doubt is none."""
    if difference is None:
        return "unknown"
    if off is None or abs(difference) <= off:
        return "cannot_tell"
    return "better" if (difference < 0) == (better == "less") else "worse"
