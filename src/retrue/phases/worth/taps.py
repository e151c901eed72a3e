"""One tap below a photograph says something of its machine; it is kept, then judged."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Unpack

from retrue.base.refusals import NotYet, Unknown
from retrue.base.say import say
from retrue.kinds.library import Chip, Kind
from retrue.phases.worth.judge import Judged, keep_findings
from retrue.phases.worth.looks import BOTH, CANT_TELL, NOTHING_BAD, Answer, Look
from retrue.phases.worth.pictures import picture
from retrue.phases.worth.pricing import SEED, WORLDS
from retrue.records.facts import Finding, Grade, Note
from retrue.records.hand import Hand, without_id
from retrue.records.shop import Record, RecordShop

FILLING = (NOTHING_BAD, CANT_TELL)
WORSE = {"slight": 1, "seen": 2, "severe": 3, "maybe": 1, "likely": 2, "yes": 3}


def tap(
    shop: RecordShop,
    lot: str,
    look: str,
    answer: str,
    kinds: Mapping[str, Kind],
    *,
    informant: str | None = None,
    seed: int = SEED,
    worlds: int = WORLDS,
    **hand: Unpack[Hand],
) -> Judged:
    """One tap below a photograph: kept first, then judged.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, look : str
        The lot, and the photograph's id (``Look.id``).
    answer : str
        ``Answer.key``. "nothing_bad": every check of the view not yet answered here is not seen;
        "cant_tell": no evidence, and the photograph counts as judged.
    kinds : mapping of str to Kind
        The library.
    informant : str or None
        Who took the picture; None if that does not matter.
    seed, worlds : int
        Of the price.
    **hand : Hand
        Who taps.

    Returns
    -------
    Judged
        What was kept (photo, or film), the price before and after. Of "seen" and "not seen" in
        one photograph the later counts, of two things seen the worse; the same tap again changes
        nothing.

    Raises
    ------
    NotYet
        Nobody has said what the photograph shows, or of which machine.
    Unknown
        No such photograph, no such answer.
    """
    one = picture(shop, lot, look, kinds)
    chosen = _chosen(one, answer)
    _keep_need(shop, one, chosen, hand)
    here = _answers_here(shop, one)
    findings = [
        _finding(one, chip, here.get(chip.id), chosen, informant)
        for chip in chosen.says
        if chip.target != "need" and not (chosen.key in FILLING and chip.id in here)
    ]
    old = [here.get(what) for what in map(_what, findings)]
    return keep_findings(
        shop, lot, findings, kinds, seed=seed, worlds=worlds, instead_of=old, **hand
    )


def _chosen(one: Look, answer: str) -> Answer:
    """The key that was tapped, if this photograph can be judged at all."""
    if one.shot is None or one.machine is None:
        raise NotYet(
            say("nobody has said what this photograph shows, or of which machine"),
            remedy=say("Say that first; the photograph itself is kept."),
        )
    for known in one.answers:
        if known.key == answer:
            return known
    raise Unknown(
        say("this photograph has no answer {answer}", answer=answer),
        remedy=say("Its answers: {words}.", words=", ".join(str(a.words) for a in one.answers)),
    )


def _finding(
    one: Look, chip: Chip, stood: Record[Finding] | None, chosen: Answer, informant: str | None
) -> Finding:
    """What a tap says; two sights of one look add their words, and the worse one counts."""
    answer, text = chip.answer, chosen.words
    if stood is not None and {stood.fact.answer, answer} <= WORSE.keys():
        answer = max(stood.fact.answer, answer, key=WORSE.__getitem__)
        text = BOTH.join(dict.fromkeys([*stood.fact.text.split(BOTH), text]))
    grade: Grade = 2 if one.file.fact.media_type.startswith("video/") else 1
    return Finding(
        lot=one.file.fact.lot or "",
        machine=one.machine,
        check=chip.id if chip.target == "check" else None,
        history=chip.id if chip.target == "history" else None,
        answer=answer,
        grade=grade,
        channel="photo",
        informant=informant,
        picture=one.id,
        text=text,
    )


def _what(finding: Finding) -> str:
    return finding.check or finding.history or ""


def _answers_here(shop: RecordShop, one: Look) -> dict[str, Record[Finding]]:
    found = shop.current(Finding, lot=one.file.fact.lot, picture=one.id)
    return {_what(record.fact): record for record in found}


def _keep_need(shop: RecordShop, one: Look, chosen: Answer, hand: Hand) -> None:
    """A word about the need (too heavy for me) is no finding on the machine: keep it as a note."""
    if chosen.tapped or not any(chip.target == "need" for chip in chosen.says):
        return
    file = one.file.fact
    shop.add(
        Note(text=chosen.words, file=one.id, lot=file.lot, machine=file.machine), **without_id(hand)
    )
