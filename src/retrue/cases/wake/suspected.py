"""Faults thought likely that a stage could hurt, each with the look that clears it."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.base.say import say
from retrue.cases.wake.closed import clearing_looks
from retrue.cases.wake.kept import PowerKept
from retrue.kinds.library import Kind

LIKELY = 0.3  # from here on a fault is called likely (judgement)
MOST = 5  # named for one stage


def suspected_by_stage(kept: PowerKept, kinds: Mapping[str, Kind]) -> dict[str, tuple[str, ...]]:
    """Likely faults by the stage that could hurt them, or be hurt by them.

    Parameters
    ----------
    kept : PowerKept
    kinds : mapping of str to Kind
        The library; what is not cleared is thought of with all that was found and done so far.

    Returns
    -------
    dict of str to tuple of str
        By stage, the likeliest first, in words and without any number; nothing where what was
        answered contradicts itself.
    """
    # Only here the sums are needed; a gate or a form shall not wait for them.
    from retrue.belief.network import Impossible
    from retrue.belief.posterior import update
    from retrue.cases.evidence import evidence
    from retrue.cases.network import build

    built = build(kept.case, kinds)
    said, _ = evidence(kept.case, built)
    try:
        marginal = built.marginal_now(update(built.network, said).marginal)
    except Impossible:  # answers that exclude each other are told where prices are told
        return {}
    shares = {
        fault: float(marginal[row])
        for (machine, fault), row in built.faults.items()
        if machine == kept.spot.name
    }
    return likely_by_stage(kept, shares)


def likely_by_stage(kept: PowerKept, shares: Mapping[str, float]) -> dict[str, tuple[str, ...]]:
    """Likely faults that are not cleared, by the stages that touch them.

    Parameters
    ----------
    kept : PowerKept
    shares : mapping of str to float
        Chance of each fault to be there now.

    Returns
    -------
    dict of str to tuple of str

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from retrue.kinds.load import load
    >>> state = SimpleNamespace(absent=set(), present=set(), passed=set())
    >>> kept = SimpleNamespace(kind=load()["vertical_machining_centre"], state=state)
    >>> likely_by_stage(kept, {"F25": 0.6})["P6-V"][0][:39]
    'Axis amplifier dead or trips. What clea'
    >>> likely_by_stage(kept, {"F25": 0.2})["P6-V"]
    ()
    """
    likely = sorted(
        (fault for fault, share in shares.items() if share >= LIKELY and not _clear(kept, fault)),
        key=lambda fault: (-shares[fault], fault),
    )
    faults = kept.kind.faults
    return {
        stage.id: tuple(
            _words(kept.kind, fault)
            for fault in likely
            if faults[fault].subsystem in stage.touches and fault not in stage.faults
        )[:MOST]
        for stage in kept.kind.stages.values()
    }


def _clear(kept: PowerKept, fault: str) -> bool:
    state = kept.state
    if fault in state.absent:
        return True
    passed = set(clearing_looks(kept.kind, fault)) & state.passed
    return fault not in state.present and bool(passed)


def _words(kind: Kind, fault: str) -> str:
    looks = clearing_looks(kind, fault)
    if not looks:
        return say("{fault}: no look clears it", fault=kind.faults[fault].name)
    return say("{fault}. What clears it: {look}", fault=kind.faults[fault].name,
               look=kind.checks[looks[0]].text)  # fmt: skip
