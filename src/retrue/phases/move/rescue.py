"""Before the plug is pulled: data saved and read back; and every step of the way, in order."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, Unpack

from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.move.steps import DATA, MUST_BE_SAVED, STEPS, waits_for
from retrue.cases.spot import Spot, find
from retrue.kinds.library import Kind
from retrue.phases.move.planning import plan
from retrue.records.facts import File, Finding, Withdrawn
from retrue.records.hand import Hand, without_id
from retrue.records.moving import DataCopy, MoveStep
from retrue.records.shop import Record, RecordShop

DATA_PLACE = "data"  # of a kept file
SAVED_LOOKS = ("C16", "C87")  # no copy known; a copy that does not match
READ_BACK = "data saved and read back"  # text of a finding that follows from the copies


def keep_copy(
    shop: RecordShop,
    lot: str,
    machine: str,
    fact: DataCopy,
    kinds: Mapping[str, Kind],
    **hand: Unpack[Hand],
) -> Record[DataCopy]:
    """Keep that one sort of data was saved, or why it could not be; the newest word counts.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    fact : DataCopy
        Its lot and machine are filled in here; with a file its checksum as well.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Record of DataCopy
        With all that must be saved read back, the looks after it are answered as well.
    """
    spot = find(shop, lot, machine, kinds)
    if fact.sort not in DATA:
        raise Unknown(
            say("{sort} is no sort of data", sort=fact.sort),
            remedy=say("Choose one of: {named}.", named=", ".join(DATA)),
        )
    placed = _placed(shop, spot, fact)
    old = [r for r in shop.current(DataCopy, machine=spot.machine) if r.fact.sort == fact.sort]
    if old and old[-1].fact == placed:
        return old[-1]
    record = shop.add(placed, replaces=old[-1].id if old else None, **hand)
    _answer_looks(shop, spot, hand)
    return record


def _placed(shop: RecordShop, spot: Spot, fact: DataCopy) -> DataCopy:
    sha256 = fact.sha256
    if fact.file is not None:
        kept = shop.get(File, fact.file)
        sha256 = kept.fact.sha256
    return replace(fact, lot=spot.lot, machine=spot.machine, sha256=sha256)


def _answer_looks(shop: RecordShop, spot: Spot, hand: Hand) -> None:
    """With everything read back, "no copy known" and "does not match" are answered: not seen."""
    if unanswer_looks(shop, spot.machine, hand):
        return
    told = {r.fact.check for r in shop.current(Finding, machine=spot.machine) if r.fact.grade >= 4}
    for check in SAVED_LOOKS:
        if spot.kind is not None and check in spot.kind.checks and check not in told:
            shop.add(
                Finding(lot=spot.lot, machine=spot.machine, check=check, answer="not_seen",
                        grade=4, channel="visit_live", text=say(READ_BACK)),
                **without_id(hand),
            )  # fmt: skip


def unanswer_looks(shop: RecordShop, machine: str, hand: Hand) -> bool:
    """Take back what followed from the copies, once they are no longer all read back.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    machine : str
        Id.
    hand : Hand
        Who did it.

    Returns
    -------
    bool
        True where a copy that must be read back is not.
    """
    copies = [record.fact for record in shop.current(DataCopy, machine=machine)]
    if {one.sort for one in copies if one.read_back}.issuperset(MUST_BE_SAVED):
        return False
    for record in shop.current(Finding, machine=machine):
        if record.fact.check in SAVED_LOOKS and record.fact.text == say(READ_BACK):
            gone = Withdrawn(of_kind=record.kind, reason=say("a copy is no longer read back"))
            shop.add(gone, replaces=record.id, **without_id(hand))
    return True


def keep_data_file(
    shop: RecordShop,
    lot: str,
    machine: str,
    content: bytes,
    name: str,
    prove: Callable[[bytes, str], Any],
    kinds: Mapping[str, Kind],
    **hand: Unpack[Hand],
) -> Record[File]:
    """Keep a data file as it came, by its hash.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    content : bytes
    name : str
        As the device calls it.
    prove : callable
        Says what the bytes are.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Record of File
    """
    spot, proved = find(shop, lot, machine, kinds), prove(content, name)
    fact = File(
        sha256=shop.keep_file(content), name=name, media_type=proved.media_type,
        size_bytes=len(content), lot=spot.lot, machine=spot.machine, place=DATA_PLACE,
        taken=proved.taken,
    )  # fmt: skip
    return shop.add(fact, **hand)


def read_back(
    shop: RecordShop,
    lot: str,
    machine: str,
    sort: str,
    content: bytes,
    kinds: Mapping[str, Kind],
    **hand: Unpack[Hand],
) -> Record[DataCopy]:
    """Compare what was read again from the copy with what was kept.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    sort : str
        Of the data.
    content : bytes
        As read again from the control, or from the second copy.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Record of DataCopy
        Its ``read_back`` is True only if every byte is the same.
    """
    spot = find(shop, lot, machine, kinds)
    mine = [r.fact for r in shop.current(DataCopy, machine=spot.machine) if r.fact.sort == sort]
    if not mine or not mine[-1].sha256:
        raise NotYet(
            say("no file is kept of {what}", what=say(DATA.get(sort, sort))),
            remedy=say("Keep the file first; then read it again and compare."),
        )
    same = hashlib.sha256(content).hexdigest() == mine[-1].sha256
    return keep_copy(shop, lot, machine, replace(mine[-1], read_back=same, none=""), kinds, **hand)


def do_step(
    shop: RecordShop,
    lot: str,
    machine: str,
    step: str,
    kinds: Mapping[str, Kind],
    *,
    name: str = "",
    rigger: str = "",
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[MoveStep]:
    """Tick a step of the move.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    step : str
        loaded ...
    kinds : mapping of str to Kind
        The library.
    name : str
        Who did it.
    rigger : str
        Who lifts by their own numbers; counts as the name where none is given.
    text : str
        What was said.

    Returns
    -------
    Record of MoveStep

    Raises
    ------
    NotYet
        It waits for something; each thing is named.
    Unusable
        The step asks for a name.
    """
    spot, asked = find(shop, lot, machine, kinds), _step(step)
    done = {r.fact.step: r for r in shop.current(MoveStep, machine=spot.machine)}
    reckoned = plan(shop, lot, machine, kinds).reckoned()
    copies = [record.fact for record in shop.current(DataCopy, machine=spot.machine)]
    facts = {id: record.fact for id, record in done.items()}
    waits = waits_for(step, facts, copies, reckoned, rigger)
    if waits:
        raise NotYet(
            say("{text}: not yet", text=say(asked)),
            remedy=say("First what is named; everything else stays open."),
            problems=waits,
        )
    who = name.strip() or rigger.strip()
    _named(step, who)
    fact = MoveStep(lot=spot.lot, machine=spot.machine, step=step, name=who,
                    rigger=rigger.strip(), text=text.strip())  # fmt: skip
    old = done.get(step)
    if old is not None and old.fact == fact:
        return old
    return shop.add(fact, replaces=old.id if old else None, **hand)


def _step(step: str) -> str:
    texts = {one.id: one.text for one in STEPS}
    if step not in texts:
        raise Unknown(
            say("there is no step {step}", step=step),
            remedy=say("Choose one of: {named}.", named=", ".join(map(str, texts))),
        )
    return texts[step]


def _named(step: str, name: str) -> None:
    asks = next(one.asks_name for one in STEPS if one.id == step)
    if asks and not name.strip():
        raise Unusable(
            say("a name is missing: {asks}", asks=say(asks)),
            remedy=say("Write the name of the person or the firm."),
        )
