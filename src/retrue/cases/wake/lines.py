"""What first power tells page, paper and command: what is closed, bands, stages, the ladder."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from retrue.base.refusals import Problem
from retrue.kinds.waking import RunInStep, Stage
from retrue.records.shop import Record
from retrue.records.waking import StageBegun, StageEnded

How = Literal["look", "cured", "not_fitted", "job", "signed", "open"]
Ruling = Literal["in", "out", "abort", "kept"]
StageState = Literal["signed", "begun", "open", "closed", "aborted", "strip"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedLine:
    """One thing that has to be closed before a stage, and by what it is.

    Attributes
    ----------
    id : str
        F86 a fault, C31 a look, J18 a job, P1-V an earlier stage, "back" what was undone, or the
        id of a trouble that keeps the machine off.
    text : str
        As a person reads it; of an open fault with the look that clears it.
    how : str
        look, cured (and looked at again), not_fitted, job, signed; open: it keeps the stage closed.
    when : datetime or None
    reading : str
        With its unit; empty where it was no number.
    by : str
    record : str or None
        What says so.
    """

    id: str
    text: str
    how: How
    when: datetime | None = None
    reading: str = ""
    by: str = ""
    record: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingLine:
    """One reading of a stage against the band that was written before."""

    record: str
    point: str
    reading: float
    unit: str
    when: datetime
    by: str
    ruling: Ruling


@dataclass(frozen=True, slots=True, kw_only=True)
class BandLine:
    """What one reading should be, outside of what the stage ends, and what was read.

    Attributes
    ----------
    name, words, unit : str
        line_volts; as a person reads it; V.
    expected_low, expected_high, abort_low, abort_high : float or None
    taken_by : str
        competent or electrician.
    lacks : str
        What is missing to tell it: an id of the plate or the name of an earlier reading.
    lacks_words : str
        The same as a person reads it.
    points : tuple of str
        Where it is read, each of them; empty: once is enough.
    least : int
        At how many places it is read, each by its name; 0: once is enough.
    hold : bool
        Signed only inside the expected band.
    hard : bool
        With what it lacks missing, the stage is not begun; else a typed band will do.
    step : int or None
        Of the run-in; None: of the whole stage.
    typed : str
        Why the band was typed, where it is not the table's.
    readings : tuple of ReadingLine
        Oldest first; at one point the newest counts.
    """

    name: str
    words: str
    unit: str
    expected_low: float | None = None
    expected_high: float | None = None
    abort_low: float | None = None
    abort_high: float | None = None
    taken_by: str = "competent"
    note: str = ""
    mark: str = ""
    lacks: str = ""
    lacks_words: str = ""
    points: tuple[str, ...] = ()
    least: int = 0
    hold: bool = False
    hard: bool = False
    step: int | None = None
    typed: str = ""
    readings: tuple[ReadingLine, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """A band that is typed before the start, where the table's cannot be told or is not right.

    Attributes
    ----------
    name : str
        Of the band: motor_amps.
    low, high : float or None
        In the unit of the band; one of them at least.
    why : str
        Where it is from: the drive's own idle figure.
    """

    name: str
    low: float | None = None
    high: float | None = None
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageStands:
    """One stage of one machine, or of a kind alone.

    Attributes
    ----------
    stage : Stage
        As the kind has it.
    state : str
        signed; begun and not signed; open: it may begin; closed; aborted: its cause is not found;
        strip: aborted twice, and nothing taken off or repaired since.
    live : bool
        Work on live circuits: only why, who, numbers and signature are told.
    who : str
    closed : tuple of ClosedLine
        What must be closed, from the records.
    wanting : tuple of Problem
        Why it may not begin, one for each open thing.
    unsigned : tuple of Problem
        Begun: what keeps it from being signed.
    bands : tuple of BandLine
        Begun: as they were written before the start.
    cautions : tuple of (id, text, defers_to)
        All of them are ticked before it begins.
    begun, ended : Record or None
        The newest that counts.
    aborts : int
        In a row, since the last signature or the last time it was taken apart.
    needs_watch : bool
        Begun only with its alarm heard, or with paper (``laptop`` false).
    step : RunInStep or None
        Which comes next, or is going on.
    step_rpm : float or None
        Its speed, where the highest speed is known.
    suspected : tuple of str
        Faults thought likely that it could hurt, each with the look that clears it.
    choice : str
        What was chosen at its start, of ``stage.choices``.
    hours : float
        Attended so far, of ``stage.pieces_hours``.
    """

    stage: Stage
    state: StageState
    live: bool
    who: str
    closed: tuple[ClosedLine, ...]
    wanting: tuple[Problem, ...]
    bands: tuple[BandLine, ...]
    cautions: tuple[tuple[str, str, str], ...]
    abort_limits: tuple[str, ...]
    on_abort: tuple[str, ...]
    alone_instead: str
    unsigned: tuple[Problem, ...] = ()
    begun: Record[StageBegun] | None = None
    ended: Record[StageEnded] | None = None
    aborts: int = 0
    needs_watch: bool = False
    step: RunInStep | None = None
    step_rpm: float | None = None
    suspected: tuple[str, ...] = ()
    choice: str = ""
    hours: float = 0.0

    @property
    def signed(self) -> bool:
        """Its stop point is signed, and nothing has come off since that opens it again."""
        return self.state == "signed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ladder:
    """All stages of one machine, or of a kind alone, and what comes next.

    Attributes
    ----------
    name, lot_name : str
        Empty for a kind alone.
    kind : str
        Its id.
    stages : tuple of StageStands
    next : StageStands or None
        The first that is not signed; None: all are.
    answer : str
        How far it is, in one sentence.
    next_act : str
        What to do now, in one sentence.
    alone : tuple of str
        What can be done with nobody at the switch.
    evening : tuple of str
        How it is left.
    cautions : tuple of (id, text, defers_to)
        That stand before everything.
    at_switch : str
        Who stands at the main switch; empty: nobody.
    """

    name: str
    lot_name: str
    kind: str
    stages: tuple[StageStands, ...]
    next: StageStands | None
    answer: str
    next_act: str
    alone: tuple[str, ...]
    evening: tuple[str, ...]
    cautions: tuple[tuple[str, str, str], ...] = ()
    at_switch: str = ""
