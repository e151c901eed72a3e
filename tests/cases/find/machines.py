"""Machines of the invented workshop with something wrong, for tests of fault-finding."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from tests.library import load

from retrue.cases.case import Event, Happened, Kept, LotCase
from retrue.cases.find.seek import Sought, seek
from retrue.kinds.library import Kind
from retrue.records.facts import Finding, Lot, Machine, Shop, Terms
from retrue.records.seeking import Act, Hunch, Signed, Trial, Trouble

MILL = "vertical_machining_centre"
LETTERS = {
    "V": MILL,
    "L": "turning_centre",
    "K": "milling_machine",
    "G": "surface_grinder",
}


@cache
def kinds() -> Mapping[str, Kind]:
    """The shipped kinds, read once."""
    return load()


def told(symptom: str, **more: object) -> Trouble:
    """What the machine does."""
    return Trouble(lot="school", machine="mill", symptom=symptom, **more)


def signed(stage: str) -> Signed:
    """A stop point signed by the invented owner."""
    return Signed(lot="school", machine="mill", stage=stage, name="the owner")


def did(fault: str, way: str, sort: str = "repair", **more: object) -> Act:
    """Something done for a fault."""
    return Act(lot="school", machine="mill", sort=sort, fault=fault, way=way, trouble="t", **more)


def tried(passes: bool, group: str | None = None, level: str = "") -> Trial:
    """Tried again: the trouble, or a group at a level."""
    trouble = None if group else "t"
    return Trial(
        lot="school", machine="mill", trouble=trouble, group=group, level=level, passes=passes
    )


def hunch(fault: str) -> Hunch:
    """'I think it is ...'."""
    return Hunch(lot="school", machine="mill", trouble="t", fault=fault)


def look(check: str, answer: str, **more: object) -> Finding:
    """An answer of one's own eyes."""
    given = {"grade": 3, "channel": "visit_dead", **more}
    return Finding(lot="school", machine="mill", check=check, answer=answer, **given)


def teardown(fault: str, present: bool) -> Finding:
    """What was seen when it stood apart."""
    answer = "present" if present else "absent"
    return Finding(
        lot="school", machine="mill", fault=fault, answer=answer, grade=3, channel="apart"
    )


def case(*line: Event | Finding, kind: str = MILL, shop: Shop | None = None) -> LotCase:
    """A case from what happened and was found, in the order in which it came."""
    findings: list[Kept] = []
    happened: list[Happened] = []
    for number, one in enumerate(line):
        if isinstance(one, Finding):
            findings.append(Kept(id=f"f{number:03}", finding=one))
        else:
            id = "t" if isinstance(one, Trouble) else f"e{number:03}"
            happened.append(Happened(id=id, event=one, place=len(findings)))
    return LotCase(
        shop=shop or Shop(),
        lot=Lot(name="school"),
        terms=Terms(lot="school"),
        machines=(Machine(lot="school", name="mill", kind=kind),),
        findings=tuple(findings),
        happened=tuple(happened),
    )


@cache
def sought(*line: Event | Finding, goal: str = "clear", kind: str = MILL) -> Sought:
    """What fault-finding makes of it, as numbers; worked out once for all who only read it."""
    return seek(case(*line, kind=kind), "mill", kinds(), goal=goal, worlds=400)


def passed(*checks: str) -> tuple[Finding, ...]:
    """Looks that passed."""
    return tuple(look(check, "not_seen") for check in checks)
