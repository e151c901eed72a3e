"""A lot of two machines, counted forward in every way it could have been; shares no sums."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import product

import numpy as np
from tests.library import load

from retrue.cases.case import Happened, Kept, LotCase
from retrue.cases.network import CaseNetwork
from retrue.kinds.library import Kind, Swappable
from retrue.records.facts import Finding, Lot, Machine, Shop, Terms
from retrue.records.seeking import Act, PartMoved, Trial, Trouble

NAME = "vertical_machining_centre"
FAULTS = ("F01", "F06", "F16")
SLOTS = tuple((machine, fault) for machine in "AB" for fault in FAULTS)
LOOKS = ("C20", "C47", "C21", "C48")
State = tuple[frozenset[object], frozenset[object]]  # what is there, what is behind what

Step = Finding | Trouble | Trial | Act | PartMoved


@cache
def small_kind() -> Kind:
    """Three faults, four looks, an invented job, an invented part that takes one fault along."""
    whole = load(only=(NAME,))[NAME]
    checks = {
        id: replace(
            whole.checks[id],
            links={f: x for f, x in whole.checks[id].links.items() if f in FAULTS},
            measures=(),
            answers="yes_no",
        )
        for id in LOOKS
    }
    job = replace(next(iter(whole.jobs.values())), id="J99", cures={"F01": 0.5, "F06": 0.3})
    motor = Swappable(
        id="motor", name="motor", goes_along=("F16",), stays=("F06",), follows="", keeps="",
        first=(), minutes=10.0, place="", mark="invented",
    )  # fmt: skip
    return replace(
        whole,
        faults={id: whole.faults[id] for id in FAULTS},
        checks=checks,
        jobs={"J99": job},
        swappable={"motor": motor},
    )


def case_of(story: list[tuple[str, Step]]) -> LotCase:
    """Looks and events in order, each with its id."""
    findings: list[Kept] = []
    happened: list[Happened] = []
    for id, one in story:
        if isinstance(one, Finding):
            findings.append(Kept(id=id, finding=one))
        else:
            happened.append(Happened(id=id, event=one, place=len(findings)))
    machines = tuple(Machine(lot="a", name=name, kind=NAME) for name in "AB")
    return LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=machines,
                   findings=tuple(findings), happened=tuple(happened))  # fmt: skip


@dataclass
class Counted:
    """Every way it could be, each with its weight, taken forward step by step."""

    kind: Kind
    built: CaseNetwork
    ways: dict[State, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.where = {slot: slot for slot in SLOTS}  # slot: what stands in it, by its first slot
        self.troubles: dict[str, Trouble] = {}
        plain = self.built.strands.plain
        rows = [self.built.faults[slot] - plain.roots for slot in SLOTS]
        needed = sorted({p for row in rows for p in plain.parents[row]})
        lives = np.array(list(product((0, 1), repeat=len(needed))))  # each way of having lived
        prior = plain.root_prior[needed]
        weight = np.where(lives, prior, 1 - prior).prod(axis=1)
        of = {parent: lives[:, column] for column, parent in enumerate(needed)}
        share = np.array([
            np.broadcast_to(plain.tables[r][tuple(of[p] for p in plain.parents[r])], weight.shape)
            for r in rows
        ])  # fmt: skip
        for there in product((False, True), repeat=len(SLOTS)):
            each = np.where(np.array(there)[:, None], share, 1 - share).prod(axis=0)
            parts = frozenset(s for s, present in zip(SLOTS, there, strict=True) if present)
            self.ways[parts, frozenset()] = float(weight @ each)

    def take(self, id: str, one: Step) -> None:
        if isinstance(one, Finding):
            self._weigh(lambda state: self._look(one, state))
        elif isinstance(one, Trouble):
            self._told(id, one)
        elif isinstance(one, Trial):
            self._weigh(lambda state: self._tried(one, state))
        elif isinstance(one, Act):
            self._done(one)
        else:
            for fault in self.kind.swappable[one.part].goes_along:
                here, there = (one.machine, fault), (one.from_machine, fault)
                self.where[here], self.where[there] = self.where[there], self.where[here]

    def there(self, machine: str, fault: str) -> float:
        part = self.where[machine, fault]
        total = sum(self.ways.values())
        return sum(w for state, w in self.ways.items() if part in state[0]) / total

    def behind(self, trouble: str, fault: str | None) -> float:
        machine = self.troubles[trouble].machine
        total = sum(self.ways.values())
        return (
            sum(
                weight
                for state, weight in self.ways.items()
                if fault in [f for m, f in self._active(trouble, machine, state)]
            )
            / total
        )

    def _active(self, trouble: str, machine: str, state: State) -> list[tuple[str, str | None]]:
        found: list[tuple[str, str | None]] = [
            slot
            for slot, part in self.where.items()
            if slot[0] == machine and part in state[0] and (trouble, part) in state[1]
        ]
        return [*found, (machine, None)] if (trouble, None) in state[1] else found

    def _weigh(self, chance: Callable[[State], float]) -> None:
        self.ways = {state: weight * chance(state) for state, weight in self.ways.items()}

    def _look(self, one: Finding, state: State) -> float:
        if one.fault is not None:
            there = self.where[str(one.machine), one.fault] in state[0]
            return float(there == (one.answer == "present"))
        check = self.kind.checks[str(one.check)]
        miss = 1 - check.leak
        for fault, link in check.links.items():
            if self.where[str(one.machine), fault] in state[0]:
                miss *= 1 - link
        return 1 - miss if one.answer == "seen" else miss

    def _told(self, id: str, one: Trouble) -> None:
        self.troubles[id] = one
        said = self.kind.symptoms[one.symptom]
        ways: dict[State, float] = defaultdict(float)
        links = {self.where[one.machine, f]: x for f, x in said.links.items() if f in FAULTS}
        for (parts, active), weight in self.ways.items():
            chances: dict[object, float] = {p: x for p, x in links.items() if p in parts}
            chances[None] = said.leak
            for luck in product((0, 1), repeat=len(chances)):
                if not any(luck):
                    continue  # it was told because it shows
                share, more = weight, set()
                for (part, chance), hit in zip(chances.items(), luck, strict=True):
                    share *= chance if hit else 1 - chance
                    if hit:
                        more.add((id, part))
                ways[parts, active | more] += share
        self.ways = ways

    def _tried(self, one: Trial, state: State) -> float:
        if one.trouble is not None:
            goes = self.troubles[one.trouble].comes_and_goes
            caught = 0.75 if goes else 0.98
            count = len(self._active(one.trouble, one.machine, state))
        else:
            caught = 0.98
            count = sum(self.where[one.machine, fault] in state[0] for fault in FAULTS)
        return (1 - caught) ** count if one.passes else float(count > 0)

    def _done(self, one: Act) -> None:
        ways: dict[State, float] = defaultdict(float)
        for (parts, active), weight in self.ways.items():
            chances = self._chances(one, (parts, active))
            for luck in product((0, 1), repeat=len(chances)):
                share, gone = weight, set()
                for (what, chance), hit in zip(chances.items(), luck, strict=True):
                    share *= chance if hit else 1 - chance
                    if hit:
                        gone.add(what)
                ways[parts - gone, active - gone] += share
        self.ways = ways

    def _chances(self, one: Act, state: State) -> dict[object, float]:
        """What is there and may be cured, and how likely."""
        if one.sort == "call_for_help":
            mine = [what for what in state[1] if isinstance(what, tuple) and what[0] == one.trouble]
            found: dict[object, float] = {}
            for what in mine:
                if what[1] is None:
                    found[what] = 0.99
                elif what[1] in state[0]:
                    found[what[1]] = 0.99
            return found
        cures = dict(self.kind.jobs[one.job].cures) if one.job else {}
        if one.fault is not None:
            way = next(w for w in self.kind.fixes[one.fault] if w.way == one.way)
            cures[one.fault] = way.cures
            cures |= {f: way.cures * x for f, x in way.also_cures.items() if f in FAULTS}
        units = {self.where[one.machine, fault]: min(0.99, x) for fault, x in cures.items()}
        return {unit: x for unit, x in units.items() if unit in state[0]}
