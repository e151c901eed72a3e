"""Own hours of a shop: what is a trace, what counts, no hour twice."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any

import pytest
from tests.fakes.shop import FakeShop
from tests.phases.settle.evenings import (
    EVENING,
    NOW,
    ON,
    Kinds,
    answer,
    asked,
    at,
    photographs,
    school,
    view,
    wall,
)

from retrue.cases.settle.hours_json import flat
from retrue.phases import settle
from retrue.phases.settle.hours import this_wall, told_hours
from retrue.records.facts import File, Finding, Note, Outcome
from retrue.records.fixing import CardMarked, PlanKept
from retrue.records.measuring import Reading, ReadingSet
from retrue.records.seeking import Act
from retrue.records.settling import ClockRung, HoursTold
from retrue.records.shop import ToAdd
from retrue.records.stripping import Cleaned
from retrue.records.waking import StageBegun, StageEnded, StageReading


@pytest.fixture
def shop() -> FakeShop:
    return FakeShop()


@pytest.fixture(scope="module")
def kinds() -> Kinds:
    """Own hours ask the library nothing."""
    return {}


@pytest.fixture
def lot(shop) -> dict[str, str]:
    return school(shop)


class TestWhatIsATrace:
    def test_a_late_offline_batch_counts_when_it_was_taken(self, shop, lot):
        """Sent on Wednesday in one second, taken on Monday evening."""
        photographs(shop, lot, *EVENING, day=23)
        assert shop.current(File)[0].noted_at.day == 25
        assert asked(shop) == [("2026-11-23", "19:30", "22:10", 2.75)]

    def test_a_photograph_counts_when_its_camera_says(self, shop, lot):
        for clock in EVENING:
            shop.add(
                File(sha256="0" * 64, name="a.jpg", media_type="image/jpeg", size_bytes=1,
                     taken=f"2026-11-24T{clock}:00", **lot),
                by="me", device="phone", observed_at=at("08:00"),
            )  # fmt: skip
        assert asked(shop) == [("2026-11-24", "19:30", "22:10", 2.75)]

    @pytest.mark.parametrize("taken", ["2027-01-01T20:00:00", "2019-05-01T12:00:00"])
    def test_a_camera_whose_clock_cannot_be_right_is_not_believed(self, shop, lot, taken):
        for clock in EVENING:
            shop.add(
                File(sha256="0" * 64, name="a.jpg", media_type="image/jpeg", size_bytes=1,
                     taken=taken, **lot),
                by="me", device="phone", observed_at=at(clock),
            )  # fmt: skip
        assert asked(shop) == [("2026-11-25", "19:30", "22:10", 2.75)]

    def test_a_caption_written_later_moves_nothing(self, shop, lot):
        photographs(shop, lot, *EVENING, day=24)
        for one in shop.current(File):
            shop.add(one.fact, by="me", replaces=one.id, observed_at=at("13:00"))
        assert asked(shop) == [("2026-11-24", "19:30", "22:10", 2.75)]

    def test_moments_without_an_offset_are_by_the_clock_on_the_wall(self, shop, lot):
        for clock in EVENING:
            shop.add(Note(text="x", **lot), by="me", observed_at=at(clock).astimezone(UTC))
        assert asked(shop) == [("2026-11-25", "19:30", "22:10", 2.75)]

    def test_office_work_is_not_guessed(self, shop, lot):
        for clock in EVENING:
            for channel in ("photo", "call"):
                seen = Finding(check="C01", answer="seen", channel=channel, **lot)
                shop.add(seen, by="me", observed_at=at(clock))
            off = CardMarked(card="J05", how="not_now", marked_on="2026-11-25", **lot)
            shop.add(off, by="me", observed_at=at(clock))
            paper = File(sha256="0" * 64, name="a.pdf", media_type="application/pdf",
                         size_bytes=1, **lot)  # fmt: skip
            shop.add(paper, by="me", observed_at=at(clock))
        assert asked(shop) == []

    def test_nothing_is_guessed_of_what_is_only_bid_for(self, shop, lot):
        saw = {"lot": "other", "machine": "saw"}
        photographs(shop, saw, *EVENING)
        assert asked(shop) == []
        done = Cleaned(place="cabinet", muck="oil", **saw)
        shop.add(done, by="me", observed_at=at("21:55"))
        assert asked(shop) == []  # one cleaning alone is too little, and the photographs stay out
        shop.add(Outcome(lot="other", result="won"), by="me", observed_at=at("10:00", day=20))
        assert len(asked(shop)) == 1

    def test_what_was_read_from_a_file_is_no_work(self, shop, lot):
        for n, clock in enumerate(EVENING):
            table = ReadingSet(test="level", file="0" * 64, **lot)
            shop.add(table, by="me", id=f"set{n}", observed_at=at(clock))
            shop.add(Reading(set=f"set{n}", cell="a", text="1"), by="me", observed_at=at(clock))
        assert asked(shop) == []
        shop.add(ReadingSet(test="level", **lot), by="me", id="typed", observed_at=at("19:50"))
        for clock in EVENING[1:]:
            shop.add(Reading(set="typed", cell="a", text="1"), by="me", observed_at=at(clock))
        assert len(asked(shop)) == 1

    def test_hundreds_in_seconds_are_no_work(self, shop, lot):
        photographs(shop, lot, *EVENING)
        before = asked(shop)
        facts = [
            ToAdd(fact=Note(text=f"row {n}", **lot),
                  observed_at=at("23:00") + timedelta(milliseconds=30 * n))
            for n in range(300)
        ]  # fmt: skip
        shop.add_all(facts, by="me", device="phone")
        assert asked(shop) == before

    def test_taken_back_it_leaves_no_trace(self, shop, lot):
        photographs(shop, lot, *EVENING)
        for one in shop.current(File):
            shop.withdraw(one.id, by="me")
        assert asked(shop) == []

    def test_the_demos_own_evening(self, shop, lot):
        """The run-in of the demo, 22:51 to 03:41; all else of it is kept within a minute."""
        ends = ["23:01", "23:21", "23:51", "00:21", "00:51", "01:21", "02:01", "02:41", "03:41"]
        begun = ["22:51", *ends[:-1]]
        moments = [at(one, 23 if one > "12" else 24) for one in (*begun, ends[-1])]
        for n, (begins, finished) in enumerate(pairwise(moments)):
            stage = {"stage": f"R{n}", **lot}
            shop.add(StageBegun(by_name="owner", **stage), by="owner", id=f"b{n}", device="laptop",
                     observed_at=begins)  # fmt: skip
            for k in range(6):
                read = StageReading(begun=f"b{n}", name=f"nose_{k}", reading=30.0 + k, **stage)
                shop.add(read, by="owner", device="laptop", observed_at=finished)
            shop.add(StageEnded(begun=f"b{n}", how="signed", name="owner", **stage), by="owner",
                     device="laptop", observed_at=finished)  # fmt: skip
        load = [
            ToAdd(fact=Note(text=f"kept by the demo {n}", **lot),
                  observed_at=at("20:00") + timedelta(milliseconds=60 * n))
            for n in range(300)
        ]  # fmt: skip
        shop.add_all(load, by="owner", device="laptop")
        assert asked(shop) == [("2026-11-23", "22:45", "03:45", 5.0)]


class TestNoHourTwice:
    @staticmethod
    def card(shop, lot, hours: float, day: int = 25, **more: Any) -> None:
        fact = CardMarked(card="F15:local", how="done", marked_on=f"2026-11-{day}", hours=hours,
                          **lot)  # fmt: skip
        shop.add(fact, observed_at=at("21:40", day), **({"by": "me"} | more))

    def test_hours_told_of_no_machine_speak_for_the_cards_of_that_day(self, shop, lot, kinds):
        self.card(shop, lot, 1.5)
        self.card(shop, lot, 2.0, day=24)
        self.card(shop, lot, 1.0, by="An")
        fact = HoursTold(worked_on="2026-11-25", hours=3.0, text="all evening in the shop")
        settle.tell_hours(shop, fact, kinds, now=NOW, wall=wall, by="me")
        assert view(shop).by_machine == {"": 3.0, "lathe": 3.0}

    def test_card_hours_count_until_the_evening_is_answered(self, shop, lot):
        photographs(shop, lot, *EVENING)
        self.card(shop, lot, 1.5)
        self.card(shop, lot, 2.0, day=24)
        self.card(shop, lot, 1.0, by="An")
        assert view(shop).by_machine == {"lathe": 4.5}
        mine = next(one for one in view(shop).guesses if one.worker == "me")
        answer(shop, "yes", key=mine.key)
        rows = [(row.worked_on, row.how, row.hours, row.worker) for row in view(shop).rows]
        assert sorted(rows) == [
            ("2026-11-24", "card", 2.0, "me"),
            ("2026-11-25", "card", 1.0, "An"),
            ("2026-11-25", "told", 2.5, "me"),
        ]

    def test_not_mine_answers_for_the_cards_too(self, shop, lot):
        photographs(shop, lot, *EVENING)
        self.card(shop, lot, 1.5)
        answer(shop, "not_mine")
        assert view(shop).rows == ()

    def test_an_act_kept_with_a_card_counts_once(self, shop, lot):
        self.card(shop, lot, 1.5, id="mark")
        act = Act(sort="repair", fault="F15", way="local", hours=1.5, **lot)
        shop.add(act, by="me", id="mark.act", observed_at=at("21:40"))
        cleaned = Cleaned(place="cabinet", muck="oil", hours=1.0, **lot)
        shop.add(cleaned, by="me", observed_at=at("21:40"))
        assert [(row.how, row.hours) for row in view(shop).rows] == [("card", 1.5)]

    def test_typed_hours_stand_for_their_machine_and_day(self, shop, lot, kinds):
        photographs(shop, lot, *EVENING[:4])
        photographs(shop, lot | {"machine": "mill"}, *EVENING[4:])
        self.card(shop, lot, 1.5)
        fact = HoursTold(worked_on="2026-11-25", hours=1.0, **lot)
        settle.tell_hours(shop, fact, kinds, now=NOW, wall=wall, by="me")
        after = view(shop)
        assert after.by_machine == {"lathe": 1.0}
        assert [share.machine for share in after.guesses[0].shares] == ["mill"]

    def test_clocked_time_stands_before_a_guess(self, shop, lot, kinds):
        photographs(shop, lot, *EVENING)
        for clock, how in (("20:15", "start"), ("21:00", "stop")):
            shop.add(ClockRung(how=how, at=at(clock).isoformat(), **lot), by="me",
                     observed_at=at(clock))  # fmt: skip
        assert asked(shop) == [
            ("2026-11-25", "21:00", "22:10", 1.25), ("2026-11-25", "19:30", "20:15", 0.75),
        ]  # fmt: skip
        for one in view(shop).guesses:
            answer(shop, "yes", key=one.key)
        assert view(shop).by_machine == {"lathe": 2.75}
        assert sorted(row.how for row in view(shop).rows) == ["clock", "told", "told"]

    def test_a_clock_over_an_answer_counts_what_is_left(self, shop, lot):
        photographs(shop, lot, *EVENING)
        answer(shop, "yes")  # 19:30 to 22:10
        for clock, how in (("21:10", "start"), ("22:40", "stop")):
            shop.add(ClockRung(how=how, at=at(clock).isoformat(), **lot), by="me",
                     observed_at=at(clock))  # fmt: skip
        assert [(row.how, row.hours) for row in view(shop).rows] == [("clock", 0.5), ("told", 2.75)]


def test_what_was_expected_stands_beside(shop, lot):
    photographs(shop, lot, *EVENING)
    answer(shop, "yes")
    plan = {"machines": [{"machine": "mill", "machine_name": "mill", "hours_left": 90.04}]}
    shop.add(PlanKept(lots=("school",), at="2026-11-20T19:30+01:00", seed=7, worlds=20, inputs="x",
                      plan=json.dumps(plan)), by="me")  # fmt: skip
    told = {one.machine: one for one in view(shop).expected}
    assert "lathe" not in told  # a frozen price: test_same_sums
    assert (told["mill"].even, told["mill"].planned, told["mill"].planned_on) == (
        None, 90.0, "2026-11-20")  # fmt: skip
    why = flat(view(shop))["why"]
    assert set(why.values()) == {"no price was frozen"}


def test_rows_alone_are_those_of_the_view(shop, lot):
    photographs(shop, lot, *EVENING)
    answer(shop, "yes")
    assert settle.counted(shop, on=ON, wall=wall) == view(shop).rows
    assert settle.counted(shop, on=ON - timedelta(days=1), wall=wall) == ()


def test_a_day_told_again_is_what_would_be_told_after_anything_was_kept(shop, lot):
    def beside(moment: datetime) -> datetime:  # nothing is remembered by any other clock
        return this_wall(moment)

    photographs(shop, lot, *EVENING)
    before = told_hours(shop, on=ON)
    assert told_hours(shop, on=ON) is before
    photographs(shop, lot, "22:30", "22:50")
    longer = told_hours(shop, on=ON)
    assert longer == told_hours(shop, on=ON, wall=beside) != before
    shop.withdraw(shop.current(File)[-1].id, by="me")
    assert told_hours(shop, on=ON) == told_hours(shop, on=ON, wall=beside) != longer
    answer(shop, "yes")
    assert told_hours(shop, on=ON) == told_hours(shop, on=ON, wall=beside)
    assert told_hours(shop, on=ON).rows
    assert told_hours(shop, on=ON - timedelta(days=1)).rows == ()
