"""A practice machine by the words that an act is named by, at the keyboard and on the page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.find.rehearsal import MACHINE, Rehearsal, begin
from retrue.cases.known import nearest
from retrue.cases.said import answer_words
from retrue.kinds.library import Kind
from retrue.records.facts import Finding
from retrue.records.seeking import Trouble

WORDS = ("next", "again", "help", "bill", "stop")


@dataclass(frozen=True, slots=True)
class Practised:
    """A practice machine after some acts.

    Attributes
    ----------
    one : Rehearsal
    log : tuple of (str, str)
        Each act and what came of it.
    done : bool
        The trouble is gone, or it was given up.
    """

    one: Rehearsal
    log: tuple[tuple[str, str], ...]
    done: bool


def replay(
    kinds: Mapping[str, Kind], kind: str, seed: int, acts: Sequence[str], *, wrong_priors: bool
) -> Practised:
    """Hide a machine with a trouble and do the acts once more; the same ones end the same.

    Parameters
    ----------
    kinds : mapping of kind id to Kind
    kind : str
        Id.
    seed : int
        Which machine is hidden.
    acts : sequence of str
        As :func:`act` takes them, or ``stop``; what follows the end is left out.
    wrong_priors : bool
        What is likely on it is not what the tables say.

    Returns
    -------
    Practised

    Raises
    ------
    Unknown
        There is no such kind or act.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> told = replay(load(), "vertical_machining_centre", 3, ["help", "C31"], wrong_priors=False)
    >>> told.done, len(told.log)
    (True, 1)
    """
    one = begin(kinds, kind, seed=seed, wrong_priors=wrong_priors)
    log: list[tuple[str, str]] = []
    for step in acts:
        if step == "stop":
            return Practised(one, tuple(log), True)
        told, done = act(one, step)
        log.append((step, told))
        if done:
            return Practised(one, tuple(log), True)
    return Practised(one, tuple(log), False)


def act(one: Rehearsal, step: str) -> tuple[str, bool]:
    """Do one step on a practice machine.

    Parameters
    ----------
    one : Rehearsal
    step : str
        Its id, as advice names it.

    Returns
    -------
    (str, bool)
        What came of it, in words; whether the goal is known to be met.

    Raises
    ------
    Unknown
        There is no such step.

    Examples
    --------
    >>> from retrue.cases.find.rehearsal import begin
    >>> from retrue.kinds.load import load
    >>> hidden = begin(load(), "vertical_machining_centre", seed=3, symptom="Y01")
    >>> act(hidden, "help")
    ('Somebody came, found it and put it right.', True)
    """
    head, _, tail = step.partition(":")
    if head in one.kind.checks:
        return seen_words(one, one.look(head)), False
    if head == "swap" and tail in one.kind.swappable:
        part = one.kind.swappable[tail]
        return seen_words(one, one.look(part.follows or part.keeps)), False
    if head in one.kind.faults or head in one.kind.jobs:
        one.treat("" if head in one.kind.jobs else head, tail or head)
        return say("Done. Try it again."), False
    if head == "again":
        if one.goal != "clear":
            raise Unknown(say("a level is proved group by group"), remedy=_groups(one))
        gone = one.try_again()
        return (say("It is gone.") if gone else say("It still does it.")), gone
    if head == "group" and tail in one.kind.groups:
        right = one.group(tail)
        return (say("It is right.") if right else say("It is not right.")), _level_met(one)
    if head == "help" and (one.goal == "clear" or tail in one.kind.groups):
        one.call(tail)
        return say("Somebody came, found it and put it right."), one.met
    known = [*WORDS, *one.kind.checks, *one.kind.jobs, *one.kind.faults]
    raise Unknown(
        say("there is no step {step}", step=step), remedy=nearest(head, known) or _groups(one)
    )


def seen_words(one: Rehearsal, finding: Finding) -> str:
    """What a look showed, in words.

    Parameters
    ----------
    one : Rehearsal
    finding : Finding

    Returns
    -------
    str
    """
    return answer_words(finding, {MACHINE: one.kind})


def symptom_of(one: Rehearsal) -> str | None:
    """What it does, by the id of the list; None for a level.

    Parameters
    ----------
    one : Rehearsal

    Returns
    -------
    str or None
    """
    told = (kept.event for kept in one.case.happened)
    return next((event.symptom for event in told if isinstance(event, Trouble)), None)


def truth_words(one: Rehearsal, faults: frozenset[str]) -> list[str]:
    """Hidden faults by name.

    Parameters
    ----------
    one : Rehearsal
    faults : frozenset of str
        The empty one: a cause on no list.

    Returns
    -------
    list of str
    """
    off = say("something that is on no list")
    return [one.kind.faults[f].name if f else off for f in sorted(faults)]


def _level_met(one: Rehearsal) -> bool:
    return one.goal != "clear" and one.met


def _groups(one: Rehearsal) -> str:
    return say("Groups: {names}.", names=", ".join(f"group:{name}" for name in one.kind.groups))
