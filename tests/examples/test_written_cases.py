"""Twelve written cases, three a kind: the advice reaches each truth, which it never reads.

The cases are invented. A look shows what is there where it shows more often than not; a way of
putting right cures what is there.
"""

from __future__ import annotations

import tomllib
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from tests.library import load

from retrue.cases.case import Event, Happened, Kept, LotCase
from retrue.cases.find.reasons import WAYS
from retrue.cases.find.seek import Sought, seek
from retrue.cases.find.steps import offered
from retrue.cases.lot_file import read_lot
from retrue.kinds.library import Kind
from retrue.records.facts import Finding
from retrue.records.seeking import Act, Signed, Trial, Trouble

HOME = Path(__file__).resolve().parents[2] / "examples" / "find"
NAMES = sorted(path.stem for path in HOME.glob("*.toml"))
MOST_STEPS = 25
TROUBLE = "trouble"


@cache
def kinds() -> dict[str, Kind]:
    return dict(load())


class Told:
    """One written case being worked on."""

    def __init__(self, name: str) -> None:
        content = (HOME / f"{name}.toml").read_bytes()
        self.case: LotCase = read_lot(content, f"{name}.toml", kinds())
        self.machine = self.case.machines[0]
        self.kind = kinds()[self.machine.kind]
        truth = tomllib.loads((HOME / "truth" / f"{name}.toml").read_text(encoding="utf-8"))
        self.present, self.behind = set(truth["present"]), set(truth["behind"])
        self.answers: dict[str, str] = truth["answers"]
        self.spent = 0.0
        self.done: list[str] = []

    def sought(self) -> Sought:
        found = seek(self.case, self.machine.name, kinds(), goal="clear", trouble=TROUBLE)
        assert not found.not_used
        return found

    def looked(self, check: str) -> None:
        one = self.kind.checks[check]
        shows = any(one.links.get(fault, 0.0) >= 0.5 for fault in self.present)
        answer = self.answers.get(check, "seen" if shows else "not_seen")
        found = Finding(
            lot=self.case.lot.name, machine=self.machine.name, check=check, answer=answer,
            grade=3, channel="running",
        )  # fmt: skip
        kept = Kept(id=f"f{len(self.case.findings)}", finding=found)
        self.case = replace(self.case, findings=(*self.case.findings, kept))

    def happened(self, event: Event) -> None:
        one = Happened(
            id=f"e{len(self.case.happened)}", event=event, place=len(self.case.findings), on="1"
        )
        self.case = replace(self.case, happened=(*self.case.happened, one))

    def treated(self, fault: str, way: str, job: str) -> None:
        cured = {fault} | (set(self.kind.jobs[job].cures) if job else set())
        self.present -= cured
        self.behind -= cured
        sort: Any = "clean" if job else WAYS[way]
        self.happened(
            Act(lot=self.case.lot.name, machine=self.machine.name, trouble=TROUBLE, sort=sort,
                fault=None if job else fault, way="" if job else way, job=job or None)
        )  # fmt: skip
        self.tried()

    def tried(self) -> None:
        self.happened(
            Trial(lot=self.case.lot.name, machine=self.machine.name, trouble=TROUBLE,
                  passes=not self.behind)
        )  # fmt: skip

    def step(self) -> bool:
        """Do what comes first in the advice; whether there was anything to do."""
        found = self.sought()
        if found.met:
            return False
        option = offered(found).options[0]
        self.done.append(option.key)
        self.spent += option.cost
        if option.look is not None:
            self.looked(option.look.check.id)
        elif option.way is not None:
            self.treated(option.way.fault, option.way.way, option.way.job)
        elif option.sort == "sign":
            self.happened(
                Signed(lot=self.case.lot.name, machine=self.machine.name,
                       stage=option.key.partition(":")[2], name="the owner")
            )  # fmt: skip
        else:
            self.tried()
            assert option.sort == "again", "help was called"
        return True


def test_there_are_three_a_kind_with_different_symptoms():
    cases = [Told(name) for name in NAMES]
    assert len(cases) == 12
    symptoms = set()
    for kind in kinds():
        mine = [one for one in cases if one.kind.id == kind]
        assert len(mine) == 3
        for one in mine:
            told = [h.event for h in one.case.happened if isinstance(h.event, Trouble)]
            symptoms.add(told[0].symptom)
    assert len(symptoms) == 12


@pytest.mark.parametrize("name", NAMES)
def test_the_advice_reaches_the_truth(name: str):
    told = Told(name)
    for _ in range(MOST_STEPS):
        if not told.step():
            break
    assert not told.behind, told.done
    assert len(told.done) < MOST_STEPS, told.done


def test_the_advice_never_reads_the_truth(tmp_path, monkeypatch):
    told = Told(NAMES[0])
    monkeypatch.setattr(told, "present", None)
    found = told.sought()
    assert found.found.moves
