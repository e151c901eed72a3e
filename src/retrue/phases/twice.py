"""Two at once: what met something its writer had not seen is kept aside until somebody decides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, Literal, Unpack

from retrue.base.refusals import Unknown
from retrue.records.facts import Fact, Withdrawn
from retrue.records.hand import Hand
from retrue.records.knowing import Met
from retrue.records.meeting import SetAside
from retrue.records.packing import KINDS, unpack, written
from retrue.records.shop import Record, RecordShop

LONGEST_ID = 57  # characters, so that its ending still has room
OWN = frozenset({"lot", "machine", "set", "cell"})  # where a thing is, not what is said of it


@dataclass(frozen=True, slots=True)
class Difference:
    """One field in which two say something else."""

    field: str
    mine: Any
    theirs: Any


@dataclass(frozen=True, slots=True)
class Side:
    """What stands, what was wanted in its place, and where they differ."""

    stands: Record[Any]
    wanted: Fact
    differences: tuple[Difference, ...]

    @property
    def where(self) -> tuple[str, ...]:
        """Which point of which set, where it is a reading."""
        return tuple(
            str(value) for name in ("cell",) if (value := getattr(self.wanted, name, None))
        )


@dataclass(frozen=True, slots=True)
class AsideView:
    """Something set aside, as a page shows it."""

    record: Record[SetAside]
    sides: tuple[Side, ...]


def set_aside(
    shop: RecordShop,
    met: Sequence[Met],
    *,
    path: str,
    form: Sequence[tuple[str, str]],
    late: bool,
    **hand: Unpack[Hand],
) -> Record[SetAside]:
    """Keep what could not take the place it wanted, with the form it came in.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    met : sequence of (Record, Fact)
        What stands, and what was wanted in its place.
    path : str
        Where the form goes.
    form : sequence of (str, str)
        Its fields as they were typed.
    late : bool
        It had waited on its device.
    **hand : Hand
        Who writes; with the ``id`` of the form, sent twice is set aside once.

    Returns
    -------
    Record of SetAside
        The one of this sending, decided or not.
    """
    mine = hand.copy()
    if "id" in mine:
        mine["id"] = f"{mine['id'][:LONGEST_ID]}.aside"
        try:
            return shop.history(mine["id"])[-1]
        except Unknown:
            pass
    fact = SetAside(
        of=tuple(record.id for record, _ in met),
        kinds=tuple(wanted.KIND for _, wanted in met),
        wanted=tuple(written(wanted) for _, wanted in met),
        path=path,
        form=tuple(form),
        late=late,
    )
    return shop.add(fact, **mine)


def undecided(shop: RecordShop) -> list[Record[SetAside]]:
    """All that still waits for a word, the oldest first.

    Parameters
    ----------
    shop : RecordShop
        It is only read.

    Returns
    -------
    list of Record
        Of SetAside.
    """
    return shop.current(SetAside, decided="")


def view_aside(shop: RecordShop, id: str) -> AsideView:
    """What was set aside beside what stands now, field by field where they differ.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    id : str
        Of the record, or of one it was decided by.

    Returns
    -------
    AsideView
        Record and sides; a side that says the same by now has no difference.

    Raises
    ------
    Unknown
        There is none under this id.
    """
    record: Record[SetAside] = shop.get(SetAside, shop.history(id)[-1].id)
    fact = record.fact
    sides = [
        _side(shop.history(of)[-1], unpack(kind, KINDS[kind].SCHEMA, wanted))
        for of, kind, wanted in zip(fact.of, fact.kinds, fact.wanted, strict=True)
    ]
    return AsideView(record, tuple(sides))


def decide(
    shop: RecordShop, aside: str, how: Literal["mine", "theirs"], **hand: Unpack[Hand]
) -> Record[SetAside]:
    """Say which counts; what was set aside stays readable either way.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    aside : str
        Id of what was set aside.
    how : str
        ``mine`` once its form was sent anew and kept, ``theirs`` to leave what stands.
    **hand : Hand
        Who decides.

    Returns
    -------
    Record of SetAside
        The decision; the one that was made already, where somebody else was quicker.

    Raises
    ------
    Unknown
        There is none under this id.
    """
    record: Record[SetAside] = shop.get(SetAside, shop.history(aside)[-1].id)
    if record.fact.decided:
        return record
    return shop.add(replace(record.fact, decided=how), replaces=record.id, **hand)


def _side(stands: Record[Any], wanted: Fact) -> Side:
    theirs = stands.fact
    if type(theirs) is not type(wanted):  # one of them takes it back
        gone = Difference("", _gone(wanted), _gone(theirs))
        rest = theirs if isinstance(wanted, Withdrawn) else wanted
        return Side(stands, wanted, (gone, *_told(rest, mine=rest is wanted)))
    differ = [
        Difference(one.name, getattr(wanted, one.name), getattr(theirs, one.name))
        for one in fields(wanted)
        if getattr(wanted, one.name) != getattr(theirs, one.name)
    ]
    return Side(stands, wanted, tuple(differ))


def _gone(fact: Fact) -> bool:
    return isinstance(fact, Withdrawn)


def _told(fact: Fact, *, mine: bool) -> list[Difference]:
    """All that the one that is not a withdrawal says."""
    said = [
        (one.name, value)
        for one in fields(fact)
        if (value := getattr(fact, one.name)) not in (None, "", ()) and one.name not in OWN
    ]
    return [
        Difference(name, value, None) if mine else Difference(name, None, value)
        for name, value in said
    ]
