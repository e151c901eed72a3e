"""What a kind knows: findings, plates, cost lines and names are looked up before they count."""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from retrue.base.say import say
from retrue.kinds.library import Kind
from retrue.records.facts import Asked, CostLine, Finding, Machine, Plate


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something wrong with one field of a fact."""

    field: str
    what: str
    remedy: str


def nearest(word: str, known: Collection[str]) -> str:
    """A sentence with the nearest known word, or with all of them where they are few.

    Parameters
    ----------
    word : str
        As typed.
    known : collection of str
        What there is.

    Returns
    -------
    str
        Empty where nothing is near.

    Examples
    --------
    >>> nearest("machin", ["machine", "lot"])
    'Did you mean machine?'
    """
    longer = [one for one in known if word and one.lower().startswith(word.lower())]
    close = longer[:1] or difflib.get_close_matches(word, list(known), n=1, cutoff=0.5)
    if close:
        return say("Did you mean {word}?", word=close[0])
    if 0 < len(known) <= 12:
        return say("Known: {words}.", words=", ".join(sorted(known)))
    return ""


def machine_doubts(machine: Machine, kinds: Mapping[str, Kind]) -> Iterator[Doubt]:
    """Look a machine's kind and the faults it names up.

    Parameters
    ----------
    machine : Machine
        As typed.
    kinds : mapping of str to Kind
        The library.

    Yields
    ------
    Doubt
        One for each thing wrong.
    """
    kind = kinds.get(machine.kind)
    if kind is None:
        yield kind_doubt("kind", machine.kind, kinds)
        return
    for field in ("not_fitted", "live_with"):
        for fault in getattr(machine, field):
            yield from _one_of(field, fault, kind.faults, f"fault of a {kind.name}")
    for fault in machine.not_fitted:
        if fault in kind.faults and not kind.faults[fault].optional:
            what = say("{fault}: every such machine has what that is of", fault=fault)
            yield Doubt("not_fitted", what, say("Leave it out; look, and say what you saw."))
    for fault in machine.live_with:
        if fault in kind.faults and kind.faults[fault].urgency == "STOP":
            what = say("{fault} is a stop: nobody may live with it", fault=fault)
            yield Doubt("live_with", what, say("Leave it out; it must be cleared."))


def kind_doubt(field: str, word: str, kinds: Mapping[str, Kind]) -> Doubt:
    """Say that there is no such type of machine, and which is nearest.

    Parameters
    ----------
    field, word : str
        Where it stands and what was typed.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Doubt
    """
    what = say("there is no type of machine {word}", word=word)
    return Doubt(field, what, f"{nearest(word, kinds)} retrue kinds list names them.".strip())


def finding_doubts(finding: Finding, kinds: Sequence[Kind]) -> Iterator[Doubt]:
    """Look up what a finding answers.

    Parameters
    ----------
    finding : Finding
        As typed.
    kinds : sequence of Kind
        Of its machine; of all machines of the lot where it names none.

    Yields
    ------
    Doubt
        One for each thing wrong.
    """
    given = [name for name in ("check", "history", "fault") if getattr(finding, name)]
    if len(given) != 1:
        return  # told by the checking of the fact itself
    known = {
        "check": {key: None for kind in kinds for key in kind.checks},
        "history": {key: None for kind in kinds for key in kind.histories},
        "fault": {key: None for kind in kinds for key in kind.faults},
    }[given[0]]
    words = {"check": "look", "history": "past life", "fault": "fault"}[given[0]]
    owners = " / ".join(map(str, dict.fromkeys(kind.name for kind in kinds)))
    yield from _one_of(given[0], getattr(finding, given[0]), known, f"{words} of {owners}")
    if finding.check:
        yield from _reading_doubts(finding, kinds)


def _reading_doubts(finding: Finding, kinds: Sequence[Kind]) -> Iterator[Doubt]:
    measures = [
        name
        for kind in kinds
        if finding.check in kind.checks
        for name in kind.checks[finding.check or ""].measures
    ]
    if finding.measure is not None:
        yield from _one_of("measure", finding.measure, measures, f"measure of {finding.check}")


def plate_doubts(plate: Plate, kind: Kind) -> Iterator[Doubt]:
    """Look a stamped value's entry up; its size is never refused.

    Parameters
    ----------
    plate : Plate
        As typed.
    kind : Kind
        Of its machine.

    Yields
    ------
    Doubt
    """
    yield from _one_of("entry", plate.entry, kind.plate, f"plate entry of a {kind.name}")


def asked_doubts(asked: Asked, kinds: Sequence[Kind]) -> Iterator[Doubt]:
    """Look up what was asked of an informant.

    Parameters
    ----------
    asked : Asked
        As typed.
    kinds : sequence of Kind
        Of its machine, or of all machines of the lot.

    Yields
    ------
    Doubt
    """
    known = [
        key
        for kind in kinds
        for table in (kind.shots, kind.questions, kind.checks)
        for key in table
    ]
    yield from _one_of("what", asked.what, known, "picture, question or look")


def line_doubts(line: CostLine, kinds: Sequence[Kind]) -> Iterator[Doubt]:
    """Look a cost line up, and ask for its reason.

    Parameters
    ----------
    line : CostLine
        A cost (E11), a way of putting right (F15:local), or a job (J24).
    kinds : sequence of Kind
        Of its machine, or of all machines of the lot.

    Yields
    ------
    Doubt
    """
    if not line.reason.strip():
        what = say("a figure of your own needs its reason")
        yield Doubt("reason", what, say('For example: reason = "I know a winder".'))
    yield from _one_of("line", line.line, sorted(cost_lines(kinds)), "cost line")


def cost_lines(kinds: Sequence[Kind]) -> set[str]:
    """All lines that can be overtyped: costs, jobs, fault:way.

    Parameters
    ----------
    kinds : sequence of Kind
        Of the lot's machines.

    Returns
    -------
    set of str
    """
    return {
        key
        for kind in kinds
        for key in (
            *kind.costs,
            *kind.jobs,
            *(f"{fix.fault}:{fix.way}" for fixes in kind.fixes.values() for fix in fixes),
        )
    }


def _one_of(field: str, word: str, known: Collection[str], what: str) -> Iterator[Doubt]:
    if word not in known:
        told = say("{word} is no {what}", word=word, what=what)
        yield Doubt(field, told, nearest(word, known))
