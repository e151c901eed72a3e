"""How a machine stands: what still holds after something was done to it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest
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


def read(value: float, point: str) -> Finding:
    return look("C31", "", measure="M07", reading=value, temperature_c=40.0, text=point, grade=4)


def test_a_good_motor_does_not_speak_for_a_bad_one():
    bad = read(0.3, "spindle motor")
    assert stands(bad, read(500.0, "coolant pump")).failed == {"C31"}
    assert stands(bad, look("C31", "not_seen")).failed == {"C31"}
    assert stands(bad, read(80.0, "Spindle  Motor")).passed == {"C31"}
    every = read(80.0, "X motor; spindle motor")  # of first power: the worst of what it names
    assert stands(bad, every).passed == {"C31"}
    assert stands(bad, read(0.4, "X motor; spindle motor"), read(90.0, "X motor")).failed == {"C31"}


@pytest.mark.parametrize("more", [{"grade": 0}, {"grade": 2}, {"grade": 3, "informant": "seller"}])
def test_that_a_fault_is_absent_is_seen_by_oneself(more):
    said = replace(teardown("F86", False), **more)
    assert stands(said).absent == frozenset()
    assert stands(teardown("F86", True), said).present == {"F86"}
    assert stands(teardown("F86", True), teardown("F86", False)).absent == {"F86"}


def dated(*line: tuple[object, datetime | None]) -> Standing:
    """A machine, each thing with its day."""
    made = case(*(one for one, _ in line))
    looks = iter(at for one, at in line if isinstance(one, Finding))
    others = iter(at for one, at in line if not isinstance(one, Finding))
    return standing(
        replace(
            made,
            findings=tuple(replace(one, at=next(looks)) for one in made.findings),
            happened=tuple(replace(one, at=next(others)) for one in made.happened),
        ),
        "mill",
        kinds()[MILL],
    )


EARLY, LATE = datetime(2026, 11, 20, 9, tzinfo=UTC), datetime(2026, 11, 25, 9, tzinfo=UTC)
THAT_DAY = datetime(2026, 11, 25, tzinfo=UTC)


def test_the_newest_look_is_so_by_its_date_and_not_by_when_it_was_typed():
    good, bad = look("C35", "not_seen"), look("C35", "seen")
    assert dated((bad, LATE), (good, EARLY)).failed == {"C35"}
    assert dated((good, LATE), (bad, EARLY)).passed == {"C35"}
    assert dated((bad, EARLY), (good, LATE)).passed == {"C35"}
    assert dated((bad, LATE), (good, THAT_DAY)).passed == {"C35"}  # no hour was said: as typed
    assert dated((bad, LATE), (good, None)).passed == {"C35"}


def test_a_look_dated_before_the_work_closes_nothing_and_a_bad_one_after_it_stays_bad():
    good, bad, work = look("C35", "not_seen"), look("C35", "seen"), did("F86", "repair")
    assert dated((bad, EARLY), (work, LATE), (good, EARLY)).passed == frozenset()
    assert dated((bad, EARLY), (work, LATE), (good, LATE)).passed == {"C35"}
    assert dated((bad, LATE), (work, EARLY)).failed == {"C35"}
    absent = teardown("F86", False)
    assert dated((work, LATE), (absent, EARLY)).absent == frozenset()


def test_a_stop_item_that_was_found_stays_so_until_its_look_passes_after_the_repair():
    bad, good, work = look("C35", "seen"), look("C35", "not_seen"), did("F86", "repair")
    assert stands(good).found == frozenset()
    assert stands(bad).found == stands(bad, work).found == stands(good, bad, work).found == {"F86"}
    assert stands(bad, work, good).found == frozenset()
    assert stands(bad, work, replace(good, grade=0)).found == {"F86"}
    assert stands(teardown("F86", True), work).found == {"F86"}
    assert stands(bad, work, teardown("F86", False)).found == frozenset()
    assert stands(teardown("F86", False), bad).found == {"F86"}
