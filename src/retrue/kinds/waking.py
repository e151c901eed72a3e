"""What a kind says of first power: its stages, what each should read, the run-in steps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Taker = Literal["competent", "electrician"]
RunInLadder = Literal["spindle", "axis"]


@dataclass(frozen=True, slots=True)
class Bound:
    """One end of a band: a number, or a share of a value of the plate or of an earlier reading.

    Attributes
    ----------
    of : str
        Id of the plate's table (N04) or name of a reading (line_volts); empty: a bare number.
    times : float
        Its share.
    plus : float
        Added to it; of a bare number, the number.

    Examples
    --------
    >>> Bound("N04", 0.95).at(400.0), Bound(plus=0.1).at(None)
    (380.0, 0.1)
    """

    of: str = ""
    times: float = 0.0
    plus: float = 0.0

    def at(self, base: float | None) -> float | None:
        """The bound for a value of what it is a share of; None where that is not known.

        Examples
        --------
        >>> Bound("N06", 1.0, -0.5).at(50.0), Bound("N06", 1.0, -0.5).at(None)
        (49.5, None)
        """
        if not self.of:
            return self.plus
        return None if base is None else self.times * base + self.plus


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One stage of first power: what must be so before it, who may, and what makes it stop."""

    id: str  # P3-V
    stage: str  # P3
    title: str
    energises: str
    live: bool  # work on live circuits: only why, who, what is handed back
    licensed: bool  # signed with a licence
    who: str
    alone: bool  # may be done with nobody at the main switch
    alone_instead: str  # what can be done where nobody stands there
    faults: tuple[str, ...]  # cleared, cured and looked at again, or not fitted
    checks: tuple[str, ...]  # looks that must have passed
    jobs: tuple[str, ...]  # jobs that must be done
    part_of: tuple[str, ...] = ()  # jobs that this stage is a part of
    touches: tuple[str, ...] = ()  # subsystems it could hurt
    cautions: tuple[str, ...] = ()
    why: str = ""  # of live work
    needs: tuple[str, ...] = ()  # what must be so, in words; nothing for live work
    abort_limits: tuple[str, ...] = ()
    on_abort: tuple[str, ...] = ()
    hands_back: tuple[str, ...] = ()
    leave_it: tuple[str, ...] = ()
    watch: bool = False  # begun only beside a watch, with its alarm heard or with paper
    optional: bool = False  # a machine may not have what it wakes
    choices: Mapping[str, str] = field(default_factory=dict)  # one of them is said and kept
    pieces_hours: tuple[float, ...] = ()  # attended, one after the other
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageBand:
    """What one reading of a stage should be, and outside of what the stage ends."""

    stage: str
    name: str  # line_volts
    words: str
    unit: str
    expected_low: Bound | None = None
    expected_high: Bound | None = None
    abort_low: Bound | None = None
    abort_high: Bound | None = None
    taken_by: Taker = "competent"
    points: tuple[str, ...] = ()  # where it is read, each of them
    least: int = 0  # at how many places, each by its name: motors, metal parts; 0: once is enough
    each: tuple[str, ...] = ()  # a word that one of those places has in its name, each of them
    hold: bool = False  # signed only inside the expected band
    hard: bool = False  # without its plate value the stage is not begun
    measure: str = ""  # what the reading is a finding of as well
    away_from: str = ""  # that finding is how far it is from this plate value, in per cent
    if_stamped: str = ""  # only where this plate value is known
    unless_stamped: str = ""  # only where it is not
    for_choice: str = ""  # only for this choice of its stage
    without: tuple[str, ...] = ()  # dropped where none of these faults can be: not fitted
    note: str = ""
    mark: str = ""


Bands = tuple[StageBand, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunInStep:
    """One step of a run-in: how fast, how long, and how far the nose may climb."""

    id: str  # spindle_3
    ladder: RunInLadder
    stage: str  # P8
    step: int
    percent: float  # of the highest spindle speed, or of the rapid of an axis
    minutes: float
    rise_k: float | None = None  # the nose over its start, expected
    abort_rise_k: float | None = None  # outside it the step ends
    text: str = ""
    mark: str = ""
