"""Own hours of a shop: what is a trace, what is asked, what counts, no hour twice."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime, timedelta, timezone
from itertools import pairwise
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from tests.fakes.shop import FakeShop, TickingClock

from retrue.base.refusals import NotYet, Overtaken, Unknown, Unusable
from retrue.cases.settle.hour_lines import HoursView
from retrue.cases.settle.hours_json import flat
from retrue.kinds.library import Kind
from retrue.phases import settle
from retrue.records.facts import File, Finding, Lot, Machine, Note, Outcome
from retrue.records.fixing import CardMarked, PlanKept
from retrue.records.measuring import Reading, ReadingSet
from retrue.records.seeking import Act
from retrue.records.settling import ClockRung, HoursTold
from retrue.records.shop import ToAdd
from retrue.records.stripping import Cleaned
from retrue.records.waking import StageBegun, StageEnded, StageReading
from retrue.store.shop import SqlShop, open_shop

BRUSSELS, GHENT = ZoneInfo("Europe/Brussels"), timezone(timedelta(hours=1))
ON = date(2026, 11, 25)  # a Wednesday
NOW = datetime(2026, 11, 25, 23, 30, tzinfo=GHENT)
Kinds = Mapping[str, Kind]


def wall(moment: datetime) -> datetime:
    return moment.astimezone(BRUSSELS)


def at(clock: str, day: int = 25) -> datetime:
    hour, minute = clock.split(":")
    return datetime(2026, 11, day, int(hour), int(minute), tzinfo=GHENT)


@pytest.fixture
def shop() -> FakeShop:
    return FakeShop()


@pytest.fixture(scope="module")
def kinds() -> Kinds:
    """Own hours ask the library nothing."""
    return {}


@pytest.fixture
def lot(shop) -> dict[str, str]:
    """A lot of two machines that was won, and one that is bid for."""
    shop.add(Lot(name="school"), by="me", id="school")
    for name in ("mill", "lathe"):
        made = Machine(lot="school", name=name, kind="turning_centre")
        shop.add(made, by="me", id=name)
    shop.add(Lot(name="other hall"), by="me", id="other")
    shop.add(Machine(lot="other", name="saw", kind="turning_centre"), by="me", id="saw")
    shop.add(Outcome(lot="school", result="won"), by="me", observed_at=at("12:00", day=2))
    return {"lot": "school", "machine": "lathe"}


def photographs(shop, where: Mapping[str, str], *clocks: str, day: int = 25, **more: Any) -> None:
    """Photographs without a time of their own, sent as they were taken."""
    hand: dict[str, Any] = {"by": "me", "device": "phone"} | more
    for n, clock in enumerate(clocks):
        fact = File(sha256="0" * 64, name=f"{n}.jpg", media_type="image/jpeg", size_bytes=1,
                    **where)  # fmt: skip
        shop.add(fact, observed_at=at(clock, day), **hand)


EVENING = ("19:50", "20:15", "20:40", "21:05", "21:30", "21:50")


def view(shop, now: datetime = NOW, **more: Any) -> HoursView:
    return settle.hours(shop, {}, on=now.date(), now=now, wall=wall, **more)


def asked(shop, now: datetime = NOW) -> list[tuple[str, str, str, float]]:
    return [(one.worked_on, one.begin, one.end, one.hours) for one in view(shop, now).guesses]


def answer(shop, how: str, *, key: str = "", **more: Any) -> list[Any]:
    key = key or view(shop).guesses[0].key
    hand = {"by": "me"} | more
    return settle.answer(shop, key, how, now=hand.pop("now", NOW), wall=wall, **hand)


class TestOneTap:
    def test_yes_keeps_the_evening_and_asks_no_more(self, shop, lot):
        photographs(shop, lot, *EVENING)
        assert asked(shop) == [("2026-11-25", "19:30", "22:10", 2.75)]
        (told,) = answer(shop, "yes")
        assert (told.fact.hours, told.fact.guessed, told.fact.answer) == (2.75, 2.75, "yes")
        assert (told.fact.begin, told.fact.end, told.fact.worker) == ("19:30", "22:10", "")
        after = view(shop)
        assert after.guesses == ()
        assert [(row.hours, row.how, row.machine) for row in after.rows] == [
            (2.75, "told", "lathe")
        ]
        assert after.by_machine == {"lathe": 2.75}
        assert after.by_week == (("2026-11-23", 2.75),)

    @pytest.mark.parametrize(
        ("how", "hours", "kept"),
        [("less", None, 2.25), ("more", None, 3.25), ("not_mine", None, 0.0), ("yes", 1.9, 1.9)],
    )
    def test_less_and_more_are_half_an_hour(self, shop, lot, how, hours, kept):
        photographs(shop, lot, *EVENING)
        told = answer(shop, how, hours=hours)
        assert sum(one.fact.hours for one in told) == kept
        assert asked(shop) == []
        assert sum(view(shop).by_machine.values()) == kept

    def test_the_same_tap_sent_twice_is_kept_once(self, shop, lot):
        photographs(shop, lot, *EVENING)
        key = view(shop).guesses[0].key
        first = answer(shop, "less", key=key, id="tap")
        assert answer(shop, "less", key=key, id="tap") == first
        assert len(shop.current(HoursTold)) == 1

    def test_a_second_step_goes_on_from_what_stands(self, shop, lot):
        photographs(shop, lot, *EVENING)
        key = view(shop).guesses[0].key
        answer(shop, "less", key=key)
        answer(shop, "less", key=key[:6])
        assert view(shop).by_machine == {"lathe": 1.75}
        answer(shop, "not_mine", key=key)
        assert view(shop).by_machine == {}
        answer(shop, "yes", key=key)
        assert view(shop).by_machine == {"lathe": 2.75}
        assert len(shop.history(shop.current(HoursTold)[0].id)) == 4

    def test_two_machines_are_kept_together_or_not_at_all(self, shop, lot):
        photographs(shop, lot, *EVENING[:4])
        photographs(shop, lot | {"machine": "mill"}, *EVENING[4:])
        told = answer(shop, "yes", id="tap")
        assert {one.fact.machine: one.fact.hours for one in told} == {"lathe": 1.75, "mill": 1.0}
        assert [one.id for one in told] == ["tap", "tap.2"]
        answer(shop, "more", key=told[0].fact.evening)
        assert sum(view(shop).by_machine.values()) == 3.25
        settle.take_back_hours(shop, shop.current(HoursTold)[0].id, by="me")
        assert shop.current(HoursTold) == []
        assert len(asked(shop)) == 1

    def test_only_the_rest_is_asked_about_when_more_comes(self, shop, lot):
        photographs(shop, lot, *EVENING)
        answer(shop, "yes")
        photographs(shop, lot, "22:15", "22:40", "23:05")
        assert asked(shop) == [("2026-11-25", "22:10", "23:25", 1.25)]
        answer(shop, "yes")
        assert asked(shop) == []
        assert view(shop).by_machine == {"lathe": 4.0}

    def test_a_page_that_was_open_answers_what_it_asked(self, shop, lot):
        """More came in between: the answer is to 2.75 h, not to what it has become."""
        photographs(shop, lot, *EVENING)
        shown = view(shop).guesses[0]
        photographs(shop, lot, "22:15", "22:40", "23:05")
        answer(shop, "yes", key=shown.key, until=shown.ends)
        assert view(shop).by_machine == {"lathe": 2.75}
        assert asked(shop) == [("2026-11-25", "22:10", "23:25", 1.25)]

    def test_an_evening_that_is_not_asked_about_is_refused(self, shop, lot):
        photographs(shop, lot, *EVENING)
        with pytest.raises(Overtaken):
            answer(shop, "yes", key="0" * 12)
        for figure in (-1.0, 0.0, 24.5):
            with pytest.raises(Unusable):
                answer(shop, "yes", hours=figure)
        assert shop.current(HoursTold) == []

    def test_an_evening_of_long_ago_is_answered_from_its_own_page(self, shop, lot):
        photographs(shop, lot, *EVENING, day=10)
        later = NOW + timedelta(days=60)
        assert view(shop, later).guesses == ()
        then = settle.hours(shop, {}, on=date(2026, 11, 12), now=later, wall=wall)
        (old,) = then.guesses
        answer(shop, "yes", key=old.key, until=old.asked_until, now=later)
        assert view(shop, later).by_machine == {"lathe": 2.75}

    def test_an_answer_does_not_fill_a_day_beyond_24_hours(self, shop, lot, kinds):
        photographs(shop, lot, *EVENING)
        asked_about = view(shop).guesses[0]
        full = HoursTold(worked_on="2026-11-25", hours=22.0, lot="school", machine="mill")
        settle.tell_hours(shop, full, kinds, now=NOW, wall=wall, by="me")
        with pytest.raises(Unusable, match="24 h"):
            answer(shop, "yes", key=asked_about.key)
        answer(shop, "yes", key=asked_about.key, hours=2.0)
        with pytest.raises(Unusable, match="24 h"):
            answer(shop, "more", key=asked_about.key)
        assert view(shop).by_machine == {"lathe": 2.0, "mill": 22.0}

    def test_another_person_is_asked_about_by_name(self, shop, lot):
        photographs(shop, lot, *EVENING, by="An")
        (told,) = answer(shop, "yes")
        assert (told.by, told.fact.worker) == ("me", "An")
        assert view(shop).by_worker == (("An", 2.75),)


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


class TestTypedHours:
    @pytest.mark.parametrize(
        ("change", "field"),
        [
            ({"hours": -1.0}, "hours"),
            ({"hours": 0.0}, "hours"),
            ({"hours": 24.5}, "hours"),
            ({"worked_on": "2026-11-26"}, "worked_on"),
            ({"worked_on": "soon"}, "worked_on"),
            ({"begin": "19:00"}, "end"),
            ({"begin": "25:00", "end": "26:00"}, "begin"),
            ({"begin": "22:00", "end": "09:30"}, "end"),
            ({"begin": "22:00", "end": "22:00"}, "end"),
            ({"begin": "20:00", "end": "21:00", "hours": 1.5}, "hours"),
        ],
    )
    def test_hours_that_cannot_be_are_refused_by_name(self, shop, lot, kinds, change, field):
        told = {"worked_on": "2026-11-25", "hours": 1.0} | change
        with pytest.raises(Unusable) as refused:
            settle.tell_hours(shop, HoursTold(**told, **lot), kinds, now=NOW, wall=wall, by="me")
        assert field in [problem.where for problem in refused.value.problems]
        assert shop.current(HoursTold) == []

    def test_two_at_a_time_are_refused_and_the_other_is_named(self, shop, lot, kinds):
        def tell(begin: str, end: str, **more: Any):
            fact = HoursTold(worked_on="2026-11-25", hours=1.0, begin=begin, end=end, **lot)
            hand = {"by": "me"} | more
            return settle.tell_hours(shop, fact, kinds, now=NOW, wall=wall, **hand)

        first = tell("19:00", "20:00")
        with pytest.raises(Unusable) as refused:
            tell("19:59", "21:00")
        assert first.id in refused.value.problems[0].what
        assert "19:00 to 20:00, 1 h on the lathe" in refused.value.problems[0].what
        tell("20:00", "21:00")
        tell("19:30", "20:30", by="An")  # another pair of hands
        assert len(shop.current(HoursTold)) == 3

    def test_a_correction_does_not_run_into_itself(self, shop, lot, kinds):
        fact = HoursTold(worked_on="2026-11-25", hours=1.0, begin="19:00", end="20:00", **lot)
        first = settle.tell_hours(shop, fact, kinds, now=NOW, wall=wall, by="me")
        longer = HoursTold(worked_on="2026-11-25", hours=1.5, begin="19:00", end="20:30", **lot)
        settle.tell_hours(shop, longer, kinds, now=NOW, wall=wall, by="me", replaces=first.id)
        assert view(shop).by_machine == {"lathe": 1.5}

    def test_the_same_again_is_asked_about(self, shop, lot, kinds):
        fact = HoursTold(worked_on="2026-11-25", hours=1.0, **lot)
        settle.tell_hours(shop, fact, kinds, now=NOW, wall=wall, by="me", id="a")
        settle.tell_hours(shop, fact, kinds, now=NOW, wall=wall, by="me", id="a")  # sent twice
        with pytest.raises(Unusable, match="already"):
            settle.tell_hours(shop, fact, kinds, now=NOW, wall=wall, by="me")

    def test_an_evening_that_is_answered_is_not_typed_beside(self, shop, lot, kinds):
        photographs(shop, lot, *EVENING)
        (asked,) = view(shop).guesses
        settle.answer(shop, asked.key, "yes", now=NOW, wall=wall, by="me")
        told = view(shop).by_machine
        for worker in ("", "me", "Me "):
            fact = HoursTold(worked_on="2026-11-25", hours=2.5, worker=worker, **lot)
            with pytest.raises(Unusable, match="an evening of that day is answered already"):
                settle.tell_hours(shop, fact, kinds, now=NOW, wall=wall, by="me")
        assert view(shop).by_machine == told
        for more in ({"begin": "08:00", "end": "10:30"}, {"worker": "An"}):
            fact = HoursTold(worked_on="2026-11-25", hours=2.5, **lot | more)
            settle.tell_hours(shop, fact, kinds, now=NOW, wall=wall, by="me")

    def test_a_worker_is_one_person_however_he_is_written(self, shop, lot, kinds):
        for worker, hours in (("", 1.0), ("Me", 2.0), ("An", 3.0), ("an ", 4.0)):
            fact = HoursTold(worked_on="2026-11-24", hours=hours, worker=worker, **lot)
            settle.tell_hours(shop, fact, kinds, now=NOW, wall=wall, by="me")
        assert dict(view(shop).by_worker) == {"me": 3.0, "An": 7.0}
        made = settle.start(shop, kinds, now=NOW, worker="ME", text="sweeping", wall=wall, by="me")
        assert made.fact.worker == "me"
        with pytest.raises(NotYet):
            settle.start(shop, kinds, now=NOW, worker="mE", text="oiling", wall=wall, by="me")

    def test_a_day_has_24_hours(self, shop, lot, kinds):
        for hours, machine in ((14.0, "lathe"), (9.0, "mill")):
            fact = HoursTold(worked_on="2026-11-25", hours=hours, lot="school", machine=machine)
            settle.tell_hours(shop, fact, kinds, now=NOW, wall=wall, by="me")
        fact = HoursTold(worked_on="2026-11-25", hours=1.5, lot="school", machine="lathe")
        with pytest.raises(Unusable, match="24 h"):
            settle.tell_hours(shop, fact, kinds, now=NOW, wall=wall, by="me")

    def test_words_are_read(self, shop, lot):
        read = settle.hours_typed(shop, "2,5 h lathe, balanced the chuck", on=ON)
        assert (read.hours, read.machine, read.lot) == (2.5, "lathe", "school")
        assert read.text == "balanced the chuck"
        assert settle.hours_typed(shop, "19:40 to 22:10 mill", on=ON).hours == 2.5
        for words in ("lathe", "2.5", "2.5 h laser"):
            with pytest.raises(Unusable):
                settle.hours_typed(shop, words, on=ON)
        shop.add(Machine(lot="other", name="lathe", kind="turning_centre"), by="me")
        with pytest.raises(Unknown, match="2 machines"):
            settle.hours_typed(shop, "1 h lathe", on=ON)


class TestStartAndStop:
    def test_a_running_clock_is_shown_and_does_not_count(self, shop, lot, kinds):
        settle.start(shop, kinds, now=at("19:40"), wall=wall, by="me", **lot)
        (clock,) = view(shop, at("20:10")).clocks
        assert (clock.machine_name, clock.hours, clock.too_long) == ("lathe", 0.5, False)
        assert view(shop, at("20:10")).rows == ()
        settle.stop(shop, now=at("22:10"), wall=wall, by="me")
        after = view(shop)
        assert after.clocks == ()
        assert [(row.hours, row.begin, row.end) for row in after.rows] == [(2.5, "19:40", "22:10")]

    def test_two_starts_and_a_stop_without_a_start(self, shop, lot, kinds):
        with pytest.raises(NotYet, match="no clock runs"):
            settle.stop(shop, now=at("19:40"), wall=wall, by="me")
        settle.start(shop, kinds, now=at("19:40"), wall=wall, by="me", id="a", **lot)
        settle.start(shop, kinds, now=at("19:40"), wall=wall, by="me", id="a", **lot)
        with pytest.raises(NotYet, match="at lathe since 2026-11-25 19:40"):
            settle.start(shop, kinds, now=at("20:00"), wall=wall, by="me", **lot)
        settle.start(shop, kinds, now=at("20:00"), wall=wall, by="An", **lot)
        assert len(shop.current(ClockRung)) == 2

    def test_a_forgotten_stop_is_asked_about_and_never_counted_by_itself(self, shop, lot, kinds):
        settle.start(shop, kinds, now=at("19:40", day=24), wall=wall, by="me", id="a", **lot)
        photographs(shop, lot, *EVENING, day=24)
        shown = view(shop, at("18:00"))
        (clock,) = shown.clocks
        assert (clock.too_long, shown.rows, clock.last_trace) == (True, (), "22:10")
        with pytest.raises(NotYet, match="2026-11-24 19:40, 22 h ago"):
            settle.stop(shop, now=at("18:00"), wall=wall, by="me")
        assert view(shop, at("18:00")).rows == ()
        stopped = datetime.fromisoformat(clock.stop_at)
        settle.stop(shop, now=at("18:00"), at=stopped, of="a", wall=wall, by="me")
        after = view(shop, at("18:00"))
        assert (after.clocks, after.by_machine) == ((), {"lathe": 2.5})
        assert [(one.begin, one.end) for one in after.guesses] == []

    @pytest.mark.parametrize(
        ("said", "refusal"),
        [({"hours": -1.0}, "before the start"), ({"hours": 25.0}, "more than a day"),
         ({"at": at("23:59", day=26)}, "to come")],
    )  # fmt: skip
    def test_a_stop_that_cannot_be(self, shop, lot, kinds, said, refusal):
        settle.start(shop, kinds, now=at("19:40", day=23), wall=wall, by="me", **lot)
        with pytest.raises(Unusable) as refused:
            settle.stop(shop, now=NOW, wall=wall, by="me", **said)
        assert refusal in refused.value.problems[0].what
        assert len(shop.current(ClockRung)) == 1

    def test_two_starts_that_came_from_two_phones(self, shop, lot):
        """Offline both were kept: the second ends the first."""
        for clock, how in (("19:00", "start"), ("20:00", "start"), ("21:30", "stop")):
            shop.add(ClockRung(how=how, at=at(clock).isoformat(), **lot), by="me",
                     observed_at=at(clock))  # fmt: skip
        assert sorted(row.hours for row in view(shop).rows) == [1.0, 1.5]


class TestTheFrontPage:
    @pytest.fixture
    def shop(self, tmp_path: Path) -> Iterator[SqlShop]:
        """On disk: what is read is found by an index."""
        opened = open_shop(str(tmp_path / "shop.sqlite"), clock=TickingClock())
        yield opened
        opened.close()

    def test_the_newest_question_waits_until_it_is_quiet(self, shop, lot):
        photographs(shop, lot, *EVENING)
        early = settle.newest_question(shop, now=at("21:55"), wall=wall)
        assert early is None
        found = settle.newest_question(shop, now=NOW, wall=wall)
        assert found is not None
        assert (found.begin, found.shares[0].machine_name) == ("19:30", "lathe")
        assert found == view(shop).guesses[0]
        answer(shop, "yes")
        assert settle.newest_question(shop, now=NOW, wall=wall) is None

    def test_it_reads_no_more_than_it_needs(self, shop, lot, monkeypatch):
        """With thousands of traces only the newest are opened, and no cut evening is asked."""
        facts = [
            ToAdd(fact=Finding(check="C01", answer="seen", grade=3, channel="apart", **lot),
                  observed_at=at("22:00") - timedelta(seconds=20 * n))
            for n in range(1500)
        ]  # fmt: skip
        shop.add_all(facts, by="me", device="phone")
        looked: list[int] = []
        plain = type(shop).seen_since

        def counted(self, moment, kinds, *, most=None):
            found = plain(self, moment, kinds, most=most)
            looked.append(len(found))
            return found

        monkeypatch.setattr(type(shop), "seen_since", counted)
        assert settle.newest_question(shop, now=NOW, wall=wall) is None  # cut: on its own page
        assert looked == [500]
        (whole,) = view(shop).guesses
        assert whole.hours == 8.5


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
