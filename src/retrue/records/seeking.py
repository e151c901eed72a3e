"""The facts of fault-finding: what it does, what was tried, what moved, what was signed."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar, Literal

Level = Literal["", "just_running", "right", "like_new"]
ActSort = Literal[
    "clean", "adjust", "repair", "replace", "send_out", "call_for_help", "observe", "measure"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """What a machine does, in its owner's words; met when its own look passes (a Trial)."""

    KIND: ClassVar[str] = "trouble"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    symptom: str  # id of the kind's list, Y01
    words: str = ""  # the owner's own
    comes_and_goes: bool = False  # it does not show at every try
    picture: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Hunch:
    """'I think it is ...': an informant's word on one fault."""

    KIND: ClassVar[str] = "hunch"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    trouble: str
    fault: str
    informant: str | None = None  # None: myself
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """Tried again: whether it still does it, or whether a group is right at a level."""

    KIND: ClassVar[str] = "trial"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    trouble: str | None = None  # exactly one of trouble and group
    group: str | None = None  # id of the kind's groups
    level: Level = ""  # with a group: the level it was held against
    passes: bool
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """Something done to the machine: expected, seen, decided, paid, needed or not."""

    KIND: ClassVar[str] = "act"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    trouble: str | None = None
    sort: ActSort
    fault: str | None = None  # what it was to put right
    way: str = ""  # of the fault's ways: clean, adjust, repair, replace, second_hand, ...
    job: str | None = None  # or a base job or cleaning pass: J07
    cures: float | None = None  # chance that it cured, where it is not the table's
    expected: str = ""
    seen: str = ""
    decided: str = ""
    pictures: tuple[str, ...] = ()  # files by SHA-256
    money: Decimal | None = None
    hours: float | None = None
    days: float | None = None
    bought: str = ""  # what was bought for it
    needed: bool | None = None  # was it needed after all


@dataclass(frozen=True, slots=True, kw_only=True)
class PartMoved:
    """A part went from one slot to another, with its serial number: swap, donor, or back."""

    KIND: ClassVar[str] = "part_moved"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str  # where it now is
    slot: str
    from_machine: str
    from_slot: str
    part: str  # id of the kind's parts that can be swapped
    serial: str
    other_serial: str = ""  # what went the other way; empty: a donor part, nothing went back
    why: Literal["swap", "donor", "back"] = "swap"
    same_type: bool = False  # type, rating, settings read on both plates
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Signed:
    """A stop point signed: from here on, looks and steps of this stage are open."""

    KIND: ClassVar[str] = "signed"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    stage: Literal["apart", "power_up", "running"]
    name: str  # who signed
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """What was guessed of a fault before its truth was seen at teardown."""

    KIND: ClassVar[str] = "guess"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    kind: str
    fault: str
    finding: str  # id of the finding that says what was
    share: float  # guessed before it was opened
    base_rate: float  # the kind's share without any finding
    was: bool
    kind_hash: str
