"""Sound, vibration, light: kept as measured, told to the belief, taken back together."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal, Unpack

import retrue
from retrue.base.refusals import Refusal, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.prove.sensed import (
    Sense,
    nothing_told,
    plain,
    sense,
    typed_answer,
    typed_readings,
)
from retrue.cases.prove.sensed_file import KNOWN, answer_of, option_problems
from retrue.cases.prove.sensed_finding import Learned, learned
from retrue.cases.prove.sensed_pairs import background_of
from retrue.kinds.library import Kind
from retrue.phases.prove.instruments import Gauge, instrument_of
from retrue.phases.prove.places import Spot, find, first_id
from retrue.phases.prove.sensed_lines import INSTRUMENT, MARK, sensed, tool_of
from retrue.phases.prove.sensed_proof import FILE, Hear, is_sure, proof_of
from retrue.records.facts import Finding, Withdrawn
from retrue.records.hand import Hand, without_id
from retrue.records.seeking import Act
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import Sensed, SensedResult

When = Literal["before", "after", ""]
RESULT = ".result"  # after the id of what was measured
MENDING = ("clean", "adjust", "repair", "replace", "send_out")  # acts that change a machine


@dataclass(frozen=True, slots=True)
class KeptSense:
    """What was kept of one measuring.

    Attributes
    ----------
    record : Record of Sensed
    result : Record of SensedResult or None
        None only where it was taken back since.
    findings : tuple of Record of Finding
        What the belief learned.
    why : str
        Why it learned nothing.
    refused : Refusal or None
        Why a file could not be worked out; it is kept all the same.
    """

    record: Record[Sensed]
    result: Record[SensedResult] | None
    findings: tuple[Record[Finding], ...] = ()
    why: str = ""
    refused: Refusal | None = None


def keep_sensed(
    shop: RecordShop,
    lot: str,
    machine: str,
    sort: str,
    kinds: Mapping[str, Kind],
    *,
    content: bytes | None = None,
    name: str = "",
    readings: Iterable[tuple[str, float]] = (),
    options: Mapping[str, str] | None = None,
    when: When = "",
    point: str = "",
    state: str = "",
    speed_rpm: float | None = None,
    text: str = "",
    known: bytes | None = None,
    hear: Hear | None = None,
    **hand: Unpack[Hand],
) -> KeptSense:
    """Keep what was measured, say what it means, tell the belief; the file first, as it came.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    sort : str
        sound, vibration or light.
    kinds : mapping of str to Kind
        The library.
    content : bytes or None
        A recording or a table; None where numbers were typed.
    name : str
        Of the file.
    readings : iterable of (str, float)
        Typed numbers by key: level_a_db, velocity_rms_mm_s, lux.
    options : mapping of str to str or None
        As typed: instrument (name or id), calibrated, without, bearing ...
    when : str
        before, after, or nothing.
    point : str
        Where; the place of the measure where nobody says.
    state : str
        idling, cutting, covers off.
    speed_rpm : float or None
        Of the spindle.
    text : str
        Anything beside it.
    known : bytes or None
        A recording of a known level, beside a recording of sound.
    hear : callable or None
        Reads a file: a recording or a table. Only a file needs it.
    **hand : Hand
        Who measures; with an ``id``, sent twice is kept once.

    Returns
    -------
    KeptSense

    Raises
    ------
    Unknown
        No such lot, machine, sort or instrument.
    Unusable
        A number cannot be, or there is nothing at all.
    """
    spot, one = find(shop, lot, machine, kinds), sense(sort)
    given = dict(options or {})
    if known is not None:
        given[KNOWN] = FILE + shop.keep_file(known)
    fact = Sensed(
        lot=spot.lot,
        machine=spot.machine,
        sort=one.sort,
        when=when,
        point=point.strip() or one.point,
        state=state.strip(),
        speed_rpm=speed_rpm,
        file=None if content is None else shop.keep_file(content),
        file_name=name.strip() if content is not None else "",
        options=_options(shop, one, given),
        readings=typed_readings(one, readings),
        text=text.strip(),
    )
    return _told(shop, spot, shop.add(fact, **hand), hear, hand)


def _options(shop: RecordShop, one: Sense, given: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """Options that say something, the instrument by its id; what is no number is named first."""
    said = {name: text.strip() for name, text in sorted(given.items()) if text.strip()}
    problems = tuple(option_problems(one, said))
    if problems:
        raise Unusable(
            say("this cannot be kept as {what}", what=one.title.lower()),
            remedy=say("Correct what is named; nothing else was lost."),
            problems=problems,
        )
    if INSTRUMENT in said:
        said[INSTRUMENT] = instrument_of(shop, said[INSTRUMENT])[0]
    return tuple(said.items())


def take_back(
    shop: RecordShop, record_id: str, reason: str = "", **hand: Unpack[Hand]
) -> Record[Withdrawn]:
    """Take back what was measured, with what it said and what was learned from it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record_id : str
        Any record of its line.
    reason : str
        Why, if there is one.
    **hand : Hand
        Who takes it back; with an ``id``, sent twice is once.

    Returns
    -------
    Record of Withdrawn

    Raises
    ------
    Unknown
        No such record, or it was taken back already.
    """
    line = shop.history(record_id)
    newest, id, said = line[-1], line[0].id, line[0].fact
    again = isinstance(newest.fact, Withdrawn) and newest.id == hand.get("id")
    if not isinstance(said, Sensed) or not (again or isinstance(newest.fact, Sensed)):
        raise Unknown(
            say("{record} is nothing measured that still counts", record=record_id),
            remedy=say("Look it up again; perhaps it was taken back already."),
        )
    gone = newest if again else shop.add(_gone(newest, reason), replaces=newest.id, **hand)
    for other in _with_it(shop, id, said):
        shop.add(_gone(other, reason), replaces=other.id, **without_id(hand))
    return gone


def _told(
    shop: RecordShop, spot: Spot, record: Record[Sensed], hear: Hear | None, hand: Hand
) -> KeptSense:
    """Work it out and tell it, once; sent again, what was told then."""
    line = shop.history(record.id)
    id = line[0].id
    if not isinstance(line[-1].fact, Sensed):
        return KeptSense(record, None, why=say("It was taken back since."))
    known = shop.current(SensedResult, machine=spot.machine, sensed=id)
    if known:
        mine = [one for one in sensed(shop, spot.lot, spot.machine) if one.id == id]
        return KeptSense(record, known[-1], mine[0].learned)
    one = sense(record.fact.sort)
    tool = tool_of(shop, one, record)
    answer, refused = _answer(shop, record, tool, hear)
    told = _learned(shop, spot, record, answer, tool)
    findings = tuple(_put(shop, f"{id}{MARK}{each.check}", each, hand) for each in told.findings)
    text = json.dumps(answer, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    fact = SensedResult(
        lot=spot.lot, machine=spot.machine, sensed=id, sort=one.sort, answer=text,
        version=retrue.__version__,
    )  # fmt: skip
    result = shop.add(fact, **_under(f"{id}{RESULT}", hand))
    return KeptSense(record, result, findings, told.why, refused)


def _put(shop: RecordShop, id: str, finding: Finding, hand: Hand) -> Record[Finding]:
    """A finding under the id of what it was learned from; what stands there already stays."""
    try:
        return shop.get(Finding, id)
    except Unknown:
        return shop.add(finding, **_under(id, hand))


def _under(id: str, hand: Hand) -> Hand:
    """The same hand, for a record that follows from another one."""
    rest = without_id(hand)
    rest["id"] = id
    return rest


def _answer(
    shop: RecordShop, record: Record[Sensed], tool: Gauge, hear: Hear | None
) -> tuple[dict[str, Any], Refusal | None]:
    """What it says; a file that cannot be worked out says why, and stays kept."""
    one, said = sense(record.fact.sort), record.fact
    try:
        proof = proof_of(shop, record, hear)
    except Refusal as no:
        kept = f"{no.remedy} {say('The file is kept as it came.')}".strip()
        why = f"{no.reason[:1].upper()}{no.reason[1:]}. {no.remedy}".strip()
        return nothing_told(one, why), type(no)(no.reason, remedy=kept, problems=no.problems)
    if proof is None:
        return typed_answer(one, said.readings, calibrated=is_sure(said, tool)), None
    return answer_of(one, proof), None


def _learned(
    shop: RecordShop, spot: Spot, record: Record[Sensed], answer: Mapping[str, Any], tool: Gauge
) -> Learned:
    one = sense(record.fact.sort)
    quiet = background_of(sensed(shop, spot.lot, spot.machine), record.fact)
    return learned(
        one,
        record.fact,
        answer,
        spot.kind,
        own=tool.uncertainty,
        checked=tool.checked,
        mended=_mended(shop, record),
        background_db=quiet.value if quiet else None,
    )


def _mended(shop: RecordShop, record: Record[Sensed]) -> bool:
    """Whether something was repaired since the newest reading "before" at this place."""
    said = record.fact
    at = {"lot": said.lot, "machine": said.machine}
    before = [
        one.seq
        for one in shop.current(Sensed, sort=said.sort, when="before", **at)
        if plain(one.fact.point) == plain(said.point) and one.seq < record.seq
    ]
    since = max(before, default=0)
    acts = [one for one in shop.current(Act, **at) if since < one.seq < record.seq]
    return any(one.fact.sort in MENDING for one in acts)


def _with_it(shop: RecordShop, id: str, said: Sensed) -> list[Record[Any]]:
    """What falls with it: its result, and each finding that still counts."""
    fallen: list[Record[Any]] = list(shop.current(SensedResult, machine=said.machine, sensed=id))
    for finding in shop.current(Finding, lot=said.lot, machine=said.machine):
        if first_id(shop, finding).rpartition(MARK)[:2] == (id, MARK):
            fallen.append(finding)
    return fallen


def _gone(record: Record[Any], reason: str) -> Withdrawn:
    return Withdrawn(of_kind=record.kind, reason=reason.strip())
