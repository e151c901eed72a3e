"""Troubles that mean "switch it off": the machine stays off until they are cleared dead."""

from __future__ import annotations

from dataclasses import replace

from retrue.cases.case import Happened, LotCase
from retrue.cases.find.dead import dead_looks_at
from retrue.cases.find.standing import Standing, standing
from retrue.kinds.library import Symptom
from retrue.records.seeking import Act, Trial, Trouble


def is_gone(case: LotCase, trouble: str) -> bool:
    """Whether the newest try of a trouble passed.

    Parameters
    ----------
    case : LotCase
    trouble : str
        Its id.

    Returns
    -------
    bool
        False where it was never tried again.
    """
    tries = [one.event for one in case.happened if isinstance(one.event, Trial)]
    passes = [one.passes for one in tries if one.trouble == trouble]
    return bool(passes) and passes[-1]


def stays_off(case: LotCase, state: Standing) -> tuple[Happened, ...]:
    """The troubles because of which a machine has to stay off, whatever is searched for.

    Parameters
    ----------
    case : LotCase
    state : Standing
        Of the machine, of the same case.

    Returns
    -------
    tuple of Happened
        Oldest first. A try alone never lifts it: it is lifted once all its dead looks passed, or
        once somebody who was called for it put it right and it passed when tried after that. Work
        done after a try that passed, with the dead looks passed by then, does not bring it back.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> smells = Happened(id="1", event=Trouble(lot="a", machine="A", symptom="Y48"), place=0)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,),
    ...                happened=(smells,))
    >>> [one.id for one in stays_off(case, standing(case, "A", load()[mill.kind]))]
    ['1']
    """
    found = []
    for one in case.happened:
        event = one.event
        if not isinstance(event, Trouble) or event.machine != state.machine.name:
            continue
        symptom = state.kind.symptoms.get(event.symptom)
        if symptom is None or not symptom.switch_off_first:
            continue
        if not _clear(symptom, state) and not _was_clear(case, one, symptom, state):
            found.append(one)
    return tuple(found)


def _clear(symptom: Symptom, state: Standing) -> bool:
    looks = dead_looks_at(symptom, state.kind)
    return bool(looks) and all(look.id in state.passed for look in looks)


def _was_clear(case: LotCase, told: Happened, symptom: Symptom, state: Standing) -> bool:
    """Whether it was cleared dead, or by who was called, when its newest try passed."""
    tries = [
        (at, one.place, one.event.passes)
        for at, one in enumerate(case.happened)
        if isinstance(one.event, Trial) and one.event.trouble == told.id
    ]
    if not tries or not tries[-1][2]:
        return False
    at, place, _ = tries[-1]
    acts = (one.event for one in case.happened[:at] if isinstance(one.event, Act))
    if any(act.sort == "call_for_help" and act.trouble == told.id for act in acts):
        return True
    then = replace(case, findings=case.findings[:place], happened=case.happened[: at + 1])
    return _clear(symptom, standing(then, state.machine.name, state.kind))
