"""What the deeds of fault-finding give back: frozen values for page, paper and command alike."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any, Literal

from retrue.kinds.library import Symptom
from retrue.records.seeking import PartMoved, Trouble
from retrue.records.shop import Record

TriedSort = Literal["trouble", "hunch", "look", "act", "trial", "part_moved", "signed", "teardown"]


@dataclass(frozen=True, slots=True)
class TroubleLine:
    """One trouble of a machine.

    Attributes
    ----------
    id : str
        Of its first record: what hunches, acts and trials name it by.
    record : Record of Trouble
        The newest of its line.
    symptom : Symptom or None
        None where the kind does not have it any more.
    met : bool
        Tried last, it did it no more.
    tries : int
        How often it was tried again.
    """

    id: str
    record: Record[Trouble]
    symptom: Symptom | None
    met: bool
    tries: int

    @property
    def words(self) -> str:
        """The owner's own words, else those of the list."""
        return self.record.fact.words or (
            self.symptom.words if self.symptom else self.record.fact.symptom
        )


@dataclass(frozen=True, slots=True)
class TriedLine:
    """One line of what was tried: a look, an act, a try, a part that moved, a signature.

    Attributes
    ----------
    id : str
        Of the first record of its line.
    sort : str
        Which sort of thing it is.
    when : datetime
        The device's claim, of the first record: when it happened.
    who : str
        Whose hand; an informant where one said it.
    what, expected, seen, decided, bought : str
    money : Decimal or None
        In the shop's currency.
    hours : float or None
    needed : bool or None
        Whether it was needed after all; None: nobody has said.
    pictures : tuple of str
        Ids or SHA-256 of photographs.
    record : Record
        The newest of its line.
    corrected : bool
        It replaces what was said first.
    """

    id: str
    sort: TriedSort
    when: datetime
    who: str
    what: str
    expected: str
    seen: str
    decided: str
    money: Decimal | None
    hours: float | None
    bought: str
    needed: bool | None
    pictures: tuple[str, ...]
    record: Record[Any]
    corrected: bool = False


@dataclass(frozen=True, slots=True)
class NotNeeded:
    """What was bought or done and was not needed, with its sum."""

    lines: tuple[TriedLine, ...]
    money: Decimal
    hours: float


@dataclass(frozen=True, slots=True)
class SerialLine:
    """Where the part with one serial number is now; machines by name."""

    serial: str
    part: str
    lot: str
    machine: str
    slot: str
    since: datetime
    came_from: str  # "mill, X"
    record: Record[PartMoved]
