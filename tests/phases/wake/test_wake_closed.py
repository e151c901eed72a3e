"""Nothing is energised before everything is closed, somebody stands at the switch, bands stand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.powering import AN, BEA, LICENCE, begun, climb, close, read_all, signed_up_to, stamp

from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.phases import find, strip, wake
from retrue.phases.wake import Expected
from retrue.records.facts import Finding, Machine, Plate, Withdrawn
from retrue.records.seeking import Act, Signed
from retrue.records.waking import StageBegun

AT = ("school", "mill")
LATHE = ("school", "lathe")
EVERY = ("mill", "lathe", "knee", "grinder")


def wheres(refused) -> list[str]:
    return [one.where for one in refused.value.problems]


def state(floor, stage: str, machine: str = "mill"):
    return wake.stage(floor, "school", machine, stage, floor.kinds)


@pytest.mark.parametrize("machine", EVERY)
def test_the_whole_ladder_is_climbed_with_every_stop_point_signed(floor, machine):
    stamp(floor, "school", machine, floor.kinds)
    climb(floor, "school", machine, floor.kinds, "P10")
    told = wake.ladder(floor, "school", machine, floor.kinds, at_switch=BEA)
    assert {one.state for one in told.stages} == {"signed"}
    assert told.next is None
    key = floor.current(Machine)[EVERY.index(machine)].id
    assert [one.fact.stage for one in floor.current(Signed, machine=key)] == ["power_up", "running"]
    assert {one.fact.name for one in floor.current(Signed, machine=key)} == {AN}


@pytest.mark.parametrize("machine", EVERY)
def test_a_skipped_stage_is_refused(floor, machine):
    stages = list(
        floor.kinds[floor.current(Machine)[EVERY.index(machine)].fact.kind].stages.values()
    )
    signed_up_to(floor, "school", machine, floor.kinds, stages[1].stage)
    for stage in stages[3:]:
        with pytest.raises(NotYet) as refused:
            begun(floor, "school", machine, floor.kinds, stage.id)
        assert stages[2].id in wheres(refused), stage.id
    assert len(floor.current(StageBegun)) == 2


@pytest.mark.parametrize("switch", ["", "  ", AN, AN.upper()])
def test_somebody_else_stands_at_the_switch_by_name(floor, switch):
    climb(floor, *AT, floor.kinds, "P0")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P1-V"])
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P1", at_switch=switch)
    assert wheres(refused) == ["at_switch"]
    assert begun(floor, *AT, floor.kinds, "P1").fact.at_switch == BEA


def test_with_nobody_there_all_that_energises_stays_closed_and_dead_work_is_offered(floor):
    climb(floor, *AT, floor.kinds, "P0")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P1-V"])
    told = wake.ladder(floor, *AT, floor.kinds)
    assert [one.state for one in told.stages] == ["signed"] + ["closed"] * 10
    assert all("at_switch" in [p.where for p in one.wanting] for one in told.stages[1:])
    assert told.alone == (told.stages[1].stage.alone_instead,)
    assert "dead work" in told.next_act
    assert "Find somebody for the main switch" in told.next_act
    there = wake.ladder(floor, *AT, floor.kinds, at_switch=BEA)
    assert there.stages[1].state == "open"
    assert there.next_act.startswith("Begin P1")


def test_an_open_stop_item_keeps_every_later_stage_closed_until_it_is_looked_at_again(floor):
    climb(floor, *AT, floor.kinds, "P0")
    kind = floor.kinds["vertical_machining_centre"]
    close(floor, *AT, floor.kinds, kind.stages["P1-V"])
    find.saw(floor, Finding(lot="school", machine="mill", check="C35", answer="seen", grade=3),
             floor.kinds, by=AN)  # fmt: skip
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P1")
    assert wheres(refused) == ["F86"]
    assert "not put right" in refused.value.problems[0].what
    cure = Act(lot="", machine="", sort="repair", fault="F86", way="repair")
    way = kind.fixes["F86"][0].way
    find.did(floor, "school", "mill", replace(cure, way=way), floor.kinds, by=AN)
    with pytest.raises(NotYet):  # cured is not enough: it is looked at again
        begun(floor, *AT, floor.kinds, "P1")
    find.saw(floor, Finding(lot="school", machine="mill", check="C35", answer="not_seen", grade=3),
             floor.kinds, by=AN)  # fmt: skip
    line = next(one for one in state(floor, "P1").closed if one.id == "F86")
    assert (line.how, line.by) == ("cured", AN)
    begun(floor, *AT, floor.kinds, "P1")


@pytest.mark.parametrize("grade", [0, 1, 2])
def test_a_picture_or_a_word_of_somebody_closes_nothing(floor, grade):
    climb(floor, *AT, floor.kinds, "P0")
    kind = floor.kinds["vertical_machining_centre"]
    close(floor, *AT, floor.kinds, kind.stages["P1-V"])
    signed_up_to(floor, *AT, floor.kinds, "P1")
    told = Finding(lot="school", machine="mill", check="C34", answer="not_seen", grade=grade)
    find.saw(floor, told, floor.kinds, by=AN)
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P2")
    assert "F80" in wheres(refused)


def test_what_is_closed_says_by_what_with_date_and_reading(floor):
    climb(floor, *AT, floor.kinds, "P1")
    lines = {one.id: one for one in state(floor, "P1").closed}
    assert lines["P0-V"].how == "signed"
    assert lines["P0-V"].by == AN
    assert lines["J18"].how == "job"
    earth = lines["F86"]
    assert (earth.how, earth.reading, earth.by) == ("look", "0.02 ohm", "me")  # read in P0
    assert earth.when is not None
    assert earth.record is not None
    assert floor.history(earth.record)[0].fact.measure == "M09"


def test_what_is_not_fitted_asks_for_nothing_and_says_who_said_so(floor, kinds):
    key = floor.current(Machine)[1].id
    old = floor.current(Machine)[1].fact
    none = replace(old, not_fitted=("F59", "F75", "F77", "F57", "F49"))
    floor.add(none, by=BEA, replaces=key)
    lines = {one.id: one for one in state(floor, "P8", "lathe").closed}
    assert (lines["F59"].how, lines["F59"].by) == ("not_fitted", BEA)
    bands = {one.name for one in state(floor, "P4", "lathe").bands}
    assert bands == {"motor_amps"}
    assert "hydraulic_bar" not in {one.name for one in state(floor, "P8", "lathe").bands}


def test_whatever_was_undone_is_back_before_anything_is_signed(floor):
    one = strip.take_off(floor, "school", "mill", "outside", "hose", floor.kinds, what="lube",
                         from_end="pump", by=AN)  # fmt: skip
    kind = floor.kinds["vertical_machining_centre"]
    close(floor, *AT, floor.kinds, kind.stages["P0-V"])
    begun(floor, *AT, floor.kinds, "P0")
    read_all(floor, *AT, floor.kinds, "P0-V")
    with pytest.raises(NotYet) as refused:
        wake.sign(floor, *AT, "P0", AN, floor.kinds, by=AN)
    assert wheres(refused) == [one.fact.code]
    strip.put_back(floor, "school", "mill", one.id, by=AN)
    wake.sign(floor, *AT, "P0", AN, floor.kinds, by=AN)


def test_what_comes_off_after_it_was_proved_dead_opens_it_again_and_withdraws_power(floor):
    climb(floor, *AT, floor.kinds, "P3")
    assert [one.fact.stage for one in floor.current(Signed)] == ["power_up"]
    one = strip.take_off(floor, "school", "mill", "outside", "hose", floor.kinds, by=AN,
                         from_end="pump")  # fmt: skip
    strip.put_back(floor, "school", "mill", one.id, by=AN)
    told = wake.ladder(floor, *AT, floor.kinds, at_switch=BEA)
    # What a licensed person signed stands; a hose is no wire.
    assert [s.state for s in told.stages[:4]] == ["open", "signed", "signed", "closed"]
    assert floor.current(Signed) == []
    climb(floor, *AT, floor.kinds, "P0")
    assert [one.fact.stage for one in floor.current(Signed)] == ["power_up"]
    strip.take_off(floor, "school", "mill", "outside", "wire", floor.kinds, by=AN,
                   from_end="K1", to_end="K2")  # fmt: skip
    told = wake.ladder(floor, *AT, floor.kinds, at_switch=BEA)
    assert [s.state for s in told.stages[:3]] == ["open", "closed", "closed"]


def test_a_trouble_that_means_off_keeps_power_off(floor):
    climb(floor, *AT, floor.kinds, "P0")
    kind = floor.kinds["vertical_machining_centre"]
    close(floor, *AT, floor.kinds, kind.stages["P1-V"])
    smells = next(one for one in kind.symptoms.values() if "hot plastic" in one.words)
    told = find.tell(floor, "school", "mill", smells.id, "it stinks", floor.kinds, by=AN)
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P1")
    assert wheres(refused) == [told.id]
    assert "it stinks" in refused.value.problems[0].what


def test_live_work_needs_a_licence_and_tells_no_steps(floor):
    climb(floor, *AT, floor.kinds, "P0")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P1-V"])
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P1", licence=" ")
    assert wheres(refused) == ["licence"]
    told = state(floor, "P1")
    assert told.live
    assert told.stage.needs == ()
    begun(floor, *AT, floor.kinds, "P1")
    read_all(floor, *AT, floor.kinds, "P1-V")
    with pytest.raises(Unusable) as unsigned:
        wake.sign(floor, *AT, "P1", "somebody else", floor.kinds, by=AN)
    assert [one.where for one in unsigned.value.problems] == ["licence"]
    assert wake.sign(floor, *AT, "P1", AN, floor.kinds, by=AN).fact.licence == LICENCE


def test_every_caution_is_ticked_first(floor):
    climb(floor, *AT, floor.kinds, "P0")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P1-V"])
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P1", cautions=("X05", "X32"))
    assert wheres(refused) == ["X22", "X23", "X25"]


@pytest.mark.parametrize(
    ("laptop", "heard", "where"), [(None, True, ["laptop"]), (True, False, ["heard"])]
)
def test_a_watched_stage_waits_for_its_alarm_or_for_paper(floor, laptop, heard, where):
    signed_up_to(floor, *AT, floor.kinds, "P7")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P8-V"])
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P8", laptop=laptop, heard=heard)
    assert wheres(refused) == where
    assert begun(floor, *AT, floor.kinds, "P8", laptop=False, heard=False).fact.laptop is False


def test_the_first_turn_of_a_lathe_asks_for_its_jaws_and_for_proved_pressure(floor):
    signed_up_to(floor, *LATHE, floor.kinds, "P7")
    close(floor, *LATHE, floor.kinds, floor.kinds["turning_centre"].stages["P8-L"])
    closed = [one.id for one in state(floor, "P8", "lathe").closed if one.id[0] in "FC"]
    assert closed[:2] == ["F101", "F102"]  # window and interlock first
    for said, where in (
        ({"choice": ""}, ["choice"]),
        ({"choice": "jaws loose"}, ["choice"]),
        ({"choice": "clamped"}, ["pressure_bar"]),
        ({"choice": "clamped", "pressure_bar": 20.0}, ["pressure_bar"]),
        ({"choice": "clamped", "pressure_bar": 43.0}, ["pressure_bar"]),
    ):
        with pytest.raises(NotYet) as refused:
            begun(floor, *LATHE, floor.kinds, "P8", **said)
        assert wheres(refused) == where, said
    begun(floor, *LATHE, floor.kinds, "P8", choice="clamped", pressure_bar=40.0)
    told = state(floor, "P8", "lathe")
    assert told.choice == "clamped"
    (read,) = next(one for one in told.bands if one.name == "hydraulic_bar").readings
    assert (read.reading, read.ruling) == (40.0, "in")


def test_a_chuck_is_never_turned_faster_than_it_may(floor):
    signed_up_to(floor, *LATHE, floor.kinds, "P7")
    close(floor, *LATHE, floor.kinds, floor.kinds["turning_centre"].stages["P8-L"])
    assert state(floor, "P8", "lathe").step_rpm == pytest.approx(0.05 * 4500)  # spindle: 8000
    key = floor.current(Machine)[1].id
    (speed,) = floor.current(Plate, machine=key, entry="N42")
    floor.add(Withdrawn(of_kind=speed.kind), replaces=speed.id, by=AN)
    with pytest.raises(NotYet) as refused:
        begun(floor, *LATHE, floor.kinds, "P8")
    assert wheres(refused) == ["N42"]


def test_jaws_off_asks_for_no_pressure(floor):
    signed_up_to(floor, *LATHE, floor.kinds, "P7")
    close(floor, *LATHE, floor.kinds, floor.kinds["turning_centre"].stages["P8-L"])
    begun(floor, *LATHE, floor.kinds, "P8", choice="jaws_off")
    assert "hydraulic_bar" not in {one.name for one in state(floor, "P8", "lathe").bands}


def test_a_missing_plate_value_is_named_and_a_limit_is_never_guessed(floor):
    key = floor.current(Machine)[0].id
    for one in floor.current(Plate, machine=key):
        if one.fact.entry in ("N04", "N46", "N21"):
            floor.add(Withdrawn(of_kind=one.kind), replaces=one.id, by=AN)
    climb(floor, *AT, floor.kinds, "P0")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P1-V"])
    lacking = {one.name: one.lacks for one in state(floor, "P1").bands}
    assert lacking == {
        "line_volts": "N04", "supply_unbalance": "", "frequency": "", "rotation": "",
        "fault_current_share": "", "taps_decided": "",
    }  # fmt: skip
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P1")
    assert wheres(refused) == ["N04"]
    typed = (Expected(name="line_volts", low=380, high=420, why="my meter"),)
    with pytest.raises(Unusable) as unusable:  # a hard limit is the plate's alone
        begun(floor, *AT, floor.kinds, "P1", expected=typed)
    assert [one.where for one in unusable.value.problems] == ["expected.line_volts"]
    signed_up_to(floor, *AT, floor.kinds, "P3")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P4-V"])
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P4")
    assert wheres(refused) == ["N46"]
    typed = (Expected(name="motor_amps", high=3.0, why="the motor's own plate"),)
    begun(floor, *AT, floor.kinds, "P4", expected=typed)
    band = next(one for one in state(floor, "P4").bands if one.name == "motor_amps")
    assert (band.expected_high, band.abort_high, band.typed) == (3.0, 3.0, "the motor's own plate")
    signed_up_to(floor, *AT, floor.kinds, "P7")
    with pytest.raises(NotYet) as refused:
        begun(floor, *AT, floor.kinds, "P8")
    assert "N21" in wheres(refused)


@pytest.mark.parametrize(
    "wrong",
    [
        Expected(name="no_such", high=1.0, why="x"),
        Expected(name="motor_amps", why="x"),
        Expected(name="motor_amps", low=3.0, high=2.0, why="x"),
        Expected(name="motor_amps", high=3.0, why=" "),
    ],
    ids=["unknown", "no end", "turned round", "no reason"],
)
def test_a_typed_band_needs_a_name_an_end_and_a_reason(floor, wrong):
    signed_up_to(floor, *AT, floor.kinds, "P3")
    with pytest.raises(Unusable) as refused:
        begun(floor, *AT, floor.kinds, "P4", expected=(wrong,))
    assert [one.where for one in refused.value.problems] == [f"expected.{wrong.name}"]


def test_a_stage_is_found_by_its_short_name_and_an_unknown_one_is_named(floor):
    assert state(floor, "p3").stage.id == "P3-V"
    with pytest.raises(Unknown, match="no stage P12") as refused:
        state(floor, "P12")
    assert "P2" in refused.value.remedy


def test_a_flat_bed_says_that_it_has_no_sloping_slide_and_a_mill_cannot(floor):
    signed_up_to(floor, *LATHE, floor.kinds, "P6")
    kept = wake.not_fitted(floor, *LATHE, "P7", AN, floor.kinds, text="flat bed", by=AN)
    assert kept.fact.text == "not fitted: flat bed"
    assert state(floor, "P7", "lathe").state == "signed"
    with pytest.raises(Unusable):
        wake.not_fitted(floor, *LATHE, "P7", " ", floor.kinds, by=AN)
    with pytest.raises(Unusable, match="stage of every such machine"):
        wake.not_fitted(floor, *AT, "P7", AN, floor.kinds, by=AN)


def test_a_likely_fault_is_named_at_the_stage_that_could_hurt_it_with_its_look(floor):
    kind = floor.kinds["vertical_machining_centre"]
    worn = kind.faults["F01"].name
    assert not any(worn in one for one in state(floor, "P8").suspected)
    for check in ("C20", "C48", "C49"):
        find.saw(floor, Finding(lot="school", machine="mill", check=check, answer="seen", grade=3),
                 floor.kinds, by=AN)  # fmt: skip
    told = state(floor, "P8").suspected
    assert any(worn in one for one in told)
    assert all("What clears it" in one or "no look" in one for one in told)
    assert not any(worn in one for one in state(floor, "P3").suspected)
