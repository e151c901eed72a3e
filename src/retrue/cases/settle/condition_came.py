"""What a machine is: how it came and rested, what is stamped on it, its photographs."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.formatter import short
from retrue.base.say import later, say
from retrue.cases.settle.condition_kept import RecordKept, bare, day_of
from retrue.cases.settle.record_lines import FACT, WRITTEN, Claim, Pictured
from retrue.records.facts import File
from retrue.records.moving import Arrived, LaidUp

DAMAGE = {
    "none": later("no damage was seen"),
    "visible": later("with damage that could be seen"),
    "hidden": later("with damage found later"),
    "not_looked": later("nobody looked for damage"),
}
PICTURE = "image/"


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
        source, on = WRITTEN if grade < FACT else "", fact.found_on or fact.delivered_on
        yield Claim(what=what, grade=grade, by=record.by, on=on, source=source)
        if fact.text.strip():
            what = say("As it came: {text}", text=fact.text.strip())
            yield Claim(what=what, grade=0, by=record.by, on=on, source=WRITTEN)
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

    A stamped value that was ever typed from a picture, or before anybody of the shop stood at the
    machine, is a report.

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
        shown = fact.picture is not None or (fact.entry, bare(fact.value)) in kept.pictured
        there = stood is not None and record.seq > stood and not shown
        yield Claim(what=f"{name or fact.entry}: {value}", grade=FACT if there else 1, by=record.by,
                    on=day_of(record),
                    source="" if there or shown else say("as it was typed"))  # fmt: skip
    machine = kept.power.machine
    if machine.fact.age_years is not None:
        what = say("About {years} years old", years=short(machine.fact.age_years))
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
