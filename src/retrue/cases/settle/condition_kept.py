"""Everything a condition record asks of one machine, read once."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property
from typing import Any

from retrue.base.say import say
from retrue.cases.find.off import stays_off
from retrue.cases.kept_case import line_of
from retrue.cases.settle.record_lines import FACT, MEASURED, Claim
from retrue.cases.spot import Spot
from retrue.cases.wake.kept import PowerKept, power_kept
from retrue.kinds.library import Kind
from retrue.records.by_lot import SETTLED, ByLot
from retrue.records.facts import File, Finding, Lot, Machine, Note, Plate
from retrue.records.fixing import CardMarked, Out, OutEnded
from retrue.records.measuring import Instrument, Reading, ReadingSet, Result
from retrue.records.moving import Arrived, DataCopy, LaidUp
from retrue.records.seeking import Act, PartMoved, Trouble
from retrue.records.settling import Included, Posting
from retrue.records.shop import Record, RecordShop
from retrue.records.stripping import AsFound, Cleaned, PutBack, Taken
from retrue.records.waking import Sensed, SensedResult, WatchCalled, WatchReadings

OF_MACHINE: tuple[type[Any], ...] = (
    Act, AsFound, Arrived, CardMarked, Cleaned, DataCopy, File, Included, LaidUp, Note, Out,
    PutBack, Result, ReadingSet, Sensed, SensedResult, Taken, Trouble,
)  # fmt: skip
OF_SHOP: tuple[type[Any], ...] = (Instrument, PartMoved)
WORK: tuple[type[Any], ...] = (Act, Cleaned, Taken)
LOOKING = ("observe", "measure", "call_for_help")
TOLD, PHOTO, FILM = 0, 1, 2
SELLER = "seller"  # what he is called where nobody named him


@dataclass(frozen=True, kw_only=True, eq=False)
class RecordKept:
    """What a shop keeps of one machine, for its condition record.

    Attributes
    ----------
    power : PowerKept
        With its case, its standing, the stages of first power.
    sellers : frozenset of str
        Whoever sold the lot, by every name that was ever kept of him.
    by_kind : mapping of type to tuple of Record
        Records of the machine that count, oldest first.
    firsts : mapping of str to str
        Of a newest record the id of the first one of its line.
    names : mapping of str to str
        Of machines by their keys.
    plates : tuple of Record
    readings : tuple of Record
        Of its sets.
    off : tuple of str
        In words: what it does that means "switch it off", and is not cleared.
    measured : mapping of str to int
        By the first id of a set of readings: number of the oldest record of what was read.
    unsaid : tuple of Record
        What was said of guards by records that something else has replaced since.
    pictured : frozenset of str
        Stamped values, as entry and value, that were once typed from a picture.
    """

    power: PowerKept
    sellers: frozenset[str]
    by_kind: dict[type[Any], tuple[Record[Any], ...]]
    firsts: dict[str, str]
    names: dict[str, str]
    plates: tuple[Record[Plate], ...]
    readings: tuple[Record[Reading], ...]
    off: tuple[str, ...]
    measured: dict[str, int] = field(default_factory=dict)
    unsaid: tuple[Record[Included], ...] = ()
    pictured: frozenset[tuple[str, str]] = frozenset()

    @property
    def spot(self) -> Spot:
        """Which machine."""
        return self.power.spot

    @property
    def kind(self) -> Kind:
        """Of the machine."""
        return self.power.kind

    def of(self, kind: type[Any]) -> tuple[Record[Any], ...]:
        """Records of one sort, oldest first."""
        return self.by_kind.get(kind, ())

    def first(self, record: Record[Any]) -> str:
        """What other records name it by."""
        return self.firsts.get(record.id, record.id)

    @cached_property
    def findings(self) -> tuple[Record[Finding], ...]:
        """Findings of this machine, and of the lot as a whole, oldest first."""
        mine = (one for one in self.power.findings.values() if self._mine(one.fact))
        return tuple(sorted(mine, key=lambda one: (one.observed_at, one.seq)))

    def _mine(self, finding: Finding) -> bool:
        return finding.machine in (self.spot.machine, None)

    @property
    def begun(self) -> datetime | None:
        """When the first work on it was done; None while nothing was."""
        work = [one for kind in WORK for one in self.of(kind) if worked(one.fact)]
        return min((one.observed_at for one in work), default=None)

    @property
    def stood(self) -> int | None:
        """Number of the first record by which somebody of the shop stood at it; None: of none."""
        own = [one.seq for one in self.findings if self.grade(one.fact) >= FACT]
        work = [one.seq for kind in WORK for one in self.of(kind) if worked(one.fact)]
        lines = [one.seq for one in self.of(AsFound) if one.fact.state == "done"]
        came = [one.seq for one in self.of(Arrived)]
        return min([*own, *work, *lines, *came], default=None)

    def grade(self, finding: Finding) -> int:
        """The grade that a finding is worth here.

        A picture stays a picture, a telephone call a call, and the word of anybody else a word,
        whatever grade was typed beside it. A finding names no instrument: it is measured at most.
        """
        if finding.channel == "photo":
            return finding.grade if finding.grade <= FILM else PHOTO
        if finding.channel == "call" or bare(finding.informant or ""):
            return TOLD
        return min(finding.grade, MEASURED)

    def claim(self, record: Record[Finding], what: str) -> Claim:
        """A finding as a claim, with the grade it is worth."""
        fact = record.fact
        other = bare(fact.informant or "")
        by = (fact.informant or "").strip() if other else record.by
        if other and other in self.sellers:
            by = say("whoever sold it before")
        return Claim(what=what, grade=self.grade(fact), by=by, on=day_of(record))


def worked(fact: object) -> bool:
    """Whether something was done to the machine, not only looked at.

    Parameters
    ----------
    fact : object

    Returns
    -------
    bool

    Examples
    --------
    >>> worked(Act(lot="l", machine="m", sort="measure")), worked(Act(lot="l", machine="m",
    ...        sort="clean"))
    (False, True)
    """
    return not (isinstance(fact, Act) and fact.sort in LOOKING)


def day_of(record: Record[Any]) -> str:
    """The day a record speaks of.

    Parameters
    ----------
    record : Record of Any

    Returns
    -------
    str
    """
    return record.observed_at.date().isoformat()


# Beside what is of the lot: names of other machines, what came over from other lots.
ELSEWHERE: tuple[type[Any], ...] = (Lot, Machine, Posting, *OF_SHOP)
HELD: ByLot[RecordKept] = ByLot(
    (*SETTLED, Reading, SensedResult, WatchCalled, WatchReadings), most=8
)


def record_kept(shop: RecordShop, spot: Spot, kind: Kind) -> RecordKept:
    """Read everything once, until one of its records changes.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    kind : Kind
        Of that machine.

    Returns
    -------
    RecordKept
    """
    told = (id(kind), spot.lot_name, spot.name, shop.marks(ELSEWHERE))
    (kept,) = HELD.of(shop, (spot.lot,), told, lambda _: _read(shop, spot, kind), spot.machine)
    return kept


def _read(shop: RecordShop, spot: Spot, kind: Kind) -> RecordKept:
    power = power_kept(shop, spot, kind)
    here = {"lot": spot.lot, "machine": spot.machine}
    by_kind = {sort: tuple(shop.current(sort, **here)) for sort in OF_MACHINE}
    by_kind |= {sort: tuple(shop.current(sort)) for sort in OF_SHOP}
    by_kind[OutEnded] = tuple(shop.current(OutEnded, lot=spot.lot))
    by_kind[Posting] = tuple(shop.current(Posting, sort="moved"))
    sets = {line_of(shop, one).first.id: one for one in by_kind[ReadingSet]}
    readings = {id: tuple(shop.current(Reading, set=id)) for id in sorted(sets)}
    every = [one for group in by_kind.values() for one in group if one.replaces]
    return RecordKept(
        power=power,
        sellers=_sellers(shop, spot.lot),
        by_kind=by_kind,
        firsts={one.id: line_of(shop, one).first.id for one in every},
        names=_names(shop),
        plates=tuple(shop.current(Plate, machine=spot.machine)),
        readings=tuple(one for group in readings.values() for one in group),
        off=_off(power),
        measured={
            id: min((read.seq for read in readings[id]), default=line_of(shop, one).first.seq)
            for id, one in sets.items()
        },
        unsaid=_unsaid(shop, by_kind[Included]),
        pictured=_pictured(shop, spot.machine),
    )


def _sellers(shop: RecordShop, lot: str) -> frozenset[str]:
    """Every name that the seller of a lot ever had, and the word for him."""
    every: list[Record[Lot]] = shop.history(lot)
    return frozenset({bare(one.fact.seller) for one in every} | {SELLER}) - {""}


def _unsaid(
    shop: RecordShop, included: tuple[Record[Included], ...]
) -> tuple[Record[Included], ...]:
    """What was said of a guard, where its record now speaks of something else."""
    gone = []
    for newest in included:
        if not newest.replaces:
            continue
        for old in shop.history(newest.id)[:-1]:
            if not isinstance(old.fact, Included):  # taken back, and brought back since
                continue
            same = newest.fact.sort == "guard" and bare(newest.fact.what) == bare(old.fact.what)
            if old.fact.sort == "guard" and not same:
                gone.append(old)
    return tuple(gone)


def _pictured(shop: RecordShop, machine: str) -> frozenset[tuple[str, str]]:
    plates = [one for kept in shop.current(Plate, machine=machine) for one in _line(shop, kept)]
    return frozenset((one.fact.entry, bare(one.fact.value)) for one in plates if one.fact.picture)


def _line(shop: RecordShop, record: Record[Plate]) -> list[Record[Plate]]:
    if not record.replaces:
        return [record]
    return [one for one in shop.history(record.id) if isinstance(one.fact, Plate)]


def bare(text: str) -> str:
    """Words without capitals and double blanks.

    Parameters
    ----------
    text : str

    Returns
    -------
    str

    Examples
    --------
    >>> bare(" Caretaker ")
    'caretaker'
    """
    return " ".join(text.casefold().split())


def _names(shop: RecordShop) -> dict[str, str]:
    every = [line_of(shop, one) for one in shop.current(Machine)]
    return {line.first.id: line.newest.fact.name for line in every}


def _off(power: PowerKept) -> tuple[str, ...]:
    told = []
    for one in stays_off(power.case, power.state):
        words = getattr(one.event, "words", "")
        symptom = power.kind.symptoms.get(getattr(one.event, "symptom", ""))
        told.append(words or (symptom.words if symptom else ""))
    return tuple(told)


def named(record: Record[Finding], kept: RecordKept) -> Finding:
    """A finding with its machine by name, as words are made of it.

    Parameters
    ----------
    record : Record of Finding
    kept : RecordKept

    Returns
    -------
    Finding
    """
    return replace(record.fact, machine=kept.spot.name if record.fact.machine else None)
