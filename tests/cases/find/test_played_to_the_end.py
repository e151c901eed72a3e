"""Played on hidden machines: every step keeps the rules, nothing is asked twice, it ends."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.cases.find.machines import LETTERS, case, kinds, signed, told, tried

from retrue.cases.case import Event
from retrue.cases.find.options import Option
from retrue.cases.find.reasons import WAYS
from retrue.cases.find.rules import blocked
from retrue.cases.find.seek import seek
from retrue.cases.find.standing import way_of
from retrue.cases.find.steps import offered
from retrue.cases.network import build
from retrue.cases.practice import answer, hidden_truth
from retrue.records.facts import Finding
from retrue.records.seeking import Act

MOST_STEPS = 90


class Hidden:
    """A machine with a hidden truth and one trouble that some of it is behind."""

    def __init__(self, kind: str, seed: int) -> None:
        self.chance = np.random.Generator(np.random.Philox(seed))
        self.kind = kinds()[kind]
        self.built = build(case(kind=kind), kinds())
        self.symptom = ""
        self.active: set[str] = set()
        while not self.active:
            self.truth = hidden_truth(self.built, self.chance).copy()
            symptoms = sorted(self.kind.symptoms)
            self.symptom = symptoms[int(self.chance.integers(len(symptoms)))]
            links = self.kind.symptoms[self.symptom].links
            self.active = {
                fault
                for fault, link in links.items()
                if self.there(fault) and self.chance.random() < link
            }

    def there(self, fault: str) -> bool:
        variable = self.built.faults.get(("mill", fault))
        return variable is not None and bool(self.truth[variable])

    def cure(self, fault: str, chance: float) -> None:
        if self.there(fault) and self.chance.random() < chance:
            self.truth[self.built.faults["mill", fault]] = False
            self.active.discard(fault)

    def do(self, option: Option) -> list[Event | Finding]:
        """What happens when a step is done, trying again after every treatment."""
        if option.look is not None:
            stage = option.look.stage
            channel = stage if stage in ("photo", "call") else "visit_dead"
            check = option.look.check.id
            found = answer(self.built, self.truth, "mill", check, channel, self.chance)
            return [replace(found, lot="school", grade=max(3, found.grade))]
        if option.sort == "sign":
            return [signed(option.key.partition(":")[2])]
        act = {"lot": "school", "machine": "mill", "trouble": "t"}
        if option.sort == "help":
            self.active.clear()
            return [Act(sort="call_for_help", **act), tried(True)]
        if option.way is None:
            return [tried(not self.active)]
        way = option.way
        if way.job:
            for fault, chance in self.kind.jobs[way.job].cures.items():
                self.cure(fault, chance)
            return [Act(sort="clean", job=way.job, **act), tried(not self.active)]
        fix = way_of(self.kind, way.fault, way.way)
        assert fix is not None
        self.cure(way.fault, fix.cures)
        for fault, chance in fix.also_cures.items():
            self.cure(fault, chance * fix.cures)
        done = Act(sort=WAYS[way.way], fault=way.fault, way=way.way, **act)
        return [done, tried(not self.active)]


@pytest.mark.parametrize("seed", range(1, 4))  # each ends within some thirty steps
@pytest.mark.parametrize("letter", LETTERS)
def test_a_hidden_machine_is_played_to_its_end_within_the_rules(letter: str, seed: int):
    kind = LETTERS[letter]
    hidden = Hidden(kind, seed)
    line: list[Event | Finding] = [told(hidden.symptom)]
    if seed > 1:
        line.append(signed("running"))
    for _ in range(MOST_STEPS):
        found = seek(case(*line, kind=kind), "mill", kinds(), goal="clear", worlds=200)
        if found.met:
            return
        steps = offered(found).options
        assert steps
        assert all(blocked(found, option) is None for option in steps)
        assert not {option.key for option in steps if option.look} & found.state.answered
        line += hidden.do(steps[0])
    pytest.fail(f"still not found: {hidden.symptom} {hidden.active}")
