"""Own hours of a shop: an evening is asked about, and one tap answers."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
from tests.fakes.shop import FakeShop, TickingClock
from tests.phases.settle.evenings import (
    EVENING,
    NOW,
    Kinds,
    answer,
    asked,
    at,
    photographs,
    school,
    view,
    wall,
)

from retrue.base.refusals import Overtaken, Unusable
from retrue.phases import settle
from retrue.records.facts import Finding
from retrue.records.settling import HoursTold
from retrue.records.shop import ToAdd
from retrue.store.shop import SqlShop, open_shop


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
