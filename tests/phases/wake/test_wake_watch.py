"""The watch keeps everything once and calls a stop in time and once; nothing is typed twice."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime, timedelta

import pytest
from tests.phases.wake.conftest import Clock
from tests.powering import AN, begun, close, read_all, signed_up_to, stamp

from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.phases import wake, worth
from retrue.records.facts import Lot, Machine, Terms
from retrue.records.shop import Record
from retrue.records.waking import StageReading, WatchBegun, WatchCalled, WatchReadings
from retrue.store.shop import open_shop

AT = ("school", "mill")


def state(floor):
    return wake.stage(floor, *AT, "P8", floor.kinds)


def at_p8(floor) -> None:
    signed_up_to(floor, *AT, floor.kinds, "P7")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P8-V"])
    begun(floor, *AT, floor.kinds, "P8", laptop=True, heard=True)


def watched(floor, **more) -> Record[WatchBegun]:
    said = {"stage": "P8", "heard": True, "room_c": 21.0, "by": AN}
    return wake.begin_watch(floor, *AT, floor.kinds, **{**said, **more})


def rows(start: datetime, minutes: Iterable[float], nose: Callable[[float], float], amps=5.0):
    return tuple(
        row
        for at in minutes
        for row in (
            ((start + timedelta(minutes=at)).isoformat(), "nose", nose(at)),
            ((start + timedelta(minutes=at)).isoformat(), "amps", amps),
        )
    )


def healthy(minute: float) -> float:
    """Settles four kelvin over the room."""
    return 25.0 - 4.0 * 0.9**minute


def call(floor, watch):
    return wake.call(floor, watch.id, floor.clock.now, floor.kinds, by="server")


# its start


def test_it_begins_once_the_alarm_was_heard_or_with_paper(floor):
    at_p8(floor)
    with pytest.raises(Unusable) as refused:
        watched(floor, heard=False)
    assert [one.where for one in refused.value.problems] == ["heard"]
    paper = watched(floor, heard=False, alarm="paper")
    assert paper.fact.alarm == "paper"
    with pytest.raises(NotYet, match="runs already"):
        watched(floor)
    wake.end_watch(floor, paper.id, "left", AN, by=AN)
    assert watched(floor).fact.step == 1
    assert len(wake.watches(floor, *AT)) == 2


def test_it_belongs_to_a_stage_that_is_going_on_or_to_none(floor):
    with pytest.raises(NotYet, match="not going on"):
        watched(floor)
    free = watched(floor, stage="", what="coolant pump")
    assert (free.fact.stage, free.fact.begun, free.fact.what) == (None, None, "coolant pump")


def test_its_limits_are_those_that_were_written_before_the_stage(floor):
    at_p8(floor)
    stands = wake.watch_stands(floor, watched(floor).id, floor.clock.now, floor.kinds)
    nose = stands.plan.channels["nose"]
    assert (nose.abort_high, nose.rate_stop, nose.abort_rise_kelvin) == (60.0, 1.0, 8.0)
    assert nose.must
    assert stands.plan.channels["amps"].abort_high == pytest.approx(0.35 * 30)
    assert (stands.plan.step_minutes, stands.plan.speed_rpm) == (10.0, 400.0)


def test_the_step_that_is_going_on_is_watched_and_no_other(floor):
    at_p8(floor)
    with pytest.raises(Unusable) as refused:
        watched(floor, step=3)
    assert [one.where for one in refused.value.problems] == ["step"]
    assert watched(floor, step=1).fact.step == 1


def test_the_axes_run_in_beside_a_watch_of_two_hours(floor):
    signed_up_to(floor, *AT, floor.kinds, "P9")
    close(floor, *AT, floor.kinds, floor.kinds["vertical_machining_centre"].stages["P10-V"])
    begun(floor, *AT, floor.kinds, "P10")
    watch = watched(floor, stage="P10", step=2)
    stands = wake.watch_stands(floor, watch.id, floor.clock.now, floor.kinds)
    assert (stands.step_minutes, stands.plan.speed_rpm) == (120.0, None)


# its call


def test_a_stop_is_kept_once_and_aborts_its_stage(floor):
    at_p8(floor)
    watch = watched(floor)
    start = floor.clock.now
    floor.clock.passes(3)
    wake.add_readings(floor, watch.id, rows(start, (0, 1, 2), lambda at: 21.0 + at / 5), by=AN)
    assert call(floor, watch) is None
    floor.clock.passes(1)
    wake.add_readings(floor, watch.id, rows(start, (3.5, 4), lambda _: 21.8, amps=12.0), by=AN)
    kept = call(floor, watch)
    assert (kept.fact.call, "10.5 A" in kept.fact.why) == ("stop", True)
    assert call(floor, watch) is None
    told = state(floor)
    assert (told.state, told.ended.fact.how, told.ended.fact.why) == (
        "aborted", "aborted", kept.fact.why,
    )  # fmt: skip
    stands = wake.watch_stands(floor, watch.id, floor.clock.passes(1), floor.kinds)
    assert (stands.call, stands.words, stands.next_reading_by) == ("stop", "Stop", None)
    assert len(floor.current(WatchCalled)) == 1


def test_no_reading_for_six_minutes_is_a_stop(floor):
    at_p8(floor)
    watch = watched(floor)
    start = floor.clock.now
    wake.add_readings(floor, watch.id, rows(start, (0, 1, 2), healthy), by=AN)
    floor.clock.passes(7.9)
    assert call(floor, watch) is None
    stands = wake.watch_stands(floor, watch.id, floor.clock.now, floor.kinds)
    assert stands.next_reading_by == stands.rows[-1][0] + timedelta(minutes=6)
    floor.clock.passes(0.3)
    kept = call(floor, watch)
    assert (kept.fact.call, state(floor).state) == ("no_reading", "aborted")
    floor.clock.passes(20)
    assert call(floor, watch) is None  # one silence, one call
    wake.add_readings(floor, watch.id, rows(floor.clock.now, (0,), healthy), by=AN)
    floor.clock.passes(7)
    assert call(floor, watch).fact.call == "no_reading"


def test_a_stop_is_not_lost_while_nobody_looked(floor):
    at_p8(floor)
    watch = watched(floor)
    start = floor.clock.now

    def spike(at: float) -> float:
        return 30.0 if 4 <= at <= 8 else 22.0

    floor.clock.passes(15)
    wake.add_readings(floor, watch.id, rows(start, range(15), spike), source="logger", by="s")
    kept = call(floor, watch)
    assert kept.fact.call == "stop"
    assert 4 <= (datetime.fromisoformat(kept.fact.at) - start).total_seconds() / 60 <= 9


def test_a_late_row_is_judged_at_its_own_moment(floor):
    at_p8(floor)
    watch = watched(floor)
    start = floor.clock.now
    floor.clock.passes(5)
    wake.add_readings(floor, watch.id, rows(start, range(5), healthy), by=AN)
    assert call(floor, watch) is None
    late = rows(start, (2.3, 2.5, 2.7), healthy, amps=25.0)
    wake.add_readings(floor, watch.id, late, by="phone")
    assert call(floor, watch).fact.call == "stop"


def test_a_healthy_step_levels_and_its_numbers_are_not_typed_again(floor):
    at_p8(floor)
    watch = watched(floor)
    start = floor.clock.now
    wake.add_readings(floor, watch.id, rows(start, range(6), healthy), by=AN)
    floor.clock.passes(6)
    with pytest.raises(NotYet, match="has not levelled"):
        wake.end_watch(floor, watch.id, "levelled", AN, by=AN)
    wake.add_readings(floor, watch.id, rows(start, range(6, 36), healthy), by=AN)
    floor.clock.passes(30)
    assert call(floor, watch) is None
    assert wake.watch_stands(floor, watch.id, floor.clock.now, floor.kinds).call == "step"
    with pytest.raises(Unusable):
        wake.end_watch(floor, watch.id, "levelled", " ", by=AN)
    ended = wake.end_watch(floor, watch.id, "levelled", AN, by=AN)
    read = {one.fact.name: one.fact.reading for one in floor.current(StageReading)}
    assert read["nose"] == pytest.approx(25.0, abs=0.2)
    assert read["nose_rise_step1"] == pytest.approx(4.0, abs=0.2)
    assert read["change_5min"] < 0.5
    assert read["spindle_amps"] == 5.0
    assert wake.end_watch(floor, watch.id, "left", AN, by=AN) == ended
    wake.sign(floor, *AT, "P8", AN, floor.kinds, by=AN)


def test_a_watch_that_was_stopped_has_not_levelled(floor):
    at_p8(floor)
    watch = watched(floor)
    wake.add_readings(floor, watch.id, rows(floor.clock.now, (0,), lambda _: 61.0), by=AN)
    floor.clock.passes(0.1)
    assert call(floor, watch).fact.call == "stop"
    with pytest.raises(NotYet):
        wake.end_watch(floor, watch.id, "levelled", AN, by=AN)
    wake.end_watch(floor, watch.id, "stopped", AN, by=AN)
    assert wake.watch_stands(floor, watch.id, floor.clock.now, floor.kinds).call == "ended"
    assert call(floor, watch) is None


# what is kept


def test_readings_are_kept_once_late_ones_too_and_wrong_ones_are_named(floor):
    at_p8(floor)
    watch = watched(floor)
    start = floor.clock.now
    first = wake.add_readings(floor, watch.id, rows(start, (0,), healthy), by=AN, id="r1")
    assert wake.add_readings(floor, watch.id, rows(start, (0,), healthy), by=AN, id="r1") == first
    wake.end_watch(floor, watch.id, "left", AN, by=AN)
    wake.add_readings(floor, watch.id, rows(start, (1,), healthy), by="phone")
    stands = wake.watch_stands(floor, watch.id, floor.clock.now, floor.kinds)
    assert len(stands.rows) == 4
    for bad, sort in (
        ((("2026-11-26T20:00:00", "nose", 21.0),), Unusable),  # without an offset
        (((start.isoformat(), "nose", float("nan")),), Unusable),
        (((start.isoformat(), "teapot", 21.0),), Unknown),
        ((), Unusable),
    ):
        with pytest.raises(sort):
            wake.add_readings(floor, watch.id, bad, by=AN)
    with pytest.raises(Unknown):
        wake.add_readings(floor, "no-such", rows(start, (0,), healthy), by=AN)


def test_a_growing_logger_file_is_taken_row_by_row_once(floor):
    at_p8(floor)
    watch = watched(floor, logger="box")
    start = floor.clock.now
    lines = [f"{(start + timedelta(minutes=m)).isoformat()},{21 + m / 10}\n" for m in range(6)]
    head = "time,nose_c\n"

    def follow(text: str):
        return wake.follow(floor, watch.id, "box.csv", text.encode(), floor.clock.now, by="s")

    floor.clock.passes(6)
    assert follow("") is None
    assert follow(head) is None
    assert len(follow(head + "".join(lines[:2])).fact.rows) == 2
    assert follow(head + "".join(lines[:2])) is None
    half = head + "".join(lines[:3]) + lines[3][:20]
    assert [row[2] for row in follow(half).fact.rows] == [21.2]  # the half line waits
    assert [row[2] for row in follow(head + "".join(lines)).fact.rows] == pytest.approx(
        [21.3, 21.4, 21.5]
    )
    stands = wake.watch_stands(floor, watch.id, floor.clock.now, floor.kinds)
    assert len(stands.rows) == 6
    assert {one.fact.source for one in floor.current(WatchReadings)} == {"logger"}


def test_what_of_a_logger_cannot_be_taken_is_named_after_the_rest_is_kept(floor):
    at_p8(floor)
    watch = watched(floor, logger="box")
    start = floor.clock.now
    at = [(start + timedelta(minutes=m)).isoformat() for m in range(3)]
    text = f"time,nose_c\n{at[0]},21.0\n{at[1]},broken\n{at[2]},21.3\n"
    floor.clock.passes(3)
    with pytest.raises(Unusable, match="not everything") as refused:
        wake.follow(floor, watch.id, "box.csv", text.encode(), floor.clock.now, by="s")
    assert "broken" in refused.value.problems[0].what
    assert [row[2] for row in floor.current(WatchReadings)[0].fact.rows] == [21.0, 21.3]


def test_a_watch_taken_back_takes_what_it_kept_along(floor):
    at_p8(floor)
    watch = watched(floor)
    wake.add_readings(floor, watch.id, rows(floor.clock.now, (0,), healthy), by=AN)
    wake.take_back(floor, watch.id, by=AN)
    assert wake.watches(floor, *AT) == ()
    assert floor.current(WatchReadings) == []
    with pytest.raises(Unknown):
        wake.watch_stands(floor, watch.id, floor.clock.now, floor.kinds)


def test_the_paper_way_needs_every_number_typed(floor):
    at_p8(floor)
    watch = watched(floor, alarm="paper", heard=False)
    wake.end_watch(floor, watch.id, "left", AN, by=AN)
    with pytest.raises(NotYet):
        wake.sign(floor, *AT, "P8", AN, floor.kinds, by=AN)
    read_all(floor, *AT, floor.kinds, "P8-V")
    wake.sign(floor, *AT, "P8", AN, floor.kinds, by=AN)


def test_a_restart_loses_nothing_and_what_happened_meanwhile_is_called(tmp_path, kinds):
    """The shop on disk is closed in the middle of a watch and opened again."""
    clock = Clock()
    place = str(tmp_path / "shop.sqlite")
    shop = open_shop(place, clock=clock)
    worth.new_lot(shop, Lot(name="school"), Terms(lot=""),
                  [Machine(lot="", name="mill", kind="vertical_machining_centre")],
                  by="owner")  # fmt: skip
    stamp(shop, *AT, kinds)
    signed_up_to(shop, *AT, kinds, "P7")
    close(shop, *AT, kinds, kinds["vertical_machining_centre"].stages["P8-V"])
    begun(shop, *AT, kinds, "P8")
    watch = wake.begin_watch(shop, *AT, kinds, stage="P8", heard=True, room_c=21.0, by=AN)
    start = clock.passes(2)
    wake.add_readings(shop, watch.id, rows(start, (0, 1), healthy), by=AN)
    assert wake.call(shop, watch.id, clock.passes(1), kinds, by="server") is None
    wake.add_readings(shop, watch.id, rows(start, (2, 2.5, 3), healthy, amps=12.0), by="phone")
    shop.close()
    again = open_shop(place, clock=clock)
    stands = wake.watch_stands(again, watch.id, clock.passes(3), kinds)
    assert len(stands.rows) == 10
    kept = wake.call(again, watch.id, clock.now, kinds, by="server")
    assert kept is not None
    assert kept.fact.call == "stop"
    assert wake.stage(again, *AT, "P8", kinds).state == "aborted"
    again.close()


def test_what_waited_for_the_answer_on_its_unit_is_kept_with_it_and_nothing_twice(floor):
    at_p8(floor)
    watch = watched(floor)
    start = floor.clock.now

    def file(minutes: int) -> bytes:
        lines = [
            f"{(start + timedelta(minutes=at)).isoformat()},{70.0 + at},5.0"
            for at in range(minutes)
        ]
        return "\n".join(["time,nose,amps", *lines, ""]).encode()

    at = floor.clock.passes(4)
    with pytest.raises(Unusable):  # 70 in a room of 21 °C: asked, not guessed
        wake.follow(floor, watch.id, "nose.csv", file(3), at, by=AN)
    at = floor.clock.passes(1)
    wake.follow(floor, watch.id, "nose.csv", file(4), at, fahrenheit=True, by=AN)
    at = floor.clock.passes(1)
    wake.follow(floor, watch.id, "nose.csv", file(5), at, fahrenheit=True, by=AN)
    kept = [row for one in floor.current(WatchReadings) for row in one.fact.rows]
    nose = sorted(value for _, channel, value in kept if channel == "nose")
    assert nose == pytest.approx([(70 + at - 32) / 1.8 for at in range(5)])
    assert len([one for one in kept if one[1] == "amps"]) == 5


def test_a_time_that_counts_is_laid_on_now_when_its_file_is_seen_growing(floor):
    """Started ten minutes before the watch: nothing of it is live until its newest row is now."""
    watch = watched(floor, stage="", what="spindle")

    def grown(minutes):
        rows = "".join(f"{60 * one},{21 + one % 7}\n" for one in range(minutes + 1))
        return f"seconds,nose_c\n{rows}".encode()

    for _ in range(2):  # the same file again is no growth
        with pytest.raises(Unusable, match="not everything"):
            wake.follow(floor, watch.id, "a.csv", grown(10), floor.clock.now, by="server")
    assert floor.current(WatchReadings) == []
    floor.clock.now += timedelta(minutes=1)
    record = wake.follow(floor, watch.id, "a.csv", grown(11), floor.clock.now, by="server")
    assert record.fact.rows[-1][0][:19] == floor.clock.now.isoformat()[:19]
    floor.clock.now += timedelta(minutes=1)
    later = wake.follow(floor, watch.id, "a.csv", grown(12), floor.clock.now, by="server")
    assert [row[0][:19] for row in later.fact.rows] == [floor.clock.now.isoformat()[:19]]


def test_columns_that_nobody_understands_stand_in_the_notes_of_the_watch(floor):
    watch = watched(floor, stage="", what="spindle")
    at = floor.clock.now.isoformat()
    text = f"time,nose_c,humidity,I motor (A)\n{at},21.5,40,5\n".encode()
    with pytest.raises(Unusable) as refused:
        wake.follow(floor, watch.id, "a.csv", text, floor.clock.now, by="server")
    assert [one.where for one in refused.value.problems] == ["I motor (A)"]
    stands = wake.watch_stands(floor, watch.id, floor.clock.now, floor.kinds)
    assert "humidity, I motor (A)" in stands.notes[0]
    assert stands.watched.notes == stands.notes
    assert len(stands.rows) == 1


def test_a_healthy_step_of_last_time_is_the_baseline_of_the_next(floor):
    at_p8(floor)
    watch = watched(floor)
    floor.clock.now += timedelta(minutes=30)
    read = rows(watch.noted_at, range(31), healthy)
    noise = tuple((at, "sound_db", 70.0) for at, name, _ in read if name == "nose")
    wake.add_readings(floor, watch.id, (*read, *noise), by=AN)
    wake.end_watch(floor, watch.id, "levelled", AN, by=AN)
    again = watched(floor)
    plan = wake.watch_stands(floor, again.id, floor.clock.now, floor.kinds).plan
    assert plan.channels["sound_db"].baseline == 70.0
    assert plan.channels["amps"].baseline == 5.0
    assert plan.last_time["nose_rise"] == pytest.approx(3.4, abs=0.5)
