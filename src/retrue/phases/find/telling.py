"""What was tried, what was not needed, and where each serial number is now."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from typing import Any

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.happening import Line
from retrue.cases.kept_case import line_of
from retrue.cases.said import answer_words, looked_at
from retrue.kinds.library import Kind
from retrue.phases.find.lines import lines, machine_at
from retrue.phases.find.views import NotNeeded, SerialLine, TriedLine, TriedSort
from retrue.records.facts import Fact, File, Finding, Lot, Machine
from retrue.records.seeking import Act, Hunch, PartMoved, Signed, Trial, Trouble
from retrue.records.shop import RecordShop

STAGES = {"apart": "taking apart", "power_up": "first power", "running": "running"}
WAYS = {
    "clean": "cleaned",
    "adjust": "adjusted",
    "repair": "repaired",
    "replace": "replaced by new",
    "second_hand": "replaced by a used one",
    "outside": "sent out",
    "local": "repaired by a local shop",
    "send_out": "sent out",
    "call_for_help": "called for help",
    "observe": "looked",
    "measure": "measured",
}
TOLD: tuple[type[Fact], ...] = (Trouble, Hunch, Finding, Act, Trial, PartMoved, Signed)


def tried(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]
) -> tuple[TriedLine, ...]:
    """What was seen, done and tried at one machine, oldest first, looks among the acts.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library, for the words.

    Returns
    -------
    tuple of TriedLine
        A corrected line stands where it stood first; what was taken back is left out.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    kept = [line for sort in TOLD for line in lines(shop, sort, spot)]
    kept.sort(key=lambda line: line.first.seq)
    words = {one.first.id: _trouble_words(one, kind) for one in kept if _is(one, Trouble)}
    return tuple(_line(shop, one, kind, words) for one in kept)


def way_words(way: str) -> str:
    """What was done, in a word: "adjusted".

    Parameters
    ----------
    way : str
        Of putting a fault right.

    Returns
    -------
    str
    """
    return say(WAYS.get(way, way.replace("_", " ")))


def not_needed(shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]) -> NotNeeded:
    """What was bought or done and was not needed after all, with its sum.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library, for the words.

    Returns
    -------
    NotNeeded
    """
    found = tuple(one for one in tried(shop, lot, machine, kinds) if one.needed is False)
    money = sum((one.money for one in found if one.money is not None), Decimal(0))
    return NotNeeded(found, money, sum(one.hours for one in found if one.hours is not None))


def serials(shop: RecordShop) -> tuple[SerialLine, ...]:
    """Where each serial number is now, by all the moves of its part.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.

    Returns
    -------
    tuple of SerialLine
        By machine, slot, then number.
    """
    moves = [line_of(shop, one) for one in shop.current(PartMoved)]
    moves.sort(key=lambda line: line.first.seq)
    now: dict[tuple[str, str], SerialLine] = {}
    for move in moves:
        for one in _moved(shop, move):
            now[one.part, one.serial] = one
    return tuple(sorted(now.values(), key=lambda one: (one.machine, one.slot, one.serial)))


def _moved(shop: RecordShop, move: Line) -> Iterator[SerialLine]:
    said: PartMoved = move.newest.fact
    lot = _name(shop, said.lot)
    here = (_name(shop, said.machine), said.slot)
    there = (_name(shop, said.from_machine), said.from_slot)
    ways = [(said.serial, here, there)]
    if said.other_serial:
        ways.append((said.other_serial, there, here))
    for serial, at, came in ways:
        yield SerialLine(
            serial=serial,
            part=said.part,
            lot=lot,
            machine=at[0],
            slot=at[1],
            since=move.first.observed_at,
            came_from=", ".join(map(str, came)),
            record=move.newest,
        )


def _line(shop: RecordShop, line: Line, kind: Kind, troubles: Mapping[str, str]) -> TriedLine:
    fact = line.newest.fact
    sort, words = _WORDS[type(fact)]
    told: dict[str, Any] = {
        "who": line.first.by, "what": "", "expected": "", "seen": "", "decided": "", "money": None,
        "hours": None, "bought": "", "needed": None, "pictures": (),
    }  # fmt: skip
    return TriedLine(
        id=line.first.id,
        sort="teardown" if isinstance(fact, Finding) and fact.fault else sort,
        when=line.first.observed_at,
        record=line.newest,
        corrected=line.newest.id != line.first.id,
        **{**told, **words(shop, fact, kind, troubles)},
    )


def _trouble(
    _shop: RecordShop, fact: Trouble, kind: Kind, _told: Mapping[str, str]
) -> dict[str, Any]:
    symptom = kind.symptoms.get(fact.symptom)
    seen = symptom.words if symptom and fact.words else ""
    what = fact.words or (symptom.words if symptom else fact.symptom)
    return {"what": what, "seen": seen, "pictures": (fact.picture,) if fact.picture else ()}


