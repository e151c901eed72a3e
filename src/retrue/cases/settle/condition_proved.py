"""What was proved: results with their limits and certificates, stages signed, quiet and light."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import msgspec

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.deed import Deed, deed
from retrue.cases.prove.proof import Verdict, not_level
from retrue.cases.prove.said import verdict_words
from retrue.cases.prove.sensed import SENSES, SensedLine, give_or_take, sense
from retrue.cases.prove.sensed_pairs import pairs
from retrue.cases.prove.table import unit_of
from retrue.cases.settle.condition_kept import RecordKept, day_of
from retrue.cases.settle.record_lines import FACT, HIGHEST, MEASURED, Claim, Proved, Ruling
from retrue.records.facts import Note
from retrue.records.measuring import Instrument, ReadingSet, Result
from retrue.records.moving import Arrived
from retrue.records.seeking import Act, PartMoved
from retrue.records.shop import Record
from retrue.records.stripping import Taken
from retrue.records.waking import Sensed, SensedResult

LEVEL, INSTRUMENT = "level", "instrument"
ONLY_LOOKS = ("observe", "measure")  # acts that change nothing


def proved(kept: RecordKept) -> tuple[Proved, ...]:
    """The newest result of each test at each place, as it was kept.

    Parameters
    ----------
    kept : RecordKept

    Returns
    -------
    tuple of Proved
        What is provisional, older than its readings, or measured before later work, says so and
        proves nothing.
    """
    sets = {kept.first(one): one for one in kept.of(ReadingSet)}
    newest: dict[tuple[str, str], Record[Result]] = {}
    for one in kept.of(Result):
        at = sets.get(one.fact.set)
        if at is not None:
            newest[one.fact.test, at.fact.place] = one
    level = _level_why(kept)
    made = [_proved(kept, one, sets[one.fact.set], level) for one in newest.values()]
    return tuple(sorted(made, key=lambda one: (bool(one.apart), one.on, one.title)))


def _proved(kept: RecordKept, record: Record[Result], of: Record[ReadingSet], level: str) -> Proved:
    one, told = deed(record.fact.test), json.loads(record.fact.answer)
    verdict: Mapping[str, Any] = told.get("verdict") or {}
    key = _judged_key(one, told)
    tool = _instrument(kept, of.fact.instrument)
    value = told.get(key)
    on = day_of(of)
    checked = tool is not None and in_date(tool, on)
    late = later_work(kept, record)
    apart = record.fact.provisional or late or (level if one.needs_level else "")
    apart = apart or _changed(kept, record)
    source = (verdict.get("standard") or told.get("standard") or "",
              verdict.get("edition") or told.get("edition") or "",
              say(verdict["limit_mark"]) if verdict.get("limit_mark") else "")  # fmt: skip
    return Proved(
        title=f"{one.title}, {of.fact.place}" if of.fact.place else one.title,
        value=float(value) if isinstance(value, int | float) else None,
        unit=str(verdict.get("unit") or unit_of(key)),
        uncertainty=verdict.get("uncertainty", told.get("uncertainty", {}).get(key)),
        limit=verdict.get("limit"),
        source=", ".join(str(part) for part in source if part),
        ruling="" if apart else _ruling(record.fact.ruling),
        words=_words(verdict, told, key) if not apart else "",
        apart=apart,
        aged=bool(late),
        on=on,
        by=of.by,
        instrument=tool.name if tool else "",
        certificate=certificate(tool) if tool else "",
        grade=HIGHEST if checked else MEASURED,
    )  # fmt: skip


def _ruling(text: str) -> Ruling:
    known: dict[str, Ruling] = {
        "proved_good": "proved_good", "not_proved": "not_proved", "proved_bad": "proved_bad"
    }  # fmt: skip
    return known.get(text, "")


def _judged_key(one: Deed, told: Mapping[str, Any]) -> str:
    verdict = told.get("verdict") or {}
    known = (key for key in one.judged if isinstance(told.get(key), int | float))
    return str(verdict.get("key") or next(known, one.judged[0]))


def _words(verdict: Mapping[str, Any], told: Mapping[str, Any], key: str) -> str:
    """The ruling and its reason, word by word as they were told when it was judged."""
    if not verdict:
        return str(told.get("why", {}).get(key) or say("No limit is given: not judged."))
    return verdict_words(msgspec.convert({"unit": unit_of(key), **verdict}, Verdict))[0]


def _changed(kept: RecordKept, record: Record[Result]) -> str:
    """Whether a reading or the set itself was changed after it was judged."""
    late = [one for one in kept.readings if one.fact.set == record.fact.set]
    late_sets = [one for one in kept.of(ReadingSet) if kept.first(one) == record.fact.set]
    if any(one.seq > record.seq for one in (*late, *late_sets)):
        return say("readings changed since: judge it again")
    return ""


def later_work(kept: RecordKept, record: Record[Result]) -> str:
    """Why a result does not speak of the machine as it now is.

    Parameters
    ----------
    kept : RecordKept
    record : Record of Result

    Returns
    -------
    str
        Empty where nothing was done, moved, undone or set otherwise since it was read, in the
        order of keeping. Work that cannot bear on its test counts as well: which can is nowhere
        proved.
    """
    read = kept.measured.get(record.fact.set, record.seq)
    late = [(one, words) for one, words in _work(kept) if one.seq > read]
    if not late:
        return ""
    one, words = min(late, key=lambda pair: pair[0].seq)
    said = record.fact.ruling.replace("_", " ")
    told = say("measured before later work ({work}, {day}): measure it again", work=words,
               day=day_of(one))  # fmt: skip
    return say("{told}; then it was {ruling}", told=told, ruling=said) if said else told


def _work(kept: RecordKept) -> Iterator[tuple[Record[Any], str]]:
    me = kept.spot.machine
    for act in kept.of(Act):
        if act.fact.sort not in ONLY_LOOKS:
            yield act, say("work on it")
    for part in kept.of(PartMoved):
        if me in (part.fact.machine, part.fact.from_machine):
            yield part, say("a part moved")
    for came in kept.of(Arrived):
        yield came, say("it was moved")
    for wire in kept.of(Taken):
        yield wire, say("something was undone")
    for note in kept.of(Note):
        if note.fact.setting and not note.fact.put_back:
            yield note, say("a setting was changed")


def _level_why(kept: RecordKept) -> str:
    """Why what needs a level machine proves nothing yet; empty on a level one."""
    results = [one for one in kept.of(Result) if one.fact.test == LEVEL]
    last = results[-1].fact if results else None
    if last is not None and not last.provisional and not later_work(kept, results[-1]):
        verdict = json.loads(last.answer).get("verdict") or {}
        value, limit = verdict.get("value"), verdict.get("limit")
        within = value is not None and limit is not None and abs(value) <= limit
        if last.ruling == "proved_good" or (last.ruling == "not_proved" and within):
            return ""
    return not_level()


def _instrument(kept: RecordKept, key: str | None) -> Instrument | None:
    for one in kept.of(Instrument):
        if key and key in (one.id, kept.first(one), one.fact.name):
            found: Instrument = one.fact
            return found
    return None


def in_date(tool: Instrument, on: str) -> bool:
    """Whether an instrument had a certificate that was good on a day.

    Parameters
    ----------
    tool : Instrument
    on : str
        ISO date.

    Returns
    -------
    bool

    Examples
    --------
    >>> tool = Instrument(name="indicator", sort="indicator", certificate="K-118",
    ...                   certified_on="2026-01-10", due_on="2027-01-10")
    >>> in_date(tool, "2026-11-25"), in_date(tool, "2027-02-01")
    (True, False)
    """
    begun = tool.certified_on is not None and tool.certified_on <= on
    return bool(tool.certificate) and begun and (tool.due_on is None or on <= tool.due_on)


def certificate(tool: Instrument) -> str:
    """An instrument's certificate in words; empty where none is kept.

    Parameters
    ----------
    tool : Instrument

    Returns
    -------
    str
    """
    if not tool.certificate:
        return ""
    told = say("certificate {number}", number=tool.certificate)
    if tool.certified_on:
        told = say("{told} of {day}", told=told, day=tool.certified_on)
    return say("{told}, good until {day}", told=told, day=tool.due_on) if tool.due_on else told


def stages(kept: RecordKept) -> Iterator[Claim]:
    """Stages of first power that are signed and still stand.

    Parameters
    ----------
    kept : RecordKept

    Yields
    ------
    Claim
        By whom, with the licence where one was named.
    """
    for one in kept.power.progress.values():
        if not one.signed or one.ended is None:
            continue
        fact = one.ended.fact
        what = f"{one.stage.stage}: {one.stage.title}"
        yield Claim(what=what, grade=FACT, deed="signed", by=fact.name, licence=fact.licence,
                    on=day_of(one.ended))  # fmt: skip


def quiet(kept: RecordKept) -> Iterator[Claim]:
    """Sound, vibration and light: before and after where both were measured, else the newest.

    Parameters
    ----------
    kept : RecordKept

    Yields
    ------
    Claim
    """
    lines = _sensed(kept)
    both = pairs(lines)
    for one in both:
        after = one.after
        what = say("{title}, {point}: before {before}, after {after}, {says}",
                   title=after.sense.title, point=after.said.point, before=_value(one.before),
                   after=_value(after), says=one.says)  # fmt: skip
        yield _sensed_claim(kept, after, what)
    paired = {id for one in both for id in (one.before.id, one.after.id)}
    alone = {(one.sense.sort, one.said.point, one.said.state): one for one in lines
             if one.id not in paired and one.value is not None}  # fmt: skip
    for line in alone.values():
        what = say("{title}, {point}: {value}", title=line.sense.title, point=line.said.point,
                   value=_value(line))  # fmt: skip
        yield _sensed_claim(kept, line, what)


def _sensed(kept: RecordKept) -> Sequence[SensedLine]:
    answers = {one.fact.sensed: json.loads(one.fact.answer) for one in kept.of(SensedResult)}
    made = []
    for record in kept.of(Sensed):
        id = kept.first(record)
        if record.fact.sort not in SENSES or id not in answers:
            continue
        one, answer = sense(record.fact.sort), answers[id]
        tool = _instrument(kept, dict(record.fact.options).get(INSTRUMENT))
        made.append(SensedLine(id=id, record=record, sense=one, answer=answer,
                               value=answer.get(one.key), give_or_take=give_or_take(one, answer),
                               instrument=tool.name if tool else ""))  # fmt: skip
    return made


def _value(line: SensedLine) -> str:
    digits = line.sense.digits
    told = f"{number(line.value or 0.0, digits)} {line.sense.unit}"
    if line.give_or_take is None:
        return told
    doubt = number(line.give_or_take, digits)
    return say("{value} (give or take {doubt})", value=told, doubt=doubt)


def _sensed_claim(kept: RecordKept, line: SensedLine, what: str) -> Claim:
    on = day_of(line.record)
    tool = _instrument(kept, dict(line.said.options).get(INSTRUMENT))
    checked = tool is not None and in_date(tool, on)
    return Claim(what=what, grade=HIGHEST if checked else MEASURED, by=line.record.by, on=on,
                 instrument=line.instrument)  # fmt: skip
