"""The telephone: a sheet of questions with ready answers; what is told is kept as told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Unpack

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.kinds.library import Chip, Kind, Option, Question
from retrue.phases.worth.judge import Judged, keep_findings
from retrue.phases.worth.lots import LotView, view_lot
from retrue.phases.worth.pricing import SEED, WORLDS
from retrue.records.facts import Asked, Finding
from retrue.records.hand import Hand, without_id
from retrue.records.shop import Record, RecordShop


@dataclass(frozen=True, slots=True)
class CallLine:
    """One question about one machine, its ready answers, and the one given (None: not asked)."""

    machine: str
    question: Question
    given: int | None


def call_sheet(shop: RecordShop, lot: str, kinds: Mapping[str, Kind]) -> list[CallLine]:
    """All questions of the telephone call, machine by machine.

    Parameters
    ----------
    shop : RecordShop
        Where the lot is kept.
    lot : str
        Name or id.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    list of CallLine
        In the order of the library.
    """
    view = view_lot(shop, lot)
    asked = shop.current(Asked, lot=view.id)
    said = shop.current(Finding, lot=view.id, channel="call")
    lines = []
    for key, record in view.machines:
        kind = kinds.get(record.fact.kind)
        for question in kind.questions.values() if kind else ():
            if any(one.fact.machine == key and one.fact.what == question.id for one in asked):
                given = _given(question, [r.fact for r in said if r.fact.machine == key])
            else:
                given = None
            lines.append(CallLine(record.fact.name, question, given))
    return lines


def answer_call(
    shop: RecordShop,
    lot: str,
    machine: str,
    question: str,
    option: int,
    kinds: Mapping[str, Kind],
    *,
    informant: str | None = None,
    seed: int = SEED,
    worlds: int = WORLDS,
    **hand: Unpack[Hand],
) -> Judged:
    """Keep the answer to one question of the call, as told by the informant (told me).

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    question : str
        Q01 ...
    option : int
        Index of the ready answer, from 0.
    kinds : mapping of str to Kind
        The library.
    informant : str or None
        Who said it; None: the lot's seller. His candour is one hidden thing for all he says.
    seed, worlds : int
        Of the price.
    **hand : Hand
        Who writes.

    Returns
    -------
    Judged
        Findings kept, price before and after; asked again, the new answer counts.

    Raises
    ------
    Unknown
        No such question, or no such ready answer.
    """
    view = view_lot(shop, lot)
    key = view.machine_id(machine)
    asked, chosen = _option(view, key, question, option, kinds)
    who = informant or view.record.fact.seller
    findings = [
        _told(chip, view.id, key, who, chosen.words)
        for chip in chosen.says
        if chip.target != "need"
    ]
    old = _old_answers(shop, view, key, asked)
    stood = [old.pop(_what(finding), None) for finding in findings]
    _note_asked(shop, view, key, question, who, hand)
    return keep_findings(
        shop,
        view.id,
        findings,
        kinds,
        seed=seed,
        worlds=worlds,
        instead_of=stood,
        taking_back=list(old.values()),
        **hand,
    )


def _option(
    view: LotView, key: str, question: str, option: int, kinds: Mapping[str, Kind]
) -> tuple[Question, Option]:
    """The question and its ready answer, or a refusal that names what there is."""
    kind = next(kinds[record.fact.kind] for at, record in view.machines if at == key)
    asked = kind.questions.get(question)
    if asked is None:
        raise Unknown(
            say("there is no question {question} for a {kind}", question=question, kind=kind.name),
            remedy=say("Questions: {words}.", words=", ".join(map(str, kind.questions))),
        )
    if not 0 <= option < len(asked.options):
        words = ", ".join(str(one.words) for one in asked.options)
        raise Unknown(
            say("question {question} has no answer {option}", question=question, option=option),
            remedy=say("Its answers: {words}.", words=words),
        )
    return asked, asked.options[option]


def _told(chip: Chip, lot: str, machine: str, who: str, words: str) -> Finding:
    return Finding(
        lot=lot,
        machine=machine,
        check=chip.id if chip.target == "check" else None,
        history=chip.id if chip.target == "history" else None,
        answer=chip.answer,
        grade=0,
        channel="call",
        informant=who,
        text=words,
    )


def _what(finding: Finding) -> str:
    return finding.check or finding.history or ""


def _old_answers(
    shop: RecordShop, view: LotView, key: str, question: Question
) -> dict[str, Record[Finding]]:
    """What was answered to this question before, by what it is about."""
    words = {(chip.id, option.words) for option in question.options for chip in option.says}
    return {
        _what(record.fact): record
        for record in shop.current(Finding, lot=view.id, machine=key, channel="call")
        if (_what(record.fact), record.fact.text) in words
    }


def _note_asked(
    shop: RecordShop, view: LotView, key: str, question: str, who: str, hand: Hand
) -> None:
    if not shop.current(Asked, lot=view.id, machine=key, what=question):
        fact = Asked(lot=view.id, machine=key, what=question, informant=who, came=True)
        shop.add(fact, **without_id(hand))


def _given(question: Question, said: list[Finding]) -> int | None:
    """Which ready answer stands: the one whose words were kept, else the one that says nothing."""
    told = {(_what(finding), finding.text) for finding in said}
    silent = None
    for place, option in enumerate(question.options):
        if any((chip.id, option.words) in told for chip in option.says):
            return place
        if not option.says:
            silent = place
    return silent
