"""The invented lot with little wrong: what was looked at is not there, so that plans stay small."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache

from tests.cases.priced import found, kinds, lot, sound

from retrue.cases.case import LotCase
from retrue.cases.fix.belief import Belief, belief_of, deciding_stage
from retrue.cases.fix.cards import cards_of
from retrue.cases.fix.kept import FixKept, fix_of_case
from retrue.cases.fix.lines import Card, Cards
from retrue.cases.fix.needed import Needed, needed
from retrue.cases.prepare import Stage
from retrue.kinds.library import Kind


@cache
def bare(*present: str, machines: tuple[str, ...] = ("mill", "lathe")) -> LotCase:
    """A lot in which nothing is wrong but these faults, each as ``mill F15``."""
    case = lot(machines=machines)
    wrong = {tuple(one.split()) for one in present}
    for machine in case.machines:
        kind = kinds()[machine.kind]
        mine = {fault for name, fault in wrong if name == machine.name}
        case = sound(case, machine.name, *(f for f in kind.faults if f not in mine))
    more = tuple(
        found(f"{name}-{fault}", name, fault=fault, answer="present", channel="apart")
        for name, fault in sorted(wrong)
    )
    return replace(case, findings=(*case.findings, *more))


def read(case: LotCase, of: Mapping[str, Kind] | None = None) -> tuple[FixKept, Belief, Stage]:
    """What is kept and believed of a case, and where its orders are decided."""
    library = of or kinds()
    kept = fix_of_case(case, library)
    belief = belief_of(kept, library)
    return kept, belief, deciding_stage(kept, belief)


def need_of(
    case: LotCase, machine: str, level: str | None = None, of: Mapping[str, Kind] | None = None
) -> tuple[FixKept, Needed]:
    """What one machine of a case needs."""
    kept, belief, stage = read(case, of)
    return kept, needed(kept, kept.machine(machine), belief, stage, level)


def cards(
    case: LotCase, machine: str, level: str | None = None, of: Mapping[str, Kind] | None = None
) -> Cards:
    """The cards of one machine of a case."""
    return cards_of(*need_of(case, machine, level, of))


def by_key(made: Cards) -> dict[str, Card]:
    """Cards by their key."""
    return {one.key: one for one in made.cards}
