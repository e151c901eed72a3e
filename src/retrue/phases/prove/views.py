"""What the deeds of measuring give back: frozen values for page, paper and command alike."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from retrue.cases.prove.deed import Cell, Deed
from retrue.cases.prove.proof import Conditions, Proof
from retrue.kinds.library import Limit
from retrue.records.facts import Finding
from retrue.records.measuring import Instrument, OwnLimit, Reading, ReadingSet, Result
from retrue.records.shop import Record


@dataclass(frozen=True, slots=True)
class TestLine:
    """One test of one machine: what it said last, and the set that is not finished yet."""

    __test__ = False  # it is not a test of pytest's

    deed: Deed
    last: Record[Result] | None
    open_set: Record[ReadingSet] | None
    provisional: str


@dataclass(frozen=True, slots=True)
class BenchView:
    """All tests of one machine, the daily five first; ``level`` says why it is not level."""

    lot: str
    machine: str
    machine_name: str
    lines: tuple[TestLine, ...]
    next: TestLine
    level: str


@dataclass(frozen=True, slots=True)
class SetView:
    """A set of readings as it stands: its form, what is typed, and which number comes next.

    Attributes
    ----------
    record : Record of ReadingSet
        The newest of its line.
    deed : Deed
        Its test.
    options : mapping
        As values, defaults filled in.
    cells : tuple of Cell
        Of its form; none where a whole file was kept.
    values : mapping of str to str
        Text by cell id.
    next : Cell or None
        The first one without a number.
    done : int
        Cells with a number.
    provisional : str
        Why nothing is judged yet, or empty.
    instrument : Instrument or None
        With what it is read.
    conditions : Conditions
        Limit and doubt.
    limit_id : str
        Of the table of limits; empty where it has none.
    warnings : tuple of str
        Of the instrument and of the order of work; they stand in the proof as well.
    checked : bool
        The instrument has a certificate and was not past its due date.
    """

    record: Record[ReadingSet]
    deed: Deed
    options: Mapping[str, Any]
    cells: tuple[Cell, ...]
    values: Mapping[str, str]
    next: Cell | None
    done: int
    provisional: str
    instrument: Instrument | None
    conditions: Conditions
    limit_id: str
    warnings: tuple[str, ...] = ()
    checked: bool = False


@dataclass(frozen=True, slots=True)
class Kept:
    """A reading as kept; or the question that comes before it is kept."""

    record: Record[Reading] | None
    question: str


@dataclass(frozen=True, slots=True)
class Judgement:
    """What a set says, the record of it, and what the belief has not learned from it yet."""

    proof: Proof
    record: Record[Result]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One line of the table of limits, with the owner's word on it."""

    limit: Limit
    own: Record[OwnLimit] | None
    value: float
    mark: str


@dataclass(frozen=True, slots=True)
class InstrumentLine:
    """One instrument, and the tests it serves; ``id`` is what a set names it by."""

    id: str
    record: Record[Instrument]
    serves: tuple[Deed, ...]
