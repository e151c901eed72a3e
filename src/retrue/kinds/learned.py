"""Shares moved by the shop's own outcomes: per family of faults first, then part by part.

What the owner gave himself stays; learned numbers stand before the shipped ones.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from retrue.belief.base_odds import solve_base
from retrue.belief.learning import log_odds, offset, shifted
from retrue.kinds.library import Fault, Kind
from retrue.kinds.load import SURE, content_hash, load

LEARNED = "learned from outcomes"


@dataclass(frozen=True, slots=True)
class Outcome:
    """One fault whose truth was seen: what was said of it before, with and without findings."""

    kind: str
    fault: str
    share: float
    base_rate: float  # the kind's own share at that time
    was: bool
    weight: float = 1.0  # what it counts: one of one's own 1


@dataclass(frozen=True, slots=True)
class Family:
    """Outcomes of one family of faults (a subsystem), over all kinds.

    Attributes
    ----------
    looked, found : int
        How many were opened up, and in how many it was there.
    expected : float
        How many were expected, by what was said before.
    odds_times : float
        What they multiply the odds of the whole family by.
    """

    name: str
    looked: int
    found: int
    expected: float
    odds_times: float


def families(kinds: Mapping[str, Kind], outcomes: Sequence[Outcome]) -> tuple[Family, ...]:
    """Count outcomes per family.

    Parameters
    ----------
    kinds : mapping of str to Kind
        The library before anything was learned.
    outcomes : sequence of Outcome
        Those of a kind or a fault that is no longer there say nothing.

    Returns
    -------
    tuple of Family
        By name; only those that were looked at.

    Examples
    --------
    >>> families({}, [])
    ()
    """
    told = list(_told(kinds, outcomes))
    rows = []
    for name in sorted({one.family for one in told}):
        mine = [one for one in told if one.family == name]
        rows.append(
            Family(
                name=name,
                looked=len(mine),
                found=sum(one.was for one in mine),
                expected=sum(one.share for one in mine),
                odds_times=math.exp(_offset(mine)),
            )
        )
    return tuple(rows)


def learned_shares(
    kinds: Mapping[str, Kind], outcomes: Sequence[Outcome]
) -> dict[str, dict[str, float]]:
    """The shares that outcomes move, by kind and fault.

    Parameters
    ----------
    kinds : mapping of str to Kind
        The library before anything was learned.
    outcomes : sequence of Outcome

    Returns
    -------
    dict of dict
        Only faults of families that were looked at, and not those the owner gave himself.

    Notes
    -----
    A fault's own outcomes move its own share; those of the other faults of its family move the
    odds of the whole family. No outcome counts twice. Each of the two steps is worth four
    outcomes (judgement). A share said after findings is brought back to the share of today's
    tables by the odds that the findings had multiplied it by.

    Examples
    --------
    >>> learned_shares({}, [])
    {}
    """
    told = list(_told(kinds, outcomes))
    looked = {one.family for one in told}
    found: dict[str, dict[str, float]] = {}
    for kind in kinds.values():
        moved = {
            fault.id: _moved(fault, told)
            for fault in kind.faults.values()
            if fault.subsystem in looked and f"fault.{fault.id}.prior" not in kind.marks
        }
        if moved:
            found[kind.id] = moved
    return found


def with_learned(kinds: Mapping[str, Kind], outcomes: Sequence[Outcome]) -> Mapping[str, Kind]:
    """The library with what the shop has learned laid over the shipped shares.

    Parameters
    ----------
    kinds : mapping of str to Kind
        The library, the owner's own numbers laid over it.
    outcomes : sequence of Outcome
        None: the same kinds.

    Returns
    -------
    mapping of str to Kind
        With hashes of their own.

    Examples
    --------
    >>> with_learned({}, [])
    {}
    """
    shares = learned_shares(kinds, outcomes)
    return {
        name: taught(kind, shares[name]) if name in shares else kind for name, kind in kinds.items()
    }


def taught(kind: Kind, shares: Mapping[str, float]) -> Kind:
    """A kind with some shares of its faults replaced, and marked as learned.

    Parameters
    ----------
    kind : Kind
    shares : mapping of str to float
        By fault.

    Returns
    -------
    Kind
        Base odds solved anew for these faults only; its hash is that of its content.

    Examples
    --------
    >>> mill = load(only=("milling_machine",))["milling_machine"]
    >>> fault = next(iter(mill.faults))
    >>> changed = taught(mill, {fault: 0.31})
    >>> changed.faults[fault].prior, changed.marks[f"fault.{fault}.prior"]
    (0.31, 'learned from outcomes')
    """
    faults = {id: replace(kind.faults[id], prior=share) for id, share in shares.items()}
    references = _references(kind)
    base = {
        fault.id: solve_base(
            min(max(fault.prior, SURE), 1 - SURE),
            list(fault.raisers.values()),
            [references[history] for history in fault.raisers],
        )
        for fault in faults.values()
    }
    changed = replace(
        kind,
        faults={**kind.faults, **faults},
        base_log_odds={**kind.base_log_odds, **base},
        marks={**kind.marks, **{f"fault.{id}.prior": LEARNED for id in shares}},
    )
    return replace(changed, hash=content_hash(changed))


@dataclass(frozen=True, slots=True)
class _Told:
    """An outcome against the tables of today."""

    family: str
    fault: str
    prior: float
    share: float
    was: bool
    weight: float


def _told(kinds: Mapping[str, Kind], outcomes: Sequence[Outcome]) -> Iterator[_Told]:
    for one in outcomes:
        kind = kinds.get(one.kind)
        fault = kind.faults.get(one.fault) if kind else None
        if kind is None or fault is None:
            continue
        learned = kind.marks.get(f"fault.{fault.id}.prior") == LEARNED
        prior = one.base_rate if learned else fault.prior
        findings = log_odds(one.share) - log_odds(one.base_rate)
        yield _Told(fault.subsystem, fault.id, prior, shifted(prior, findings), one.was, one.weight)


def _moved(fault: Fault, told: Sequence[_Told]) -> float:
    others = [one for one in told if one.family == fault.subsystem and one.fault != fault.id]
    own = [one for one in told if one.fault == fault.id]
    family = _offset(others)
    centre = shifted(fault.prior, family)
    shares = [shifted(one.share, family) for one in own]
    weights = [one.weight for one in own]
    return shifted(centre, offset(shares, [one.was for one in own], centre, weights=weights))


def _offset(told: Sequence[_Told]) -> float:
    """What some outcomes of a family add to its log odds."""
    if not told:
        return 0.0
    centre = sum(one.prior for one in told) / len(told)
    weights = [one.weight for one in told]
    return offset([one.share for one in told], [one.was for one in told], centre, weights=weights)


def _references(kind: Kind) -> dict[str, float]:
    """Shares of past lives as shipped: base odds are solved with these, whatever is own."""
    own = any(mark.startswith("history.") for mark in kind.marks)
    source = load(only=(kind.id,))[kind.id] if own else kind
    return {id: history.prior for id, history in source.histories.items()}
