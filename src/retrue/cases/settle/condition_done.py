"""What was done: acts, cards, parts, settings; what goes with it; how it came and rested."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from retrue.base.say import say
from retrue.cases.settle.condition_kept import RecordKept, day_of
from retrue.cases.settle.record_lines import FACT, Changed, Claim, Pictured
from retrue.kinds.library import Kind
from retrue.records.facts import File, Note
from retrue.records.fixing import CardMarked, Out, OutEnded
from retrue.records.moving import Arrived, DataCopy, LaidUp
from retrue.records.seeking import Act, PartMoved
from retrue.records.settling import Included, Posting
from retrue.records.shop import Record
from retrue.records.stripping import Cleaned

ACTS = {
    "clean": say("cleaned"),
    "adjust": say("adjusted"),
    "repair": say("repaired"),
    "replace": say("renewed"),
    "send_out": say("sent out and put right"),
    "call_for_help": say("somebody was called"),
    "observe": say("watched"),
    "measure": say("measured"),
}
WAYS = {
    "second_hand": say("with a second-hand part"),
    "outside": say("by a firm outside"),
    "local": say("by a firm nearby"),
}
DATA = {
    "parameters": say("Parameters"), "programs": say("Programs"),
    "pitch_tables": say("Pitch tables"), "ladder": say("Ladder"), "macros": say("Macros"),
    "drive_settings": say("Settings of the drives"), "screens": say("Screens, photographed"),
    "drawings": say("Drawings"), "manual": say("Manual"), "other": say("Other data"),
}  # fmt: skip
DAMAGE = {
    "none": say("no damage was seen"),
    "visible": say("with damage that could be seen"),
    "hidden": say("with damage found later"),
    "not_looked": say("nobody looked for damage"),
}
PICTURE = "image/"


def done(kept: RecordKept) -> Iterator[Claim]:
    """Acts, cards, what was cleaned, parts that came, in order of time.

    Parameters
    ----------
    kept : RecordKept

    Yields
    ------
    Claim
        Work is written down by who did it: as seen, grade 3. What was paid is nobody else's.
    """
    for record in kept.of(Act):
        what = act_words(record.fact, kept.kind)
        yield Claim(what=what, grade=FACT, deed="done", by=record.by, on=day_of(record))
    places = kept.kind.places
    for record in kept.of(Cleaned):
        place = places[record.fact.place].name if record.fact.place in places else ""
        muck = kept.kind.mucks.get(record.fact.muck)
        what = say("{place}: cleaned of {muck}", place=place or record.fact.place,
                   muck=(muck.name if muck else record.fact.muck).lower())  # fmt: skip
        yield Claim(what=what, grade=FACT, deed="done", by=record.by, on=day_of(record))
    yield from _cards(kept)
    yield from _parts_in(kept)


def act_words(act: Act, kind: Kind) -> str:
    """One act in words: of what, how, with what part, what was seen.

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
    more = [one for one in (act.bought, act.seen) if one]
    return f"{told} ({'; '.join(more)})" if more else told


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
        if name:
            yield Claim(what=say("{card}: done", card=name), grade=FACT, deed="done",
                        by=record.by, on=record.fact.marked_on)  # fmt: skip


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
        yield Claim(what=words, grade=FACT, deed="done", by=record.by, on=one.posted_on)


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
            what = say("{name}: {told}", name=name, told=", ".join(p for p in pieces if p))
        yield Claim(what=what, grade=FACT, deed="done", by=record.by, on=day_of(record))


def included(kept: RecordKept) -> Iterator[Claim]:
    """What goes with it, what stays, what is missing; each at its own grade.

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
        yield Claim(what=what, grade=fact.grade, by=record.by, on=day_of(record))


def moved(kept: RecordKept) -> Iterator[Claim]:
    """How it came, and where and how long it rested.

    Parameters
    ----------
    kept : RecordKept

    Yields
    ------
    Claim
    """
    for record in kept.of(Arrived):
        fact: Arrived = record.fact
        grade = 0 if fact.damage == "not_looked" else FACT
        what = say("Came on {day}, {damage}", day=fact.delivered_on, damage=DAMAGE[fact.damage])
        source = say("as it was written down") if grade < FACT else ""
        told = say("{what}: {text}", what=what, text=fact.text) if fact.text else what
        yield Claim(what=told, grade=grade, by=record.by, on=fact.found_on or fact.delivered_on,
                    source=source)  # fmt: skip
    for record in kept.of(LaidUp):
        rest: LaidUp = record.fact
        what = say("Rested from {since} to {until}", since=rest.since_on,
                   until=rest.until_on or say("now"))  # fmt: skip
        what = say("{what}, {where}", what=what, where=rest.where) if rest.where else what
        yield Claim(what=what, grade=FACT, deed="done", by=record.by, on=rest.since_on)


def pictures(kept: RecordKept) -> tuple[Pictured, ...]:
    """Photographs of the machine, each once, oldest first.

    Parameters
    ----------
    kept : RecordKept

    Returns
    -------
    tuple of Pictured
    """
    places, seen = kept.kind.places, dict[str, Pictured]()
    for one in kept.of(File):
        fact: File = one.fact
        if not fact.media_type.startswith(PICTURE) or fact.sha256 in seen:
            continue
        place = places[fact.place].name if fact.place and fact.place in places else ""
        shot = kept.kind.as_found.get(fact.shot or "")
        seen[fact.sha256] = Pictured(
            id=kept.first(one), sha256=fact.sha256, place=place, on=fact.taken or day_of(one),
            caption=fact.caption or (shot.text if shot else "") or place, by=one.by,
        )  # fmt: skip
    return tuple(seen.values())


def title(kept: RecordKept) -> Iterator[Claim]:
    """What is stamped on it, and what was typed of it.

    A stamped value typed from a picture, or before anybody of the shop stood at the machine, is
    a report.

    Parameters
    ----------
    kept : RecordKept

    Yields
    ------
    Claim
    """
    stood = kept.stood
    newest = {one.fact.entry: one for one in kept.plates}
    for record in newest.values():
        fact, entry = record.fact, kept.kind.plate.get(record.fact.entry)
        name = say("{where}, {label}", where=entry.where, label=entry.label) if entry else ""
        value = with_unit(fact.value, entry.unit if entry else "")
        there = stood is not None and record.observed_at >= stood and fact.picture is None
        yield Claim(what=f"{name or fact.entry}: {value}", grade=FACT if there else 1, by=record.by,
                    on=day_of(record),
                    source="" if there or fact.picture else say("as it was typed"))  # fmt: skip
    machine = kept.power.machine
    if machine.fact.age_years is not None:
        what = say("About {years} years old", years=f"{machine.fact.age_years:g}")
        yield Claim(what=what, grade=0, on=day_of(machine), source=say("as it was typed"))


def with_unit(value: str, unit: str) -> str:
    """A stamped value with its unit, once.

    Parameters
    ----------
    value : str
    unit : str

    Returns
    -------
    str

    Examples
    --------
    >>> with_unit("400", "V"), with_unit("1.9 A", "A"), with_unit("F", "")
    ('400 V', '1.9 A', 'F')
    """
    return value if not unit or value.split()[-1:] == [unit] else f"{value} {unit}"
