"""Two at once: what met something its writer had not seen is kept aside until somebody decides."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from itertools import count
from typing import Any, Literal, Unpack

from retrue.base.refusals import Unknown
from retrue.records.facts import Fact, Withdrawn
from retrue.records.hand import Hand
from retrue.records.knowing import Met
from retrue.records.meeting import SetAside
from retrue.records.packing import KINDS, unpack, written
from retrue.records.shop import Record, RecordShop

NOT_SAID = frozenset({"observed_at"})  # of a form: sent at once or late, it says the same
PLACED = ("lot", "machine", "set", "cell", "what", "item", "line", "name")
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
    fact = SetAside(
        of=tuple(record.id for record, _ in met),
        kinds=tuple(wanted.KIND for _, wanted in met),
        wanted=tuple(written(wanted) for _, wanted in met),
        path=path,
        form=tuple(form),
        late=late,
    )
    mine = hand.copy()
    if "id" in mine:
        mine["id"], sent = _place(shop, fact)
        if sent is not None:
            return sent
        fact = _sendable(shop, fact, hand["id"])
    return shop.add(fact, **mine)


def _place(shop: RecordShop, fact: SetAside) -> tuple[str, Record[SetAside] | None]:
    """The id of one sending, made of all it says; and what was set aside under it already."""
    said = [pair for pair in fact.form if pair[0] not in NOT_SAID]
    text = json.dumps([fact.path, fact.kinds, fact.wanted, said], ensure_ascii=False)
    stem = f"aside.{hashlib.sha256(text.encode()).hexdigest()[:48]}"
    for place in count():
        id = f"{stem}.{place}" if place else stem
        try:
            newest = shop.history(id)[-1]
        except Unknown:
            return id, None
        if isinstance(newest.fact, SetAside):
            return id, newest
    raise AssertionError  # it counts on until a place is free


def _sendable(shop: RecordShop, fact: SetAside, id: str) -> SetAside:
    """The same without the id of its form, where something else was sent under that already."""
    others = shop.current(SetAside, path=fact.path)
    taken = any(("id", id) in one.fact.form for one in others) or _other(shop, fact, id)
    return replace(fact, form=tuple(one for one in fact.form if one[0] != "id" or not taken))


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
        _side(shop.history(of)[-1], wanted)
        for of, wanted in zip(fact.of, _wanted(fact), strict=True)
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


def _wanted(fact: SetAside) -> list[Fact]:
    return [
        unpack(kind, KINDS[kind].SCHEMA, wanted)
        for kind, wanted in zip(fact.kinds, fact.wanted, strict=True)
    ]


def _other(shop: RecordShop, fact: SetAside, id: str) -> bool:
    """Whether something else is kept under an id."""
    try:
        return shop.history(id)[0].fact not in _wanted(fact)
    except Unknown:
        return False


def settles(shop: RecordShop, aside: Record[SetAside], said: Sequence[Record[Any]]) -> bool:
    """Whether what was just said speaks of the very things that were set aside.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    aside : Record of SetAside
    said : sequence of Record
        What was kept, or stood there and says the same.

    Returns
    -------
    bool
        Each of them is of one line with one of these, or of its kind and in its place.
    """
    fact = aside.fact
    return all(
        any(_of_one(shop, of, wanted, one) for one in said)
        for of, wanted in zip(fact.of, _wanted(fact), strict=True)
    )


def _of_one(shop: RecordShop, of: str, wanted: Fact, said: Record[Any]) -> bool:
    if type(said.fact) is not type(wanted):
        return False
    if any(one.id == said.id for one in shop.history(of)):
        return True
    places = [name for name in PLACED if hasattr(wanted, name)]
    return bool(places) and all(
        getattr(wanted, name) == getattr(said.fact, name) for name in places
    )


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
