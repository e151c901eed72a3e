"""What a set of readings says: worked out, kept, told to the belief, entered as a setting."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Unpack

import retrue
from retrue.base.refusals import Refusal, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import deed, options_of, table_from
from retrue.cases.prove.proof import Conditions, Measured, Proof, flat, held_back
from retrue.cases.prove.proof import not_level as said_not_level
from retrue.cases.prove.table import Table, read_table
from retrue.kinds.library import Check, Kind
from retrue.phases.prove.places import Spot, find
from retrue.phases.prove.sets import fingerprint, open_set, set_line
from retrue.phases.prove.views import Judgement, SetView
from retrue.records.facts import Channel, Finding, Note, Withdrawn
from retrue.records.hand import Hand
from retrue.records.measuring import Result
from retrue.records.shop import Record, RecordShop

CHANNELS: tuple[Channel, ...] = (
    "running", "apart", "power_up", "visit_live", "visit_dead",
)  # fmt: skip


def work_out(shop: RecordShop, set_id: str, kinds: Mapping[str, Kind]) -> Proof:
    """What a set says as it stands; nothing is kept.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    set_id : str
        Of the set.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Proof
        Held back while the machine is not level, where the test needs that.

    Raises
    ------
    Refusal
        Readings are missing or cannot be used; they stay kept.
    """
    return _proof(shop, open_set(shop, set_id, kinds))


def judge(
    shop: RecordShop, set_id: str, kinds: Mapping[str, Kind], **hand: Unpack[Hand]
) -> Judgement:
    """Work a set out and keep what it says; the same readings again give the kept one.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    set_id : str
        Of the set.
    kinds : mapping of str to Kind
        The library.
    **hand : Hand
        Who judges.

    Returns
    -------
    Judgement
        Findings that are still to be kept: none if they are kept already.
    """
    view = open_set(shop, set_id, kinds)
    proof = _proof(shop, view)
    key = set_line(shop, set_id)[0]
    record = _keep(shop, _result(view, key, proof), hand)
    said = view.record.fact
    spot = find(shop, said.lot, said.machine, kinds)
    findings = tuple(_findings(spot, view, proof))
    learned = [one for one in findings if not _is_told(shop, one, record)]
    return Judgement(proof, record, tuple(learned))


def entered(
    shop: RecordShop,
    set_id: str,
    number: int,
    kinds: Mapping[str, Kind],
    **hand: Unpack[Hand],
) -> Record[Note]:
    """Keep that a remedy was carried out; a setting as "changed a setting".

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    set_id : str
        Of the set.
    number : int
        Which remedy, from 1.
    kinds : mapping of str to Kind
        The library.
    **hand : Hand
        Whose hand did it; with an ``id``, sent twice is kept once.

    Returns
    -------
    Record of Note

    Raises
    ------
    Unknown
        There is no such remedy; while provisional there is none at all.
    """
    sent = _noted(shop, hand)
    if sent is not None:
        return sent
    view = open_set(shop, set_id, kinds)
    proof = _proof(shop, view)
    if not 1 <= number <= len(proof.remedy):
        raise Unknown(
            say("this set has no remedy {number}", number=number),
            remedy=proof.provisional or say("It has {count}.", count=len(proof.remedy)),
        )
    return shop.add(_note(view, proof, number), **hand)


def results(shop: RecordShop, lot: str, machine: str) -> list[Record[Result]]:
    """What the sets of one machine said, oldest first; one for each set, the newest."""
    spot = find(shop, lot, machine, {})
    return shop.current(Result, lot=spot.lot, machine=spot.machine)


def prove_file(
    content: bytes,
    name: str,
    test: str,
    typed: Mapping[str, Any],
    conditions: Conditions,
    *,
    not_level: bool = False,
) -> Proof:
    """What a plain file of readings says; no shop is needed and nothing is kept.

    Parameters
    ----------
    content : bytes
        As it came.
    name : str
        For refusals.
    test : str
        level, sweep ...
    typed : mapping
        The test's options as typed; one that is a file is its bytes.
    conditions : Conditions
        Limit and doubt.
    not_level : bool
        The machine is not level: a test that needs it is only provisional.

    Returns
    -------
    Proof
    """
    one = deed(test)
    proof = one.prove(read_table(content, name), options_of(one, typed), conditions)
    return held_back(proof, said_not_level()) if not_level and one.needs_level else proof


def table_of_set(shop: RecordShop, view: SetView) -> Table:
    """The readings of a set as a table: of its file, or of its form."""
    said = view.record.fact
    if said.file:
        return read_table(shop.file(said.file), said.file_name)
    return table_from(view.deed, view.cells, view.values)


def _proof(shop: RecordShop, view: SetView) -> Proof:
    kept = say("The file is kept as it came.")
    if not view.record.fact.file:
        kept = say("What is typed is kept.")
    try:
        proof = _judged(view, table_of_set(shop, view))
    except Refusal as no:
        remedy = f"{no.remedy} {kept}".strip()
        raise type(no)(no.reason, remedy=remedy, problems=no.problems) from no
    proof = replace(proof, warnings=(*view.warnings, *proof.warnings))
    return held_back(proof, view.provisional) if view.provisional else proof


def _judged(view: SetView, table: Table) -> Proof:
    """Against its limit; without one where these readings do not give what the limit is for."""
    try:
        return view.deed.prove(table, view.options, view.conditions)
    except Unusable as no:
        if [problem.where for problem in no.problems] != ["judge"]:
            raise
    bare = replace(view.conditions, limit=None, judged=None)
    proof = view.deed.prove(table, view.options, bare)
    told = say("Not judged: these readings do not give what the limit of this test is for.")
    return replace(proof, warnings=(told, *proof.warnings))


def _result(view: SetView, key: str, proof: Proof) -> Result:
    said = view.record.fact
    return Result(
        lot=said.lot,
        machine=said.machine,
        set=key,
        test=said.test,
        readings=fingerprint(view),
        answer=json.dumps(
            flat(proof), sort_keys=True, ensure_ascii=False, separators=(",", ":"), allow_nan=False
        ),
        ruling=proof.verdict.ruling if proof.verdict else "",
        provisional=proof.provisional,
        version=retrue.__version__,
    )


def _keep(shop: RecordShop, wanted: Result, hand: Hand) -> Record[Result]:
    stood = shop.current(Result, set=wanted.set)
    if stood and stood[-1].fact.readings == wanted.readings:
        return stood[-1]
    return shop.add(wanted, replaces=stood[-1].id if stood else None, **hand)


def _findings(spot: Spot, view: SetView, proof: Proof) -> Iterator[Finding]:
    """What the belief learns: each measure that this kind of machine has."""
    kind = spot.kind
    if kind is None:
        return
    for one in proof.measures:
        measure = kind.measures.get(one.measure)
        if measure is not None and measure.check in kind.checks:
            yield _finding(spot, view, one, kind.checks[measure.check])


def _finding(spot: Spot, view: SetView, one: Measured, check: Check) -> Finding:
    channel: Channel = next((word for word in CHANNELS if word in check.stages), "running")
    place = view.record.fact.place
    return Finding(
        lot=spot.lot,
        machine=spot.machine,
        check=check.id,
        measure=one.measure,
        reading=one.value,
        uncertainty=one.uncertainty,
        grade=5 if view.checked else 4,
        channel=channel,
        text=f"{view.deed.title}, {place}" if place else view.deed.title,
    )


def _is_told(shop: RecordShop, finding: Finding, result: Record[Result]) -> bool:
    """Whether a result's finding was kept after it, even if it was then taken back."""
    kept = shop.current(Finding, lot=finding.lot, machine=finding.machine, check=finding.check)
    gone = shop.current(Withdrawn, of_kind=Finding.KIND)
    past = [shop.get(Finding, one.replaces) for one in gone if one.replaces]
    return any(one.fact == finding and one.seq > result.seq for one in (*kept, *past))


def _noted(shop: RecordShop, hand: Hand) -> Record[Note] | None:
    try:
        return shop.get(Note, hand["id"]) if "id" in hand else None
    except Unknown:
        return None


def _note(view: SetView, proof: Proof, number: int) -> Note:
    said, remedy = view.record.fact, proof.remedy[number - 1]
    setting = remedy.setting
    if setting is None:
        return Note(text=remedy.text, lot=said.lot, machine=said.machine)
    return Note(
        setting=setting.name,
        old=setting.old,
        new=setting.new,
        why=f"{proof.title}: {setting.why}" if setting.why else proof.title,
        lot=said.lot,
        machine=said.machine,
    )
