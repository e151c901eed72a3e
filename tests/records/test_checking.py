"""Bad values are refused with every field named; a missing or odd value is not bad."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from retrue.base.refusals import Unusable
from retrue.records.checking import check, fits, problems_of
from retrue.records.facts import (
    Alternative,
    CostLine,
    File,
    Finding,
    Frozen,
    Lot,
    Machine,
    Moved,
    Need,
    Note,
    Plate,
    Shop,
    Terms,
    Withdrawn,
)
from retrue.records.measuring import Instrument, OwnLimit, Reading, ReadingSet, Result
from retrue.records.seeking import Act, Guess, Hunch, PartMoved, Signed, Trial, Trouble

TERMS = Terms(lot="l1")
FINDING = Finding(lot="l1", machine="m1", check="C01", answer="seen")
LEVEL = Instrument(name="frame level", sort="level", unit="µm/m", uncertainty=10.0)
SET = ReadingSet(lot="l1", machine="m1", test="level")
RESULT = Result(
    lot="l1", machine="m1", set="s1", test="level", readings="9f" * 32, answer='{"schema":"x"}'
)
TROUBLE = Trouble(lot="l1", machine="m1", symptom="Y01")
TRIAL = Trial(lot="l1", machine="m1", trouble="t1", passes=False)
ACT = Act(lot="l1", machine="m1", sort="replace", fault="F25", way="second_hand")
MOVED = PartMoved(
    lot="l1", machine="m1", slot="X", from_machine="m1", from_slot="Y", part="axis_drive",
    serial="4711", other_serial="4712", same_type=True,
)  # fmt: skip
GUESS = Guess(
    lot="l1", machine="m1", kind="turning_centre", fault="F25", finding="f1", share=0.6,
    base_rate=0.1, was=True, kind_hash="k",
)  # fmt: skip
FILE = File(sha256="0" * 64, name="a.jpg", media_type="image/jpeg", size_bytes=7)


def other(fact: Any, **values: Any) -> Any:
    """The same fact with values that its types forbid."""
    return replace(fact, **values)


def named(fact):
    return [problem.where for problem in problems_of(fact)]


@pytest.mark.parametrize(
    "fact",
    [
        Shop(),
        Shop(name="ours", interest=0.08, odds=0.8, hour_alternative=Decimal(0)),
        Need(name="brackets", kind="vertical_machining_centre", travel_mm=(1000, 500, 500)),
        Alternative(name="new one", kind="turning_centre", cost_per_hour=Decimal("-4.20")),
        TERMS,
        replace(TERMS, premium=0, tax_rate=1, rivals=0, closes_at="2026-12-01T20:00:00Z"),
        Machine(lot="l1", name="V", kind="vertical_machining_centre"),
        replace(FINDING, answer="", measure="ohm", reading=-3.5, uncertainty=0.1),
        replace(FINDING, check=None, history="PQ", answer="likely"),
        replace(FINDING, check=None, fault="F15", answer="absent"),
        replace(FINDING, temperature_c=-12.0),
        Note(file="abc"),
        Note(alarm="servo 401"),
        replace(FILE, taken="2026-11-25 20:14:03"),
        Moved(lot="l1", finding="f1", before=None, after=Decimal(100)),
        LEVEL,
        replace(LEVEL, way="hire", hire_a_day=Decimal("35.00")),
        replace(LEVEL, certified_on="2026-03-01", due_on="2027-03-01", uncertainty=0.0),
        replace(SET, air_c=-4.0, machine_c=21.5, options=(("feet", "6"), ("pitch_mm", "2"))),
        replace(SET, file="0" * 64, file_name="level.csv"),
        Reading(set="s1", cell="along_1", text="-3,5"),
        RESULT,
        replace(RESULT, ruling="proved_bad"),
        OwnLimit(limit="level", value=40.0),
        OwnLimit(limit="level", value=40.0, standard="ISO 230-1", edition="2012", confirmed=True),
        TROUBLE,
        replace(TROUBLE, words="it drops its axis", comes_and_goes=True),
        Hunch(lot="l1", machine="m1", trouble="t1", fault="F25"),
        TRIAL,
        replace(TRIAL, trouble=None, group="spindle", level="right"),
        ACT,
        replace(ACT, fault=None, way="", job="J07", sort="clean", cures=1),
        Act(lot="l1", machine="m1", sort="call_for_help", money=Decimal(350), days=10),
        replace(ACT, pictures=("9f" * 32,), hours=0.5, needed=False, bought="a used drive"),
        MOVED,
        replace(MOVED, from_machine="spares shelf", other_serial="", why="donor"),
        Signed(lot="l1", machine="m1", stage="running", name="owner"),
        GUESS,
        Withdrawn(of_kind="part_moved"),
    ],
)
def test_what_may_be_is_kept(fact):
    assert named(fact) == []
    check(fact)


@pytest.mark.parametrize(
    ("fact", "fields"),
    [
        (Lot(name=""), ["name"]),
        (Lot(name="a", currency="euro", rate=Decimal(0)), ["currency", "rate"]),
        (Lot(name="a", rate_on="25/11/2026"), ["rate_on"]),
        (Lot(name="a", rate_on="20261125"), ["rate_on"]),
        (replace(TERMS, premium=18), ["premium"]),
        (replace(TERMS, premium=-0.01, duty=1.01), ["premium", "duty"]),
        (replace(TERMS, asking=Decimal("-0.01")), ["asking"]),
        (other(TERMS, asking=6150.0), ["asking"]),
        (replace(TERMS, asking=Decimal("1e40")), ["asking"]),
        (replace(TERMS, closes_at="2026-12-01T20:00"), ["closes_at"]),
        (replace(TERMS, closes_at="tonight"), ["closes_at"]),
        (replace(TERMS, removal_by="2026-02-30"), ["removal_by"]),
        (replace(TERMS, removal_days=-1.0, rivals=-1), ["removal_days", "rivals"]),
        (other(TERMS, sale="raffle"), ["sale"]),
        (Machine(lot="l1", name="V", kind="x", mass_kg=float("inf")), ["mass_kg"]),
        (Machine(lot="l1", name="V", kind="x", travel_mm=(1.0, -2.0)), ["travel_mm"]),
        (Machine(lot="l1", name="V", kind="x", live_with=("",)), ["live_with"]),
        (other(Machine(lot="l1", name="V", kind="x"), wet="yes"), ["wet"]),
        (Plate(machine="m1", entry="N03", value=" "), ["value"]),
        (other(FINDING, grade=6), ["grade"]),
        (other(FINDING, grade=True), ["grade"]),
        (replace(FINDING, answer="rusty"), ["answer"]),
        (replace(FINDING, answer=""), ["answer"]),
        (replace(FINDING, check=None), ["check"]),
        (replace(FINDING, fault="F15"), ["check"]),
        (replace(FINDING, units=0), ["units"]),
        (replace(FINDING, reading=3.0), ["measure"]),
        (replace(FINDING, measure="ohm"), ["reading"]),
        (replace(FINDING, uncertainty=0.1), ["uncertainty"]),
        (
            replace(FINDING, history="PQ", check=None, measure="a", reading=1.0),
            ["reading", "answer"],
        ),
        (replace(TERMS, rivals=10**400), ["rivals"]),
        (replace(FINDING, text="a\x00b"), ["text"]),
        (replace(FINDING, text="\udc80"), ["text"]),
        (replace(FINDING, informant=" "), ["informant"]),
        (CostLine(lot="l1", machine=None, line="E11", amount=Decimal(-5)), ["amount"]),
        (Alternative(name="a", kind="x", price=(Decimal(3), Decimal(2), Decimal(4))), ["price"]),
        (replace(FILE, sha256="abc", size_bytes=-1, page=0), ["size_bytes", "page", "sha256"]),
        (replace(FILE, taken="yesterday"), ["taken"]),
        (Note(), ["text"]),
        (Shop(histories=(("PQ", "perhaps"),), supply_phases=4), ["histories", "supply_phases"]),
        (Shop(hours_a_week=-1.0, interest=8.0), ["hours_a_week", "interest"]),
        (Withdrawn(of_kind="wheel"), ["of_kind"]),
        (replace(LEVEL, uncertainty=-1.0, resolution=0.0), ["resolution", "uncertainty"]),
        (replace(LEVEL, unit=" "), ["unit"]),
        (other(LEVEL, way="stolen"), ["way"]),
        (other(LEVEL, hire_a_day=35.0), ["hire_a_day"]),
        (replace(LEVEL, hire_a_day=Decimal(35)), ["hire_a_day"]),
        (replace(LEVEL, way="hire", hire_a_day=Decimal(-1)), ["hire_a_day"]),
        (replace(LEVEL, certified_on="1 March", due_on="2026-02-30"), ["certified_on", "due_on"]),
        (replace(LEVEL, certified_on="2026-03-01", due_on="2025-03-01"), ["due_on"]),
        (replace(SET, air_c=-300.0, machine_c=float("nan")), ["air_c", "machine_c"]),
        (replace(SET, file="level.csv"), ["file"]),
        (replace(SET, options=(("feet", "6"), ("feet", "4"))), ["options"]),
        (replace(SET, test=" ", before=""), ["test", "before"]),
        (Reading(set="s1", cell="", text=" "), ["cell", "text"]),
        (replace(RESULT, readings="abc", ruling="fine"), ["readings", "ruling"]),
        (replace(RESULT, ruling="proved_good", provisional="not level"), ["ruling"]),
        (OwnLimit(limit="level", value=0.0), ["value"]),
        (OwnLimit(limit="level", value=float("inf")), ["value"]),
        (OwnLimit(limit="a", value=1.0, edition="2012", confirmed=True), ["standard"]),
        (Withdrawn(of_kind="withdrawn"), ["of_kind"]),
        (replace(TROUBLE, symptom=" "), ["symptom"]),
        (replace(TRIAL, trouble=None), ["trouble"]),
        (replace(TRIAL, group="spindle"), ["group"]),
        (replace(TRIAL, trouble=None, group="spindle"), ["level"]),
        (replace(TRIAL, level="right"), ["level"]),
        (other(TRIAL, level="perfect"), ["level"]),
        (replace(ACT, job="J07"), ["job"]),
        (replace(ACT, fault=None), ["fault", "way"]),
        (replace(ACT, sort="measure", cures=0.5), ["cures"]),
        (replace(ACT, cures=1.5, money=Decimal(-1), hours=-0.5), ["cures", "money", "hours"]),
        (replace(ACT, pictures=("drive.jpg",)), ["pictures"]),
        (other(ACT, sort="kick"), ["sort"]),
        (replace(MOVED, from_slot="X"), ["from_slot"]),
        (replace(MOVED, other_serial="4711"), ["other_serial"]),
        (replace(MOVED, other_serial=""), ["other_serial"]),
        (replace(MOVED, why="donor"), ["other_serial"]),
        (replace(MOVED, serial=" "), ["serial"]),
        (Signed(lot="l1", machine="m1", stage="apart", name=""), ["name"]),
        (replace(GUESS, share=1.2, base_rate=-0.1), ["share", "base_rate"]),
        (
            Frozen(
                lot="l1", hammer=Decimal(-1), all_in=Decimal(1), sorry=1.2, dangers=(), seed=-4,
                worlds=0, kind_hash="k", version="0.1", sheet="",
            ),
            ["hammer", "sorry", "worlds"],
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_is_named_field_by_field(fact, fields):
    assert sorted(named(fact)) == sorted(fields)
    with pytest.raises(Unusable) as refusal:
        check(fact)
    assert sorted(problem.where for problem in refusal.value.problems) == sorted(fields)
    assert refusal.value.remedy


def test_a_boolean_is_not_a_number_and_a_list_is_not_a_tuple():
    assert not fits(True, float)
    assert not fits(["a"], tuple[str, ...])
    assert fits((("PQ", "no"),), tuple[tuple[str, str], ...])
    assert not fits(("PQ",), tuple[tuple[str, str], ...])
