"""A lot to be priced: the invented workshop, its need, and what else would do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from functools import cache

from tests.library import load

from retrue.cases.case import Kept, LotCase
from retrue.kinds.library import Kind
from retrue.records.facts import Alternative, Finding, Lot, Machine, Need, Shop, Terms

MILL, LATHE = "vertical_machining_centre", "turning_centre"


@cache
def kinds() -> Mapping[str, Kind]:
    """The two complete kinds as shipped."""
    return load(only=(MILL, LATHE))


def used(kind: str, low: int, likely: int, high: int) -> Alternative:
    """A proven used machine of that kind, all in."""
    price = (Decimal(low), Decimal(likely), Decimal(high))
    return Alternative(name=f"proven used {kind}", kind=kind, way="used", price=price)


def lot(*findings: Kept, machines: tuple[str, ...] = ("mill", "lathe"), **terms: object) -> LotCase:
    """A closing school's lot, worth having: the alternatives are dear."""
    both = {
        "mill": Machine(lot="school", name="mill", kind=MILL, age_years=24, tooling="all"),
        "lathe": Machine(lot="school", name="lathe", kind=LATHE, age_years=22, tooling="all"),
    }
    return LotCase(
        shop=Shop(hour_alternative=Decimal(12), hours_a_week=16.0),
        lot=Lot(name="school"),
        terms=Terms(lot="school", premium=0.16, bid_step=Decimal(10), **terms),
        machines=tuple(both[name] for name in machines),
        needs=(
            Need(name="plates", kind=MILL, hours_a_year=350, cost_now_per_hour=Decimal(52)),
            Need(name="knobs", kind=LATHE, hours_a_year=300, cost_now_per_hour=Decimal(50)),
        ),
        alternatives=(used(MILL, 24000, 27000, 32000), used(LATHE, 20000, 23000, 28000)),
        findings=findings,
    )


def found(id: str, machine: str | None, **said: object) -> Kept:
    """A finding of one's own eyes or instrument, unless told otherwise."""
    given = {"grade": 3, "channel": "visit_dead", **said}
    return Kept(id=id, finding=Finding(lot="school", machine=machine, **given))


def sound(case: LotCase, machine: str, *faults: str) -> LotCase:
    """The same lot with these faults excluded at teardown."""
    more = tuple(
        found(f"sound-{machine}-{fault}", machine, fault=fault, answer="absent", channel="apart")
        for fault in faults
    )
    return replace(case, findings=(*case.findings, *more))
