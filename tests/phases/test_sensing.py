"""Sound, vibration and light in a shop: kept, told, compared, taken back."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import pytest
from tests.fakes.shop import FakeShop
from tests.phases.sensing import EAR, HEARD, NOSE, chance, findings, keep, level

from retrue.base.refusals import Overtaken, Unknown, Unusable
from retrue.kinds.library import Kind
from retrue.phases import find, prove, worth
from retrue.phases.worth import LotView
from retrue.records.facts import Finding, Machine, Withdrawn
from retrue.records.measuring import Instrument
from retrue.records.seeking import Act
from retrue.records.shop import RecordShop
from retrue.records.waking import Sensed, SensedResult


@pytest.fixture
def shop() -> RecordShop:
    """In memory; both shops keep by the same rules, which tests of their own try."""
    return FakeShop()


@pytest.fixture
def floor(shop: RecordShop, lot: LotView) -> RecordShop:
    """A shop with both machines of the school on its floor."""
    return shop


class TestWhatTheBeliefLearns:
    def test_a_loud_spindle_at_the_ear_makes_worn_bearings_likelier_and_a_quiet_one_less(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        nothing = chance(floor, kinds, "F01")
        made = level(floor, kinds, 84.0)
        loud = chance(floor, kinds, "F01")
        prove.take_back_sensed(floor, made.record.id, by="owner")
        assert chance(floor, kinds, "F01") == pytest.approx(nothing, abs=1e-12)
        level(floor, kinds, 70.0)
        assert chance(floor, kinds, "F01") < nothing < loud

    def test_a_telephone_moves_it_less_than_a_checked_meter(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        prove.keep_instrument(
            floor,
            Instrument(name="meter", sort="sound_meter", unit="dB", uncertainty=1.4,
                       certificate="7", due_on="2027-02-01"),
            by="owner",
        )  # fmt: skip
        found = []
        for options in ({}, HEARD, {"instrument": "meter"}):
            made = level(floor, kinds, 84.0, options=options)
            (finding,) = made.findings
            found.append(
                (finding.fact.uncertainty, finding.fact.grade, chance(floor, kinds, "F01"))
            )
            prove.take_back_sensed(floor, made.record.id, by="owner")
        assert [one[:2] for one in found] == [(5.0, 4), (2.0, 4), (1.4, 5)]
        assert found[0][2] < found[1][2] < found[2][2]

    def test_light_and_vibration_are_readings_of_their_own_measures(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        keep(floor, kinds, "light", readings=[("lux", 180.0), ("lux", 260.0)])
        keep(floor, kinds, "vibration", readings=[("velocity_rms_mm_s", 4.2)], **NOSE)
        told = [(f.check, f.measure, f.reading, f.channel) for f in findings(floor)]
        assert told == [("C95", "M29", 220.0, "running"), ("C93", "M27", 4.2, "running")]
        assert [f.uncertainty for f in findings(floor)] == [
            pytest.approx(22.0), pytest.approx(0.63),
        ]  # fmt: skip
        assert chance(floor, kinds, "F104") > 0.9

    @pytest.mark.parametrize(
        ("sort", "told", "why"),
        [
            ("sound", {**EAR, "point": "at the pump"}, "only what is read at the operator"),
            ("sound", {**EAR, "state": "cutting"}, "spindle idling"),
            ("sound", {**EAR, "state": ""}, "in what state"),
            ("sound", {**EAR, "options": HEARD | {"without": "pump"}}, "which sound first"),
            ("sound", {**EAR, "when": "after"}, "nothing was repaired"),
            ("vibration", {**NOSE, "point": "a foot"}, "only what is read at the spindle nose"),
            ("light", {"point": "around the machine"}, "only what is read on the work"),
            ("vibration", {**NOSE, "machine": "grinder"}, "no such look"),
        ],
    )
    def test_elsewhere_or_otherwise_it_is_kept_and_tells_nothing(
        self,
        floor: RecordShop,
        kinds: Mapping[str, Kind],
        sort: str,
        told: dict[str, Any],
        why: str,
    ) -> None:
        if told.get("machine") == "grinder":
            grinder = Machine(lot="", name="grinder", kind="surface_grinder")
            worth.add_machine(floor, "school", grinder, by="owner")
        key = {"sound": "level_a_db", "vibration": "velocity_rms_mm_s", "light": "lux"}[sort]
        made = keep(floor, kinds, sort, readings=[(key, 82.0)], **told)
        assert made.findings == ()
        assert why in made.why.lower()
        assert made.result is not None
        assert len(floor.current(Sensed)) == 1
        assert findings(floor) == []

    @pytest.mark.parametrize(
        ("off", "told", "ruling"),
        [(60.0, 78.0, "nothing"), (68.0, 77.542, "taken"), (72.5, None, "upper_bound")],
    )
    def test_what_is_heard_with_the_machine_off_is_taken_off_or_hides_it(
        self,
        floor: RecordShop,
        kinds: Mapping[str, Kind],
        off: float,
        told: float | None,
        ruling: str,
    ) -> None:
        """K1 of ISO 3744:2010, 8.2.3: 0.46 dB at 10 dB over the background (ECMA TR/107)."""
        assert level(floor, kinds, off, state="machine off").findings == ()
        made = level(floor, kinds, 78.0)
        seen = [one.fact.reading for one in made.findings]
        assert seen == ([] if told is None else [pytest.approx(told, abs=0.001)])
        bare = prove.quiet(floor, "school", "mill", kinds).alone
        assert bare is not None
        assert bare.ruling == ruling

    def test_a_level_after_a_repair_is_told_and_after_new_covers_it_is_not(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        level(floor, kinds, 84.0, when="before")
        loud = chance(floor, kinds, "F01")
        assert level(floor, kinds, 74.0, when="after").findings == ()
        assert chance(floor, kinds, "F01") == pytest.approx(loud, abs=1e-12)
        act = Act(lot="", machine="", sort="send_out", fault="F01", way="outside")
        find.did(floor, "school", "mill", act, kinds, by="owner")
        mended = level(floor, kinds, 74.0, when="after")
        assert [one.fact.reading for one in mended.findings] == [74.0]
        assert chance(floor, kinds, "F01") < loud

    def test_of_two_readings_with_nothing_done_between_the_newest_counts(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        level(floor, kinds, 78.0)
        once = chance(floor, kinds, "F01")
        level(floor, kinds, 84.0)
        level(floor, kinds, 78.0)
        assert chance(floor, kinds, "F01") == pytest.approx(once, abs=1e-12)


class TestKeeping:
    def test_sent_twice_it_is_kept_once_and_something_else_under_its_id_is_refused(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        one, other = (level(floor, kinds, 84.0, id="from-phone-1") for _ in range(2))
        assert one.record == other.record
        assert one.findings == other.findings
        assert one.result == other.result
        for sort in (Sensed, SensedResult, Finding):
            assert len(floor.current(sort)) == 1
        with pytest.raises(Overtaken):
            level(floor, kinds, 85.0, id="from-phone-1")

    def test_a_sending_that_broke_off_is_finished_by_the_next(
        self, floor: RecordShop, kinds: Mapping[str, Kind], monkeypatch: pytest.MonkeyPatch
    ) -> None:
        add, broken = floor.add, [True]

        def breaks(fact: Any, **named: Any) -> Any:
            if isinstance(fact, SensedResult) and broken:
                broken.clear()
                raise ConnectionError
            return add(fact, **named)

        monkeypatch.setattr(floor, "add", breaks)
        with pytest.raises(ConnectionError):
            level(floor, kinds, 84.0, id="a")
        (begun,) = prove.sensed(floor, "school", "mill")
        assert begun.value is None
        assert "broke off" in begun.why
        level(floor, kinds, 84.0, id="a")
        for sort in (Sensed, SensedResult, Finding):
            assert len(floor.current(sort)) == 1

    def test_it_is_taken_back_with_all_that_followed_from_it_and_with_nothing_else(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        kept, other = level(floor, kinds, 84.0), level(floor, kinds, 83.0)
        prove.take_back_sensed(floor, kept.record.id, "wrong machine", by="owner", id="gone-1")
        prove.take_back_sensed(floor, kept.record.id, "wrong machine", by="owner", id="gone-1")
        assert [one.id for one in floor.current(Sensed)] == [other.record.id]
        assert [one.fact.sensed for one in floor.current(SensedResult)] == [other.record.id]
        assert [one.fact.reading for one in floor.current(Finding)] == [83.0]
        assert len(floor.current(Withdrawn)) == 3
        assert [one.id for one in prove.sensed(floor, "school", "mill")] == [other.record.id]
        with pytest.raises(Unknown, match="still counts"):
            prove.take_back_sensed(floor, kept.record.id, by="owner")
        with pytest.raises(Unknown):
            prove.take_back_sensed(floor, other.findings[0].id, by="owner")

    def test_a_taking_back_that_broke_off_is_finished_by_the_next(
        self, floor: RecordShop, kinds: Mapping[str, Kind], monkeypatch: pytest.MonkeyPatch
    ) -> None:
        kept, add, broken = level(floor, kinds, 84.0), floor.add, [True]

        def breaks(fact: Any, **named: Any) -> Any:
            if getattr(fact, "of_kind", "") == "sensed_result" and broken:
                broken.clear()
                raise ConnectionError
            return add(fact, **named)

        monkeypatch.setattr(floor, "add", breaks)
        with pytest.raises(ConnectionError):
            prove.take_back_sensed(floor, kept.record.id, by="owner", id="gone-2")
        prove.take_back_sensed(floor, kept.record.id, by="owner", id="gone-2")
        assert findings(floor) == []
        assert floor.current(SensedResult) == []

    def test_sent_once_more_after_it_was_taken_back_it_stays_taken_back(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        kept = level(floor, kinds, 84.0, id="b")
        prove.take_back_sensed(floor, kept.record.id, by="owner")
        again = level(floor, kinds, 84.0, id="b")
        assert again.result is None
        assert "taken back" in again.why
        assert findings(floor) == []

    @pytest.mark.parametrize(
        ("sort", "readings", "where"),
        [
            ("sound", [("level_a_db", -3.0)], ["level_a_db"]),
            ("sound", [("level_a_db", 80.0), ("level_a_db", 81.0)], ["level_a_db"]),
            ("sound", [("level_a_db", math.nan), ("lux", 3.0)], ["level_a_db", "lux"]),
            ("vibration", [("velocity_rms_mm_s", -1.0)], ["velocity_rms_mm_s"]),
            ("light", [("lux", 1e9)], ["lux"]),
            ("light", [], ["readings"]),
        ],
    )
    def test_numbers_that_cannot_be_are_all_named_and_nothing_is_kept(
        self,
        floor: RecordShop,
        kinds: Mapping[str, Kind],
        sort: str,
        readings: list[tuple[str, float]],
        where: list[str],
    ) -> None:
        with pytest.raises(Unusable) as refused:
            keep(floor, kinds, sort, readings=readings)
        assert [one.where for one in refused.value.problems] == where
        assert floor.current(Sensed) == []

    def test_an_unknown_sort_or_instrument_is_named_with_the_nearest(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        with pytest.raises(Unknown) as refused:
            keep(floor, kinds, "sounds", readings=[("level_a_db", 80.0)])
        assert "sound" in refused.value.remedy
        with pytest.raises(Unknown, match="no instrument"):
            level(floor, kinds, 80.0, options={"instrument": "meter"})


class TestSideBySide:
    def test_before_and_after_at_the_same_place_and_state_say_whether_it_is_more_than_the_doubt(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        """Covers with damping sheets: 93 dB before, 83 after (common practice, no source)."""
        for when, value in (("before", 93.0), ("after", 83.0)):
            level(floor, kinds, value, when=when, point="  The Operator\u2019s EAR", by="owner")
        level(floor, kinds, 70.0, when="after", state="covers off")
        level(floor, kinds, 71.0, when="after", speed_rpm=6000.0)
        (pair,) = prove.quiet(floor, "school", "mill", kinds).pairs
        assert pair.change.difference == -10.0
        assert pair.change.give_or_take == pytest.approx(math.hypot(2.0, 2.0))
        assert pair.says == "better, by more than the doubt"
        assert pair.bands is None

    def test_with_a_telephone_three_decibels_are_no_change_that_can_be_seen(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        for when, value in (("before", 80.0), ("after", 77.0)):
            level(floor, kinds, value, when=when, options={})
        (pair,) = prove.quiet(floor, "school", "mill", kinds).pairs
        assert pair.change.told == "cannot_tell"

    def test_more_light_is_better_and_more_vibration_is_worse(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        for when, lux, velocity in (("before", 300.0, 1.0), ("after", 800.0, 2.4)):
            keep(floor, kinds, "light", readings=[("lux", lux)], when=when)
            told = [("velocity_rms_mm_s", velocity)]
            keep(floor, kinds, "vibration", readings=told, when=when, **NOSE)
        found = prove.quiet(floor, "school", "mill", kinds).pairs
        assert [(one.after.sense.sort, one.change.told) for one in found] == [
            ("light", "better"), ("vibration", "worse"),
        ]  # fmt: skip

    def test_the_newest_pair_counts_and_an_older_before_is_not_asked_about_again(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        for when, value in (("before", 95.0), ("before", 93.0), ("after", 90.0), ("after", 83.0)):
            level(floor, kinds, value, when=when)
        view = prove.quiet(floor, "school", "mill", kinds)
        assert [(one.before.value, one.after.value) for one in view.pairs] == [(93.0, 83.0)]

    def test_vibration_is_held_against_the_first_reading_at_that_place_and_speed(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        for value, speed in ((1.0, 3000.0), (5.0, 6000.0), (1.1, 3000.0), (1.6, 3000.0)):
            told = NOSE | {"speed_rpm": speed}
            keep(floor, kinds, "vibration", readings=[("velocity_rms_mm_s", value)], **told)
        slow, fast = prove.quiet(floor, "school", "mill", kinds).baselines
        assert (slow.first.value, slow.newest.value, slow.change.told) == (1.0, 1.6, "worse")
        assert fast.alone

    def test_what_gains_most_when_it_is_switched_off_comes_first(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        level(floor, kinds, 84.0)
        for name, value in (("fan", 83.9), ("pump", 80.0)):
            level(floor, kinds, value, options=HEARD | {"without": name})
        order = prove.quiet(floor, "school", "mill", kinds).sources
        assert order is not None
        assert [(one.name, one.worth_treating) for one in order.sources] == [
            ("pump", True), ("fan", None),
        ]  # fmt: skip
        assert order.sources[0].level_db == pytest.approx(
            10 * math.log10(10**8.4 - 10**8.0), abs=1e-9
        )

    def test_louder_with_a_source_off_is_said_and_blocks_nothing(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        level(floor, kinds, 80.0)
        level(floor, kinds, 90.0, options={"without": "fan"})
        view = prove.quiet(floor, "school", "mill", kinds)
        assert view.sources is None
        assert "fan" in view.sources_why
        assert len(view.lines) == 2

    def test_next_goes_from_sound_to_vibration_to_light_to_one_source_off_to_after_to_paper(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        def following() -> tuple[str, str, bool]:
            one = prove.quiet(floor, "school", "mill", kinds).next
            return one.sort, one.when, one.measure

        seen = [following()]
        level(floor, kinds, 84.0, when="before")
        seen.append(following())
        keep(floor, kinds, "vibration", readings=[("velocity_rms_mm_s", 1.0)], **NOSE)
        seen.append(following())
        keep(floor, kinds, "light", readings=[("lux", 700.0)])
        seen.append(following())
        level(floor, kinds, 80.0, options=HEARD | {"without": "pump"})
        seen.append(following())
        level(floor, kinds, 78.0, when="after")
        seen.append(following())
        assert seen == [
            ("sound", "before", True), ("vibration", "before", True), ("light", "before", True),
            ("sound", "", True), ("sound", "after", True), ("sound", "", False),
        ]  # fmt: skip
