"""No way round the ladder: another motor's word, a wide band, a seller, one person twice."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest
from tests.powering import AN, BEA, PLACES, begun, climb, close, read_all, signed_up_to

from retrue.base.refusals import NotYet, Unusable
from retrue.phases import find, wake
from retrue.phases.wake import Expected
from retrue.records.facts import Finding, Machine
from retrue.records.seeking import Act, PartMoved, Signed

AT = ("school", "mill")
INSULATION, EARTH, WINDING = "insulation_40C", "earth", "winding_unbalance"


def wheres(refused) -> list[str]:
    return [one.where for one in refused.value.problems]


def state(floor, stage: str, machine: str = "mill"):
    return wake.stage(floor, "school", machine, stage, floor.kinds)


def read(floor, name: str, value: float, point: str = "", stage: str = "P0"):
    return wake.read(floor, *AT, stage, name, value, floor.kinds, point=point, taken_by=AN,
                     instrument="meter 7", by="me")  # fmt: skip


def here(floor, machine: int = 0) -> dict[str, Any]:
    one = floor.current(Machine)[machine]
    return {"lot": one.fact.lot, "machine": one.id}


def saw(floor, check: str | None, answer: str, **more: Any):
    said: dict[str, Any] = {"grade": 3, "channel": "apart", **more}
    at = said.pop("at", None)
    hand: dict[str, Any] = {"observed_at": at} if at else {}
    fact = Finding(lot="school", machine="mill", check=check, answer=answer, **said)
    return find.saw(floor, fact, floor.kinds, by=AN, **hand)


def did(floor, fault: str, sort: str, **hand: Any):
    way = floor.kinds["vertical_machining_centre"].fixes[fault][0].way
    act = Act(lot="", machine="", sort=sort, fault=fault, way=way)
    return find.did(floor, *AT, act, floor.kinds, by=AN, **hand)


def proving_dead(floor):
    """P0 is going on, all of it closed and read but the insulation of the motors."""
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P0-V"],
          but=("C31",))  # fmt: skip
    begun(floor, *AT, floor.kinds, "P0")
    read_all(floor, *AT, floor.kinds, "P0-V", but=(INSULATION,))


def line(floor, stage: str, id: str):
    return next(one for one in state(floor, stage).closed if one.id == id)


def test_a_bad_motor_stays_open_at_every_later_start_until_that_motor_is_read_again(floor):
    proving_dead(floor)
    read(floor, INSULATION, 0.3, "spindle motor")
    assert state(floor, "P0").state == "aborted"
    wake.found(floor, *AT, "P0", AN, "measured wrong", floor.kinds, by=AN)
    begun(floor, *AT, floor.kinds, "P0")
    read_all(floor, *AT, floor.kinds, "P0-V", but=(INSULATION,))
    for point in ("coolant pump", "X motor", "Y motor", "Z motor"):
        read(floor, INSULATION, 500.0, point)
    with pytest.raises(NotYet) as refused:
        wake.sign(floor, *AT, "P0", AN, floor.kinds, text="all good now", by=AN)
    assert set(wheres(refused)) == {INSULATION, "C31"}
    assert any("(spindle motor): 0.3" in one.what for one in refused.value.problems)
    assert line(floor, "P5", "F14").how == "open"
    read(floor, INSULATION, 80.0, "Spindle  motor")
    wake.sign(floor, *AT, "P0", AN, floor.kinds, by=AN)
    assert line(floor, "P5", "F14").how == "look"


def test_a_bad_motor_of_fault_finding_is_no_better_for_another_one(floor):
    said = {"measure": "M07", "temperature_c": 40.0, "grade": 4}
    saw(floor, "C31", "", reading=0.3, text="spindle motor", **said)
    saw(floor, "C31", "", reading=500.0, text="coolant pump", **said)
    assert "not put right" in line(floor, "P5", "F14").text
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P0-V"],
          but=("C31",))  # fmt: skip
    begun(floor, *AT, floor.kinds, "P0")
    read_all(floor, *AT, floor.kinds, "P0-V", but=(INSULATION,))
    for point in ("X motor", "Y motor", "Z motor"):
        read(floor, INSULATION, 90.0, point)
    assert INSULATION in [one.where for one in state(floor, "P0").unsigned]
    read(floor, INSULATION, 90.0, "spindle motor")
    assert state(floor, "P0").unsigned == ()


def test_work_on_a_bad_motor_does_not_read_it(floor):
    proving_dead(floor)
    read(floor, INSULATION, 3.0, "spindle motor")
    wake.leave(floor, *AT, "P0", AN, floor.kinds, by=AN)
    did(floor, "F14", "clean")
    begun(floor, *AT, floor.kinds, "P0")
    read_all(floor, *AT, floor.kinds, "P0-V", but=(INSULATION,))
    for point in ("coolant pump", "X motor", "Y motor", "Z motor"):
        read(floor, INSULATION, 500.0, point)
    assert {one.where for one in state(floor, "P0").unsigned} == {INSULATION}
    assert any("not read again since" in one.what for one in state(floor, "P0").unsigned)
    read(floor, INSULATION, 60.0, "spindle motor")
    assert state(floor, "P0").unsigned == ()


@pytest.mark.parametrize(("name", "least"), [(EARTH, 3), (INSULATION, 4), (WINDING, 4)])
def test_each_motor_and_each_metal_part_is_more_than_one_and_each_has_its_name(floor, name, least):
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P0-V"])
    begun(floor, *AT, floor.kinds, "P0")
    read_all(floor, *AT, floor.kinds, "P0-V", but=(name,))
    good = 90.0 if name == INSULATION else 0.02
    for point in ("", " ", "?", "X motor; Y motor"):
        with pytest.raises(Unusable) as refused:
            read(floor, name, good, point)
        assert wheres(refused) == ["point"]
    for point in (*PLACES[: least - 1], PLACES[0].upper()):
        read(floor, name, good, point)
    with pytest.raises(NotYet) as early:
        wake.sign(floor, *AT, "P0", AN, floor.kinds, text="enough", by=AN)
    assert wheres(early) == [name]
    if name != EARTH:  # not just as many as there are motors that matter: those themselves
        read(floor, name, good, "coolant pump")
        missing = [one.what for one in state(floor, "P0").unsigned]
        assert [what.rpartition(" at ")[2] for what in missing] == ["Y"]
    read(floor, name, good, PLACES[least - 1])
    wake.sign(floor, *AT, "P0", AN, floor.kinds, by=AN)


@pytest.mark.parametrize(
    ("stage", "wide"),
    [
        ("P0", Expected(name="bus_rest_volts", high=600.0, why="x")),
        ("P0", Expected(name="bus_rest_volts", high=20.0, why="x")),
        ("P0", Expected(name=INSULATION, low=0.001, why="x")),
        ("P0", Expected(name=EARTH, high=10.0, why="x")),
        ("P8", Expected(name="nose", high=200.0, why="x")),
        ("P8", Expected(name="change_5min", high=50.0, why="x")),
        ("P8", Expected(name="nose_rise_step1", high=50.0, why="x")),
        ("P8", Expected(name="spindle_amps", low=40.0, high=500.0, why="x")),
    ],
    ids=lambda one: one if isinstance(one, str) else f"{one.name} {one.high or one.low}",
)
def test_a_band_that_the_table_tells_is_never_typed_wider(floor, stage, wide):
    signed_up_to(floor, *AT, floor.kinds, {"P0": "P-1", "P8": "P7"}[stage])
    id = f"{stage}-V"
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages[id])
    with pytest.raises(Unusable) as refused:
        begun(floor, *AT, floor.kinds, stage, expected=(wide,))
    assert wheres(refused) == [f"expected.{wide.name}"]


def test_a_tighter_band_keeps_what_ends_it(floor):
    tight = (Expected(name=INSULATION, low=50.0, why="its own maker"),)
    begun(floor, *AT, floor.kinds, "P0", expected=tight)
    band = next(one for one in state(floor, "P0").bands if one.name == INSULATION)
    assert (band.expected_low, band.abort_low, band.typed) == (50.0, 1.0, "its own maker")
    read(floor, INSULATION, 0.9, "X motor")
    assert state(floor, "P0").state == "aborted"


def test_a_seller_on_the_phone_clears_nothing_and_ones_own_eyes_do(floor):
    climb(floor, *AT, floor.kinds, "P0")
    saw(floor, "C118", "seen")
    for more in ({"grade": 0, "channel": "call"}, {"grade": 3, "informant": "seller"}):
        saw(floor, None, "absent", fault="F83", **more)
        told = line(floor, "P1", "F83")
        assert told.how == "open", more
    did(floor, "F83", "clean")
    saw(floor, None, "absent", fault="F83", grade=0, channel="call", informant="seller")
    told = line(floor, "P1", "F83")
    assert (told.how, "not looked at since" in told.text) == ("open", True)
    saw(floor, None, "absent", fault="F83")
    told = line(floor, "P1", "F83")
    assert (told.how, told.by, told.when is not None) == ("look", AN, True)


def test_a_motor_that_was_replaced_is_looked_at_again(floor):
    climb(floor, *AT, floor.kinds, "P0")
    assert line(floor, "P8", "F15").how == "look"
    did(floor, "F15", "replace")
    for fault in ("F14", "F15"):
        saw(floor, None, "absent", fault=fault, grade=0, channel="call", informant="seller")
    told = line(floor, "P8", "F15")
    assert (told.how, "put right, and not looked at since" in told.text) == ("open", True)


@pytest.mark.parametrize("fault", ["F86", "F85", "F83", "F97", "F102", "F80"])
def test_what_every_machine_has_is_never_not_fitted(floor, fault):
    climb(floor, *AT, floor.kinds, "P0")
    machine = floor.current(Machine)[0]
    floor.add(replace(machine.fact, not_fitted=(fault,)), replaces=machine.id, by=AN)
    told = {one.id: one.how for one in state(floor, "P10").closed}
    assert told[fault] != "not_fitted"


def test_what_was_found_bad_is_not_said_to_be_missing(floor):
    signed_up_to(floor, *AT, floor.kinds, "P7")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P8-V"])
    machine = floor.current(Machine)[0]
    floor.add(replace(machine.fact, not_fitted=("F53",)), replaces=machine.id, by=AN)
    assert line(floor, "P8", "F53").how == "not_fitted"
    saw(floor, "C108", "seen")
    assert line(floor, "P8", "F53").how == "open"
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P8")
    assert "F53" in wheres(refused)


SPELT = (
    "PEETERS An",
    "an peeters.",
    "An\u00a0Peeters",
    "\uff21\uff4e Peeters",
    "A. Peeters",
    "Án Peeters",
)
NAMED_NOBODY = ("?", "-", ".", "nobody", " B ", "n/a", "12")


@pytest.mark.parametrize("other", [*SPELT, *NAMED_NOBODY])
def test_one_person_is_not_two_however_he_is_written(floor, other):
    climb(floor, *AT, floor.kinds, "P0")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P1-V"])
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P1", at_switch=other)
    assert wheres(refused) == ["at_switch"]


@pytest.mark.parametrize("name", NAMED_NOBODY)
def test_nobody_signs_nothing(floor, name):
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P0", by_name=name)
    assert wheres(refused) == ["by_name"]
    proving_dead(floor)
    read_all(floor, *AT, floor.kinds, "P0-V")
    with pytest.raises(Unusable) as unsigned:
        wake.sign(floor, *AT, "P0", name, floor.kinds, by=AN)
    assert wheres(unsigned) == ["name"]
    with pytest.raises(Unusable):
        wake.not_fitted(floor, "school", "lathe", "P7", name, floor.kinds, by=AN)


@pytest.mark.parametrize("licence", ["x", "-", "B1", "..."])
def test_a_licence_has_three_letters_or_digits(floor, licence):
    climb(floor, *AT, floor.kinds, "P0")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P1-V"])
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P1", licence=licence)
    assert wheres(refused) == ["licence"]
    begun(floor, *AT, floor.kinds, "P1")
    read_all(floor, *AT, floor.kinds, "P1-V")
    with pytest.raises(Unusable) as unsigned:
        wake.sign(floor, *AT, "P1", BEA, floor.kinds, licence=licence, by=AN)
    assert wheres(unsigned) == ["licence"]


def test_an_old_look_closes_nothing_that_was_seen_or_done_after_it(floor):
    climb(floor, *AT, floor.kinds, "P0")
    old = datetime(2019, 1, 1, 10, tzinfo=UTC)
    saw(floor, "C118", "seen")
    saw(floor, "C118", "not_seen", at=old)
    assert "not put right" in line(floor, "P1", "F83").text
    did(floor, "F83", "clean")
    saw(floor, "C118", "not_seen", at=old)
    assert line(floor, "P1", "F83").how == "open"
    saw(floor, None, "absent", fault="F83", at=old)
    assert line(floor, "P1", "F83").how == "open"
    saw(floor, "C118", "not_seen")
    assert line(floor, "P1", "F83").how == "cured"


def test_what_was_found_and_repaired_is_looked_at_again_also_where_no_stage_names_it(floor):
    signed_up_to(floor, *AT, floor.kinds, "P8")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P9-V"])
    assert "F107" not in {one.id for one in state(floor, "P9").closed}
    saw(floor, "C112", "seen")
    assert line(floor, "P9", "F107").how == "open"
    did(floor, "F107", "repair")
    told = line(floor, "P9", "F107")
    assert (told.how, "not looked at since" in told.text) == ("open", True)
    saw(floor, "C112", "not_seen")
    assert "F107" not in {one.id for one in state(floor, "P9").closed}
    begun(floor, *AT, floor.kinds, "P9")


def signed_stages(floor, machine: str = "mill") -> list[str]:
    told = wake.ladder(floor, "school", machine, floor.kinds, at_switch=BEA)
    return [one.stage.stage for one in told.stages if one.signed]


def test_another_spindle_motor_is_proved_dead_and_woken_anew(floor):
    climb(floor, *AT, floor.kinds, "P8")
    assert [one.fact.stage for one in floor.current(Signed)] == ["power_up", "running"]
    did(floor, "F15", "replace")
    assert signed_stages(floor) == ["P1", "P2", "P3", "P4", "P6", "P7"]
    assert floor.current(Signed) == []
    did(floor, "F33", "repair")  # a limit switch is no motor
    assert signed_stages(floor) == ["P1", "P2", "P3", "P4", "P6", "P7"]


def test_a_donor_drive_opens_what_it_touches_on_both_machines(floor):
    for machine in ("mill", "lathe"):
        signed_up_to(floor, "school", machine, floor.kinds, "P8")
    moved = PartMoved(**here(floor), slot="X", from_machine=here(floor, 1)["machine"],
                      from_slot="X", part="axis_drive", serial="1", why="donor",
                      same_type=True)  # fmt: skip
    floor.add(moved, by=AN)
    assert signed_stages(floor) == ["P1", "P2", "P3", "P4", "P8"]
    assert signed_stages(floor, "lathe") == ["P1", "P2", "P3", "P4", "P8"]
