"""How a machine stands: what still holds after something was done to it."""

from __future__ import annotations

from tests.cases.find.machines import (
    MILL,
    case,
    did,
    kinds,
    look,
    signed,
    teardown,
    told,
    tried,
)

from retrue.cases.case import LotCase
from retrue.cases.find.standing import Standing, behind, standing, troubles
from retrue.records.facts import Finding
from retrue.records.seeking import Act

MINE = told("Y01")


def stands(*line: object) -> Standing:
    made: LotCase = case(*line)
    return standing(made, "mill", kinds()[MILL])


def test_a_later_stop_point_opens_the_earlier_ones():
    assert stands(signed("running")).signed == {"apart", "power_up", "running"}
    assert stands(MINE).signed == frozenset()


def test_a_look_counts_until_something_it_speaks_of_is_worked_on():
    assert stands(look("C47", "not_seen")).passed == {"C47"}
    after = stands(look("C47", "seen"), did("F06", "replace", "replace"))
    assert (after.passed, after.failed, after.answered) == (frozenset(),) * 3
    other = stands(look("C47", "seen"), did("F48", "clean", "clean"))
    assert other.failed == {"C47"}


def test_a_look_that_hardly_shows_what_was_treated_is_not_made_again():
    assert kinds()[MILL].checks["C77"].links["F29"] < 0.5
    assert stands(look("C77", "seen"), did("F29", "repair")).failed == {"C77"}


def test_a_look_that_clears_a_motor_is_made_again_after_anything_it_shows():
    assert kinds()[MILL].checks["C31"].links["F29"] < 0.5
    assert stands(look("C31", "seen"), did("F29", "repair")).failed == frozenset()


def test_the_newest_own_answer_counts_and_what_is_told_never_does():
    assert stands(look("C47", "seen"), look("C47", "not_seen")).passed == {"C47"}
    assert stands(look("C47", "not_seen", grade=0, channel="call")).passed == frozenset()


def test_cannot_tell_is_neither_passed_nor_asked_again():
    state = stands(look("C20", "cant_tell"))
    assert state.answered == {"C20"}
    assert not state.passed | state.failed


def test_a_reading_passes_by_its_limit_with_the_doubt_against_it():
    def read(value: float) -> Standing:
        reading = {"measure": "M07", "reading": value, "temperature_c": 40.0}
        return stands(look("C31", "", **reading))

    limit = kinds()[MILL].measures["M07"].check_limit
    assert read(100 * limit).passed == {"C31"}
    assert read(limit / 10).failed == {"C31"}


def test_what_a_job_cures_is_touched_by_it():
    job = Act(lot="school", machine="mill", sort="clean", job="J05")
    state = stands(look("C118", "seen"), job)
    assert "C118" not in state.failed
    assert state.jobs_done == {"J05"}
    assert "F83" in state.treated


def test_a_fault_seen_at_teardown_counts_until_it_is_worked_on():
    assert stands(teardown("F86", True)).present == {"F86"}
    assert stands(teardown("F86", False)).absent == {"F86"}
    after = stands(teardown("F86", True), did("F86", "repair"))
    assert not after.present
    assert "F86" in after.treated


def test_ways_tried_are_kept_by_fault():
    state = stands(MINE, did("F01", "repair"), did("F01", "local", "send_out"))
    assert state.ways_tried["F01"] == {"repair", "local"}


def test_a_group_is_proved_until_something_of_it_is_worked_on():
    group = next(g for g in kinds()[MILL].groups.values() if "spindle" in g.subsystems)
    proof = tried(True, group.id, "right")
    assert stands(proof).proved == {(group.id, "right")}
    assert stands(proof, did("F01", "repair")).proved == frozenset()
    assert stands(proof, did("F48", "clean", "clean")).proved == {(group.id, "right")}
    assert stands(proof, tried(False, group.id, "right")).proved == frozenset()


def test_places_stay_open_until_it_runs_again():
    opened = (MINE, did("F06", "replace", "replace"))
    assert stands(*opened).open_places == set(behind(kinds()[MILL], "spindle_head"))
    assert stands(*opened, tried(False)).open_places
    assert not stands(*opened, tried(True)).open_places
    assert not stands(*opened, signed("power_up")).open_places


def test_a_trouble_is_open_until_its_newest_try_passes():
    assert [one.id for one in troubles(case(MINE), "mill")] == ["t"]
    assert troubles(case(MINE, tried(True)), "mill") == ()
    assert len(troubles(case(MINE, tried(True), tried(False)), "mill")) == 1


def test_other_machines_do_not_count():
    other = Finding(lot="school", machine="lathe", check="C47", answer="seen", grade=3)
    assert stands(other).failed == frozenset()
