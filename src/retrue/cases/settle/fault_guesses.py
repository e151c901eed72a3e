"""What was thought of each fault when the bid was frozen, and what was there in the end."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from retrue.belief.network import Impossible
from retrue.belief.posterior import update
from retrue.cases.case import LotCase
from retrue.cases.evidence import evidence
from retrue.cases.network import build
from retrue.kinds.library import Kind

SEEN = 3  # the least grade at which what was there counts as seen


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultGuess:
    """One fault: how sure it seemed then, and what it was.

    Attributes
    ----------
    guessed : float
        With all that was found until then.
    base : float
        With nothing found.
    was : bool or None
        None: nobody opened it and told.
    """

    fault: str
    name: str
    guessed: float
    base: float
    was: bool | None


def fault_guesses(
    case: LotCase, until: Collection[str] | None, machine: str, kinds: Mapping[str, Kind]
) -> tuple[FaultGuess, ...]:
    """Every fault of one machine, guessed then and true now.

    Parameters
    ----------
    case : LotCase
        As it stands now.
    until : collection of str or None
        Ids of the findings that were there when it was guessed; None: nothing was found yet.
    machine : str
        By name.
    kinds : mapping of str to Kind
        The library the guesses were made with.

    Returns
    -------
    tuple of FaultGuess
        In the order of their ids; where the answers of that day contradict each other, the bare
        shares.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> guesses = fault_guesses(case, None, "mill", load())
    >>> all(abs(one.guessed - one.base) < 1e-9 and one.was is None for one in guesses)
    True
    """
    early = set(until or ())
    then = replace(
        case,
        findings=tuple(
            one for one in case.findings if one.id in early and one.finding.fault is None
        ),
        happened=(),
    )
    bare = _chances(replace(then, findings=()), machine, kinds)
    told = _chances(then, machine, kinds) if then.findings else bare
    truth = {
        one.finding.fault: one.finding.answer == "present"
        for one in case.findings
        if one.finding.machine == machine
        and one.finding.fault is not None
        and one.finding.grade >= SEEN
    }
    kind = kinds[next(one.kind for one in case.machines if one.name == machine)]
    return tuple(
        FaultGuess(
            fault=fault,
            name=kind.faults[fault].name,
            guessed=told.get(fault, bare[fault]),
            base=bare[fault],
            was=truth.get(fault),
        )
        for fault in sorted(bare)
    )


def _chances(case: LotCase, machine: str, kinds: Mapping[str, Kind]) -> dict[str, float]:
    built = build(case, kinds)
    found, _ = evidence(case, built)
    try:
        marginal = update(built.network, found).marginal
    except Impossible:
        return {}
    return {
        fault: min(max(float(marginal[at]), 0.0), 1.0)
        for (name, fault), at in built.faults.items()
        if name == machine
    }
