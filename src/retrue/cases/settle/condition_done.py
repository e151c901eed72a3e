"""What was done: acts, cards, parts, settings, data; and what goes with it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from retrue.base.say import later, say
from retrue.cases.settle.condition_kept import RecordKept, day_of, worked
from retrue.cases.settle.record_lines import FACT, WRITTEN, Changed, Claim
from retrue.kinds.library import Kind
from retrue.records.facts import Note
from retrue.records.fixing import CardMarked, Out, OutEnded
from retrue.records.moving import DataCopy
from retrue.records.seeking import Act, PartMoved
from retrue.records.settling import Included, Posting
from retrue.records.shop import Record
from retrue.records.stripping import Cleaned

ACTS = {
    "clean": later("cleaned"),
    "adjust": later("adjusted"),
    "repair": later("repaired"),
    "replace": later("renewed"),
    "send_out": later("sent out and put right"),
    "call_for_help": later("somebody was called"),
    "observe": later("watched"),
    "measure": later("measured"),
}
WAYS = {
    "second_hand": later("with a second-hand part"),
    "outside": later("by a firm outside"),
    "local": later("by a firm nearby"),
}
DATA = {
    "parameters": later("Parameters"), "programs": later("Programs"),
    "pitch_tables": later("Pitch tables"), "ladder": later("Ladder"), "macros": later("Macros"),
    "drive_settings": later("Settings of the drives"), "screens": later("Screens, photographed"),
    "drawings": later("Drawings"), "manual": later("Manual"), "other": later("Other data"),
}  # fmt: skip
APART = later("a mark that it was done; how each guard stands is listed by itself")


def done(kept: RecordKept) -> Iterator[Claim]:
    """Acts, cards, what was cleaned, parts that came, in order of time.

    Parameters
    ----------
    kept : RecordKept

    Yields
    ------
    Claim
        Work is written down by who did it: as seen, grade 3; what he wrote beside it in free
        words, what was only watched or asked, and a card that proves guards are reported. What
        was paid is nobody else's.
    """
    for record in kept.of(Act):
        yield from _acts(record, kept.kind)
    places = kept.kind.places
    for record in kept.of(Cleaned):
        place = places[record.fact.place].name if record.fact.place in places else ""
        muck = kept.kind.mucks.get(record.fact.muck)
        what = say("{place}: cleaned of {muck}", place=place or record.fact.place,
                   muck=(muck.name if muck else record.fact.muck).lower())  # fmt: skip
        yield Claim(what=what, grade=FACT, deed="done", by=record.by, on=day_of(record))
    yield from _cards(kept)
    yield from _parts_in(kept)


def _acts(record: Record[Act], kind: Kind) -> Iterator[Claim]:
    act, by, on = record.fact, record.by, day_of(record)
    what, free = act_words(act, kind), act.seen.strip()
    if not worked(act):
        what = say("{act}: {seen}", act=what, seen=free) if free else what
        yield Claim(what=what, grade=0, by=by, on=on, source=WRITTEN)
        return
    if proves_guards(act.job or "", kind):
        yield Claim(what=what, grade=0, by=by, on=on, source=APART)
    else:
        yield Claim(what=what, grade=FACT, deed="done", by=by, on=on)
    if free:
        what = say("{act}: {seen}", act=what, seen=free)
        yield Claim(what=what, grade=0, by=by, on=on, source=WRITTEN)


def proves_guards(job: str, kind: Kind) -> bool:
    """Whether a job of looking is about guards: marking it done proves none of them.

    Parameters
    ----------
    job : str
        Its id.
    kind : Kind

    Returns
    -------
    bool

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> proves_guards("J21", mill), proves_guards("J01", mill)
    (True, False)
    """
    one = kind.jobs.get(job)
    looks = {check for guard in kind.guards.values() for check in guard.checks}
    return one is not None and one.sort == "check" and bool(looks & set(one.reveals))


def act_words(act: Act, kind: Kind) -> str:
    """One act in words: of what, how, with what part.

    Parameters
    ----------
    act : Act
    kind : Kind

    Returns
    -------
    str

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> act = Act(lot="l", machine="m", sort="replace", fault="F97", way="second_hand",
    ...           bought="stop button, lot 7")
    >>> act_words(act, load()["turning_centre"])[:58]
    'Emergency stop, mode or override switches worn: renewed wi'
    """
    way = act.way if act.way in ACTS else act.sort
    of = ""
    if act.fault:
        of = kind.faults[act.fault].name if act.fault in kind.faults else act.fault
    elif act.job:
        of = kind.jobs[act.job].name if act.job in kind.jobs else act.job
    how = say("done") if act.job and not act.fault else ACTS[way]
    told = f"{of}: {how}" if of else how[:1].upper() + how[1:]
    told = f"{told} {WAYS[act.way]}" if act.way in WAYS else told
    return f"{told} ({act.bought})" if act.bought else told


def _cards(kept: RecordKept) -> Iterator[Claim]:
    """Cards marked done that no act speaks of."""
    spoken = {key for one in kept.of(Act) for key in (one.fact.fault, one.fact.job) if key}
    last: dict[str, Record[CardMarked]] = {}
    for record in kept.of(CardMarked):
        last[record.fact.card] = record
    for key, record in last.items():
        head = key.partition(":")[0]
        if record.fact.how != "done" or head in spoken:
            continue
        name = _card_name(key, kept.kind)
        if not name:
            continue
        what, on = say("{card}: done", card=name), record.fact.marked_on
        if proves_guards(head, kept.kind):
            yield Claim(what=what, grade=0, by=record.by, on=on, source=APART)
        else:
            yield Claim(what=what, grade=FACT, deed="done", by=record.by, on=on)


def _card_name(key: str, kind: Kind) -> str:
    """What a card is about; empty where it only opens and closes a place."""
    head, _, tail = key.partition(":")
    tables: dict[str, Any] = {"renew": kind.renewals, "upgrade": kind.upgrades}
    if head in tables and tail in tables[head]:
        return str(tables[head][tail].name)
    named: Any = kind.faults.get(head) or kind.jobs.get(head)
    return str(named.name) if named else ""


def _parts_in(kept: RecordKept) -> Iterator[Claim]:
    """What came back good, with its serial number."""
    ended = {one.fact.out: one.fact for one in kept.of(OutEnded)}
    for record in kept.of(Out):
        end = ended.get(kept.first(record))
        if end is None or end.how != "back" or end.judged == "bad":
            continue
        what = say("{what} came", what=record.fact.what)
        if record.fact.serial:
            what = say("{what}, serial {serial}", what=what, serial=record.fact.serial)
        what = say("{what}, judged good", what=what) if end.judged == "good" else what
        yield Claim(what=what, grade=FACT, deed="done", by=record.by, on=end.ended_on)


def settings(kept: RecordKept) -> tuple[Changed, ...]:
    """Settings that were changed, with old, new and why.

    Parameters
    ----------
    kept : RecordKept

    Returns
    -------
    tuple of Changed
    """
    return tuple(
        Changed(name=one.fact.setting, old=one.fact.old, new=one.fact.new, why=one.fact.why,
                put_back=one.fact.put_back, by=one.by, on=day_of(one))
        for one in kept.of(Note)
        if one.fact.setting
    )  # fmt: skip


def parts(kept: RecordKept) -> Iterator[Claim]:
    """Parts that came from another machine or left for one, with their serial numbers.

    Parameters
    ----------
    kept : RecordKept

    Yields
    ------
    Claim
    """
    me = kept.spot.machine
    for record in kept.of(PartMoved):
        fact = record.fact
        if me not in (fact.machine, fact.from_machine):
            continue
        part = kept.kind.swappable.get(fact.part)
        words = say("{part}, serial {serial}: from {there}, {slot}, into {here}, {place}",
                    part=part.name if part else fact.part, serial=fact.serial,
                    there=kept.names.get(fact.from_machine, fact.from_machine),
                    slot=fact.from_slot, here=kept.names.get(fact.machine, fact.machine),
                    place=fact.slot)  # fmt: skip
        if fact.other_serial:
            words = say("{words}; serial {serial} went the other way", words=words,
                        serial=fact.other_serial)  # fmt: skip
        yield Claim(what=words, grade=FACT, deed="done", by=record.by, on=day_of(record))
    for record in kept.of(Posting):
        one: Posting = record.fact
        if one.sort != "moved" or me not in (one.machine, one.from_machine):
            continue
        there = kept.names.get(one.from_machine or "", one.from_stock or say("the shelf"))
        here = kept.names.get(one.machine or "", "")
        words = say("{what}: from {there} into {here}", what=one.what, there=there, here=here)
        yield Claim(what=words, grade=0, by=record.by, on=one.posted_on, source=WRITTEN)


def data(kept: RecordKept) -> Iterator[Claim]:
    """Data that were saved: by which way, with which checksum, whether they were read back.

    Parameters
    ----------
    kept : RecordKept

    Yields
    ------
    Claim
    """
    for record in kept.of(DataCopy):
        fact: DataCopy = record.fact
        name = DATA[fact.sort]
        if fact.none:
            what = say("{name}: not saved, {why}", name=name, why=fact.none)
        else:
            read = {
                True: say("read back, and the same"),
                False: say("read back, and NOT the same"),
                None: say("not read back"),
            }[fact.read_back]
            pieces = [say("saved"), fact.how, read]
            pieces += [say("SHA-256 {sum}", sum=fact.sha256)] if fact.sha256 else []
            what = say("{name}: {told}", name=name, told=", ".join(str(p) for p in pieces if p))
        if not (fact.none or fact.file or fact.sha256):  # nobody can look at it
            yield Claim(what=what, grade=0, by=record.by, on=day_of(record), source=WRITTEN)
            continue
        yield Claim(what=what, grade=FACT, deed="done", by=record.by, on=day_of(record))


def included(kept: RecordKept) -> Iterator[Claim]:
    """What goes with it, what stays, what is missing; each at its own grade, and seen at most.

    Parameters
    ----------
    kept : RecordKept

    Yields
    ------
    Claim
    """
    words = {
        "goes_with": say("goes with it"),
        "stays": say("does not go with it"),
        "missing": say("missing"),
    }
    newest: dict[str, Record[Included]] = {}
    for record in kept.of(Included):
        if record.fact.sort != "guard":
            newest[" ".join(record.fact.what.casefold().split())] = record
    for record in newest.values():
        fact = record.fact
        what = say("{what}: {goes}", what=fact.what, goes=words[fact.sort])
        if fact.file:
            what = say("{what} (SHA-256 {sum})", what=what, sum=fact.file)
        yield Claim(what=what, grade=min(fact.grade, FACT), by=record.by, on=day_of(record))
