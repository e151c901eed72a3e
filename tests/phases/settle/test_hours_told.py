"""Own hours of a shop: typed in words or figures, or by a clock that was started."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest
from tests.fakes.shop import FakeShop
from tests.phases.settle.evenings import (
    EVENING,
    NOW,
    ON,
    Kinds,
    at,
    photographs,
    school,
    view,
    wall,
)

from retrue.base.refusals import NotYet, Unknown, Unusable
from retrue.phases import settle
from retrue.records.facts import Machine
from retrue.records.settling import ClockRung, HoursTold


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