def _hunch(_shop: RecordShop, fact: Hunch, kind: Kind, _told: Mapping[str, str]) -> dict[str, Any]:
    name = kind.faults[fact.fault].name if fact.fault in kind.faults else fact.fault
    who = {"who": fact.informant} if fact.informant else {}
    return {"what": say("a hunch: {name}", name=name), "seen": fact.text, **who}


def _finding(
    _shop: RecordShop, fact: Finding, kind: Kind, _told: Mapping[str, str]
) -> dict[str, Any]:
    of: dict[str, Kind | None] = {fact.machine or "": kind}
    seen = answer_words(fact, of)
    return {
        "what": looked_at(fact, of),
        "seen": f"{seen}. {fact.text}" if fact.text else seen,
        "pictures": (fact.picture,) if fact.picture else (),
        **({"who": fact.informant} if fact.informant else {}),
    }


def _act(shop: RecordShop, fact: Act, kind: Kind, _told: Mapping[str, str]) -> dict[str, Any]:
    thing = _thing(fact, kind)
    deed = say(WAYS.get(fact.way or fact.sort, fact.sort))
    return {
        "what": say("{thing}: {deed}", thing=thing, deed=deed) if thing else deed,
        "expected": fact.expected,
        "seen": fact.seen,
        "decided": fact.decided,
        "money": fact.money,
        "hours": fact.hours,
        "bought": fact.bought,
        "needed": fact.needed,
        "pictures": _files(shop, fact.pictures),
    }


def _files(shop: RecordShop, hashes: tuple[str, ...]) -> tuple[str, ...]:
    """Photographs by the records they are kept under, where there are such."""
    if not hashes:
        return ()
    kept = {one.fact.sha256: one.id for one in shop.current(File)}
    return tuple(kept.get(sha256, sha256) for sha256 in hashes)


def _thing(fact: Act, kind: Kind) -> str:
    """What an act was to put right, or which job it was; empty where it names neither."""
    known = kind.faults.get(fact.fault or "") or kind.jobs.get(fact.job or "")
    return known.name if known else fact.fault or fact.job or ""


def _trial(_shop: RecordShop, fact: Trial, kind: Kind, told: Mapping[str, str]) -> dict[str, Any]:
    if fact.group is not None:
        group = kind.groups[fact.group].name if fact.group in kind.groups else fact.group
        what = say("proof of {group}", group=group)
        seen = say("passed") if fact.passes else say("not passed")
    else:
        what = say("tried again: {trouble}", trouble=told.get(fact.trouble or "", ""))
        seen = say("it is gone") if fact.passes else say("it still does it")
    return {"what": what, "seen": f"{seen}. {fact.text}" if fact.text else seen}


def _part_moved(
    shop: RecordShop, fact: PartMoved, kind: Kind, _told: Mapping[str, str]
) -> dict[str, Any]:
    part = kind.swappable[fact.part].name if fact.part in kind.swappable else fact.part
    what = say(
        "{part} {serial}: from {came}, {from_slot} to {slot}",
        part=part,
        serial=fact.serial,
        came=_name(shop, fact.from_machine),
        from_slot=fact.from_slot,
        slot=fact.slot,
    )
    other = (
        say("{serial} went the other way", serial=fact.other_serial) if fact.other_serial else ""
    )
    return {"what": what, "seen": ". ".join(str(one) for one in (other, fact.text) if one)}


def _signed(
    _shop: RecordShop, fact: Signed, _kind: Kind, _told: Mapping[str, str]
) -> dict[str, Any]:
    what = say("stop point signed: {stage}", stage=say(STAGES[fact.stage]))
    return {"who": fact.name, "what": what, "seen": fact.text}


Words = Callable[[RecordShop, Any, Kind, Mapping[str, str]], dict[str, Any]]
_WORDS: dict[type[Any], tuple[TriedSort, Words]] = {
    Trouble: ("trouble", _trouble),
    Hunch: ("hunch", _hunch),
    Finding: ("look", _finding),
    Act: ("act", _act),
    Trial: ("trial", _trial),
    PartMoved: ("part_moved", _part_moved),
    Signed: ("signed", _signed),
}


def _is(line: Line, sort: type[Any]) -> bool:
    return isinstance(line.newest.fact, sort)


def _trouble_words(line: Line, kind: Kind) -> str:
    fact: Trouble = line.newest.fact
    symptom = kind.symptoms.get(fact.symptom)
    return fact.words or (symptom.words if symptom else fact.symptom)


def _name(shop: RecordShop, key: str) -> str:
    """A lot or machine by name; what is no id is one's own words already."""
    try:
        fact = shop.history(key)[-1].fact
    except Unknown:
        return key
    return fact.name if isinstance(fact, Lot | Machine) else key
