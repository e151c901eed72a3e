"""A finding in words: what was looked at and what was said of it."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.base import formatter
from retrue.base.say import say
from retrue.kinds.library import Kind
from retrue.records.facts import Finding

ANSWERS = {
    "not_seen": "not seen",
    "seen": "seen",
    "slight": "slight",
    "severe": "severe",
    "cant_tell": "can't tell",
    "yes": "yes",
    "no": "no",
    "likely": "likely",
    "maybe": "maybe",
    "unknown": "not known",
    "present": "found",
    "absent": "not there",
}
GRADES = ("told me", "photo", "film", "saw it", "measured", "measured with a checked instrument")


def finding_words(finding: Finding, kinds: Mapping[str, Kind | None]) -> str:
    """Say a finding so that its owner knows it again.

    Parameters
    ----------
    finding : Finding
        Its machine by name.
    kinds : mapping of str to (Kind or None)
        The kind of each machine, by the machine's name.

    Returns
    -------
    str
        Machine, look, answer.

    Examples
    --------
    >>> finding_words(Finding(lot="lot", machine="mill", check="C12", answer="seen"), {})
    'mill: C12: seen'
    """
    what, answer = looked_at(finding, kinds), answer_words(finding, kinds)
    words = say("{what}: {answer}", what=what, answer=answer)
    return f"{finding.machine}: {words}" if finding.machine else words


def answer_words(finding: Finding, kinds: Mapping[str, Kind | None]) -> str:
    """The answer in words, or the reading with its unit.

    Parameters
    ----------
    finding : Finding
        Its machine by name.
    kinds : mapping of str to (Kind or None)
        The kind of each machine, by the machine's name.

    Returns
    -------
    str
    """
    if finding.reading is not None:
        return formatter.number(finding.reading, _digits(finding.reading)) + _unit(finding, kinds)
    return say(ANSWERS.get(finding.answer, finding.answer))


def looked_at(finding: Finding, kinds: Mapping[str, Kind | None]) -> str:
    """What was looked at, asked or found, in the library's words; its id where it has none.

    Parameters
    ----------
    finding : Finding
        Its machine by name.
    kinds : mapping of str to (Kind or None)
        The kind of each machine, by the machine's name.

    Returns
    -------
    str
    """
    mine = [kinds.get(finding.machine)] if finding.machine else list(kinds.values())
    for kind in mine:
        if kind is None:
            continue
        if finding.check in kind.checks:
            return kind.checks[finding.check or ""].text
        if finding.history in kind.histories:
            return kind.histories[finding.history or ""].name
        if finding.fault in kind.faults:
            return kind.faults[finding.fault or ""].name
    return finding.check or finding.history or finding.fault or say("finding")


def _unit(finding: Finding, kinds: Mapping[str, Kind | None]) -> str:
    kind = kinds.get(finding.machine or "")
    measures = kind.measures if kind else {}
    measure = measures.get(finding.measure or "")
    return f" {measure.unit}" if measure else ""


def _digits(value: float) -> int:
    text = f"{abs(value):.6f}".rstrip("0")
    return len(text.partition(".")[2])


def cautions_of(kind: Kind, check: str) -> tuple[str, ...]:
    """The cautions that stand before a look, in full, each with what it defers to.

    Parameters
    ----------
    kind : Kind
        Of the machine.
    check : str
        Of the look.

    Returns
    -------
    tuple of str
        Those the look names itself, then those that name the look; each once.
    """
    named = kind.checks[check].caution.split() if check in kind.checks else []
    before = [one.id for one in kind.cautions.values() if check in one.shown_before.split()]
    texts = []
    for id in dict.fromkeys([*named, *before]):
        caution = kind.cautions.get(id)
        if caution is not None:
            to = f" ({caution.defers_to})" if caution.defers_to else ""
            texts.append(caution.text + to)
    return tuple(texts)
