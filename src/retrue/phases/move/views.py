"""What the deeds of moving give back: frozen values for page, paper and command alike."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from retrue.base.refusals import Problem
from retrue.cases.move.damage import DamageDates
from retrue.cases.move.steps import Step
from retrue.cases.reckon.kept import MethodStands
from retrue.cases.reckon.reckoning import Reckoning
from retrue.records.moving import Arrived, DataCopy, LaidUp, MoveStep, Round
from retrue.records.shop import Record
from retrue.science.damp import MARGIN_KELVIN


@dataclass(frozen=True, slots=True)
class DataLine:
    """One sort of data: is it saved, and was it read back."""

    sort: str
    name: str
    record: Record[DataCopy] | None
    must: bool
    done: bool


@dataclass(frozen=True, slots=True)
class StepLine:
    """One step: done by whom, or what it waits for."""

    step: Step
    record: Record[MoveStep] | None
    waits: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole move of one machine."""

    machine: str
    lot: str
    methods: tuple[MethodStands, ...]
    data: tuple[DataLine, ...]
    steps: tuple[StepLine, ...]
    answer: Literal["go", "no_go", "get_first"]
    headline: str
    cautions: tuple[tuple[str, str], ...]  # text, defers to
    next: str  # one act

    def reckoned(self) -> Mapping[str, Reckoning]:
        """The answers by calculator."""
        return {one.method.id: one.reckoning for one in self.methods}


@dataclass(frozen=True, slots=True)
class SideShots:
    """Photographs of one side: the seller's, on the truck, on the floor."""

    side: str
    name: str
    on_truck: tuple[str, ...]
    on_floor: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Arrival:
    """How it came: photographs beside the seller's, the damage note, its last day."""

    machine: str
    lot: str
    record: Record[Arrived] | None
    sides: tuple[SideShots, ...]
    sellers: tuple[str, ...]
    dates: DamageDates | None  # None where there is no damage
    days_left: int | None

    @property
    def term_known(self) -> bool:
        """Whether the days to write are known; where they are not, one writes today."""
        return self.dates is None or self.dates.term_known

    @property
    def last_day(self) -> str | None:
        """The day by which the carrier is written to, ISO."""
        return self.dates.write_by.isoformat() if self.dates else None


@dataclass(frozen=True, slots=True)
class RoundLine:
    """One round that was made."""

    record: Record[Round]
    when: datetime
    margin_kelvin: float | None
    dew_c: float | None


@dataclass(frozen=True, slots=True)
class Rest:
    """A machine at rest: rounds made and due, its cell, the damp."""

    record: Record[LaidUp] | None
    rounds: tuple[RoundLine, ...]
    due_on: str | None  # ISO date of the next round
    overdue_days: int  # 0 where it is not
    cell_until_on: str | None  # ISO date by which the cell is to be changed
    reckoning: Reckoning
    logs: tuple[str, ...]  # ids of kept logs, newest last
    cell_counts: bool  # what is printed on the cell is known: its volts are a finding

    @property
    def near_kelvin(self) -> float | None:
        """Iron over the dew point at the last round that read it, where that is too little."""
        read = [one.margin_kelvin for one in self.rounds if one.margin_kelvin is not None]
        return read[-1] if read and read[-1] < MARGIN_KELVIN else None
