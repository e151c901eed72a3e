"""One tap below a photograph says something of its machine; it is kept, then judged."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Unpack

from retrue.base.refusals import NotYet, Unknown
from retrue.base.say import say
from retrue.kinds.library import Chip, Kind
from retrue.phases.worth.judge import SEED, WORLDS, Judged, keep_findings
from retrue.phases.worth.looks import CANT_TELL, NOTHING_BAD, Answer, Look
from retrue.phases.worth.pictures import picture
from retrue.records.facts import Finding, Grade, Note
from retrue.records.hand import Hand, without_id
from retrue.records.shop import Record, RecordShop


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
        What was kept (photo, or film), the price before and after. Of two answers to one
        question about one photograph the later counts; the same tap again changes nothing.

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
    grade: Grade = 2 if one.file.fact.media_type.startswith("video/") else 1
    here = _answers_here(shop, one)
    findings = [
        Finding(
            lot=one.file.fact.lot or lot,
            machine=one.machine,
            check=chip.id if chip.target == "check" else None,
            history=chip.id if chip.target == "history" else None,
            answer=chip.answer,
            grade=grade,
            channel="photo",
            informant=informant,
            picture=one.id,
            text=chosen.words,
        )
        for chip in _open_chips(chosen, here)
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
        remedy=say("Its answers: {words}.", words=", ".join(a.words for a in one.answers)),
    )


def _open_chips(chosen: Answer, here: Mapping[str, Record[Finding]]) -> list[Chip]:
    """What a tap adds: for "nothing bad" and "can't tell" only what was not answered here."""
    filling = chosen.key in (NOTHING_BAD, CANT_TELL)
    return [
        chip
        for chip in chosen.says
        if chip.target != "need"
        and not (chip.id in here and (filling or here[chip.id].fact.answer == chip.answer))
    ]


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
