"""Lots of the invented workshop, for tests."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np
from tests.library import load

from retrue.cases.case import Kept, LotCase
from retrue.cases.network import CaseNetwork, build
from retrue.cases.practice import answer, hidden_truth
from retrue.kinds.library import Kind
from retrue.records.facts import Asked, Channel, Finding, Lot, Machine, Shop, Terms

KINDS = {"A": "vertical_machining_centre", "B": "turning_centre"}


@cache
def kinds() -> Mapping[str, Kind]:
    """The shipped kinds, read once."""
    return load()


def lot(
    machines: str = "AB",
    findings: tuple[Kept, ...] = (),
    asked: tuple[Asked, ...] = (),
    shop: Shop | None = None,
    not_fitted: tuple[str, ...] = (),
) -> LotCase:
    """A closing school's lot: A a machining centre, B a turning centre."""
    return LotCase(
        shop=shop or Shop(),
        lot=Lot(name="school"),
        terms=Terms(lot="school"),
        machines=tuple(
            Machine(lot="school", name=m, kind=KINDS[m], not_fitted=not_fitted) for m in machines
        ),
        findings=findings,
        asked=asked,
    )


@cache
def machining_centre() -> CaseNetwork:
    """The network of one machining centre."""
    return build(lot("A"), kinds())


def said(id: str, machine: str | None = "A", **answers: object) -> Kept:
    """One kept finding."""
    return Kept(id=id, finding=Finding(lot="school", machine=machine, **answers))


def looked_at(case: LotCase, size: int, seed: int) -> LotCase:
    """The same lot after so many looks at each machine, answered by a hidden truth."""
    chance = np.random.Generator(np.random.Philox(seed))
    not_come = (Asked(lot="school", machine=None, what="S01", informant="seller", came=False),)
    opened = lot("".join(m.name for m in case.machines), asked=not_come)
    built = build(opened, kinds())
    truth = hidden_truth(built, chance)
    kept = []
    for machine, kind in built.kinds.items():
        checks = sorted(kind.checks)
        for place in chance.permutation(len(checks))[:size]:
            stages = kind.checks[checks[place]].stages
            channel: Channel = stages[int(chance.integers(len(stages)))]
            who = "seller" if channel == "call" else None
            finding = answer(built, truth, machine, checks[place], channel, chance, informant=who)
            kept.append(Kept(id=f"{machine}.{checks[place]}", finding=finding))
    return lot("".join(built.kinds), tuple(kept), not_come)
