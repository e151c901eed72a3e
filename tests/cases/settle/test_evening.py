"""Evenings guessed from traces: against a hidden truth, two machines, two people, the clock."""

from __future__ import annotations

import random
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta, timezone
from statistics import fmean
from zoneinfo import ZoneInfo

import pytest

from retrue.base.refusals import Unreadable, Unusable
from retrue.cases.settle.evening import Evening, Trace, evenings, key_of
from retrue.cases.settle.evening_clock import Span, moment_of, span_of
from retrue.cases.settle.evening_file import traces_in
from retrue.cases.settle.evening_rules import RULES
from retrue.cases.settle.evening_shares import quarters
from retrue.cases.settle.evening_shown import guessed_from, question

GHENT = timezone(timedelta(hours=1))
BRUSSELS = ZoneInfo("Europe/Brussels")


def wall(moment: datetime) -> datetime:
    return moment.astimezone(BRUSSELS)


def at(clock: str, day: int = 25, **more: str) -> Trace:
    hour, minute = clock.split(":")
    moment = datetime(2026, 11, day, int(hour), int(minute), tzinfo=GHENT)
    given = {"worker": "me", "lot": "school", "machine": "lathe"} | more
    return Trace(at=moment, **given)


def told(traces: Sequence[Trace], **more) -> list[tuple[str, str, str, float]]:
    found = evenings(traces, **more).evenings
    return [(one.worked_on, one.begin, one.end, one.hours) for one in found]


def one(traces: Sequence[Trace], **more) -> Evening:
    (found,) = evenings(traces, **more).evenings
    return found


class TestAgainstAHiddenTruth:
    """True begin and end are drawn, traces fall between them; nobody tells the guess the truth."""

    @staticmethod
    def errors(apart: float, count: int = 400) -> list[float]:
        """Guessed less true hours; traces come by chance, so many minutes apart on average."""
        made = []
        for seed in range(count):
            chance = random.Random(f"{apart}-{seed}")
            begin = datetime(2026, 11, 23, 19, tzinfo=GHENT)
            begin += timedelta(minutes=chance.uniform(0, 60))
            lasts, passed = chance.uniform(90, 240), 0.0
            traces = []
            while (passed := passed + chance.expovariate(1 / apart)) < lasts:
                traces.append(Trace(at=begin + timedelta(minutes=passed), worker="me", lot="l",
                                    machine="m"))  # fmt: skip
            guess = sum(evening.hours for evening in evenings(traces).evenings)
            made.append(guess - lasts / 60)
        return made

    @pytest.mark.parametrize(
        ("apart", "bias", "mean", "nine_in_ten"),
        # stated bounds, in hours; measured: 0.02, 0.11, 0.22; 0.00, 0.20, 0.42; 0.08, 0.33, 0.68
        [(5.0, 0.05, 0.15, 0.3), (10.0, 0.05, 0.25, 0.55), (15.0, 0.15, 0.4, 0.85)],
    )
    def test_the_error_of_the_guess(self, apart, bias, mean, nine_in_ten):
        made = self.errors(apart)
        size = sorted(abs(error) for error in made)
        assert abs(fmean(made)) <= bias
        assert fmean(size) <= mean
        assert size[int(0.9 * len(size))] <= nine_in_ten

    def test_without_the_leads_the_guess_would_be_too_short(self):
        """The bound bites: from the first trace to the last alone misses a third of an hour."""
        begin, error = datetime(2026, 11, 23, 19, tzinfo=GHENT), []
        for seed in range(300):
            chance, passed, moments = random.Random(seed), 0.0, []
            while (passed := passed + chance.expovariate(1 / 10)) < 150:
                moments.append(begin + timedelta(minutes=passed))
            error.append(((moments[-1] - moments[0]) / timedelta(hours=1)) - 2.5)
        assert fmean(error) < -0.25


class TestOneEvening:
    def test_the_example_of_the_page(self):
        traces = [at(clock) for clock in ("19:50", "20:10", "20:30", "20:40", "21:05", "21:30",
                                          "21:45", "22:00")]  # fmt: skip
        evening = one(traces)
        assert (evening.begin, evening.end, evening.hours) == ("19:35", "22:15", 2.5)
        assert evening.begins.utcoffset() == timedelta(hours=1)
        assert question(evening, date(2026, 11, 25)).startswith("Tonight 19:35 to 22:15: 2.5 h")
        assert guessed_from(evening) == "Guessed from 8 things kept that evening: notes 8."

    def test_a_longer_silence_begins_a_new_one(self):
        early = [at("13:00"), at("13:20"), at("13:40")]
        late = [at("14:55"), at("15:15"), at("15:35")]
        assert len(told([*early, *late])) == 1  # 75 minutes are no longer silence
        later = [at("14:56"), at("15:15"), at("15:35")]
        assert [row[1] for row in told([*early, *later])] == ["14:40", "12:45"]

    def test_too_short_and_too_long_are_not_asked_about(self):
        found = evenings([at("20:00"), at("20:09"), at("12:00", day=24)])
        assert (found.evenings, found.not_asked) == ((), 2)
        hourly = [at(f"{hour:02d}:00") for hour in range(18)]
        assert evenings(hourly).evenings == ()

    def test_an_end_that_says_so_is_taken_at_its_word(self):
        middle = [at("20:20"), at("20:40"), at("21:00")]
        said = [at("20:00", edge="begin"), *middle, at("21:20", edge="end")]
        assert told(said) == [("2026-11-25", "19:55", "21:25", 1.5)]
        silent = [at("20:00"), *middle, at("21:20")]
        assert told(silent) == [("2026-11-25", "19:45", "21:35", 1.75)]

    def test_it_does_not_end_after_now(self):
        traces = [at("20:00"), at("20:20"), at("20:40")]
        now = datetime(2026, 11, 25, 20, 45, tzinfo=GHENT)
        assert told(traces, now=now)[0][2] == "20:45"

    def test_over_midnight_it_belongs_to_the_day_it_began(self):
        traces = [at("23:00"), at("23:30"), at("00:00", day=26), at("00:40", day=26)]
        assert told(traces) == [("2026-11-25", "22:40", "01:00", 2.25)]

    def test_the_order_in_which_it_came_in_does_not_matter(self):
        traces = [at(f"{20 + n // 6}:{n % 6}0") for n in range(12)]
        shuffled = traces.copy()
        random.Random(3).shuffle(shuffled)
        assert evenings(shuffled) == evenings(traces)

    def test_the_key_is_of_worker_day_and_beginning(self):
        evening = one([at("20:00"), at("20:20"), at("20:40")])
        assert evening.key == key_of("me", "2026-11-25", evening.begin)
        assert evening.key != one([at(c, worker="An") for c in ("20:00", "20:20", "20:40")]).key


class TestWhoseTimeItIs:
    def test_two_machines_by_the_later_trace(self):
        mill = {"machine": "mill"}
        evening = one([at("20:00"), at("20:30"), at("21:00"), at("21:30", **mill),
                       at("22:00", **mill)])  # fmt: skip
        by_machine = {share.machine: share.hours for share in evening.shares}
        # 80 min each, 2 h 40 in all: of eleven quarters the earlier machine has the odd one
        assert by_machine == {"lathe": 1.5, "mill": 1.25}
        assert sum(by_machine.values()) == evening.hours

    def test_what_is_tied_to_nothing_goes_with_the_next(self):
        nothing = {"lot": None, "machine": None}
        evening = one([at("20:00", **nothing), at("20:20"), at("20:40", **nothing),
                       at("21:00", machine="mill"), at("21:20", **nothing)])  # fmt: skip
        assert {share.machine for share in evening.shares} == {"lathe", "mill"}
        bare = [at(clock, **nothing) for clock in ("20:00", "20:20", "20:40")]
        assert evenings(bare).evenings == ()

    def test_cards_share_the_time_at_their_machine(self):
        evening = one([at("20:00"), at("20:30", line="F15:local"), at("21:00"),
                       at("21:30", line="J05"), at("21:40", machine="mill")])  # fmt: skip
        shares = {(share.machine, share.line): share.hours for share in evening.shares}
        assert set(shares) == {("lathe", "F15:local"), ("lathe", "J05"), ("mill", "")}
        assert shares["lathe", "J05"] == 1.0
        alone = one([at("20:00"), at("20:30", line="F15:local"), at("21:00")])
        assert [share.line for share in alone.shares] == ["F15:local"]

    def test_two_people_apart(self):
        both = [at(clock, worker=who) for who in ("An", "Bo") for clock in ("20:00", "20:30",
                                                                            "21:00")]  # fmt: skip
        found = evenings(both).evenings
        assert sorted(evening.worker for evening in found) == ["An", "Bo"]
        assert {evening.hours for evening in found} == {1.75}
        names = [question(evening, date(2026, 11, 25), me="An") for evening in found]
        assert sum(text.startswith("Bo, Tonight") for text in names) == 1

    def test_quarters_by_largest_remainders(self):
        """Hare quota, a worked example by hand: 10 seats for 47, 16, 15.8, 12, 6.1, 3.1."""
        assert quarters([47, 16, 15.8, 12, 6.1, 3.1], 10) == [5, 2, 1, 1, 1, 0]
        assert quarters([0, 0], 3) == [3, 0]


class TestTheClock:
    """Europe/Brussels: 2026-10-25 03:00 becomes 02:00, 2027-03-28 02:00 becomes 03:00."""

    @staticmethod
    def around(first: datetime, count: int) -> list[Trace]:
        return [
            Trace(at=wall(first + timedelta(minutes=20 * n)), worker="me", lot="l", machine="m")
            for n in range(count)
        ]

    def test_the_hour_that_comes_twice_is_worked_twice(self):
        evening = one(self.around(datetime(2026, 10, 24, 22, 0, tzinfo=UTC), 13))  # midnight local
        assert (evening.begin, evening.end, evening.hours) == ("23:45", "03:15", 4.5)
        assert evening.worked_on == "2026-10-24"

    def test_the_hour_that_is_left_out_is_not_worked(self):
        evening = one(self.around(datetime(2027, 3, 27, 22, 0, tzinfo=UTC), 13))  # 23:00 local
        assert (evening.begin, evening.end, evening.hours) == ("22:45", "04:15", 4.5)

    def test_times_of_a_day_become_moments_and_back(self):
        for day in (date(2026, 10, 24), date(2026, 10, 25), date(2027, 3, 28), date(2027, 7, 1)):
            for clock in ("00:30", "01:59", "03:30", "19:40", "23:59"):
                found = moment_of(day, clock, wall)
                assert found.date() == day
                assert f"{found:%H:%M}" == clock
        twice = moment_of(date(2026, 10, 25), "02:30", wall)
        assert twice.utcoffset() == timedelta(hours=2)  # of the hour that comes twice, the first
        span = span_of("me", "2026-10-24", "23:00", "04:00", wall)
        assert span.ends - span.begins == timedelta(hours=6)


class TestWhatIsSpokenFor:
    EVENING = ("19:50", "20:10", "20:30", "20:50", "21:10", "21:30")

    def test_what_was_answered_is_not_asked_again(self):
        traces = [at(clock) for clock in self.EVENING]
        evening = one(traces)
        span = Span(worker="me", begins=evening.begins, ends=evening.ends)
        assert told(traces, spoken_for=[span]) == []

    def test_of_what_comes_later_only_the_rest_is_asked(self):
        traces = [at(clock) for clock in self.EVENING]
        evening = one(traces)
        span = Span(worker="me", begins=evening.begins, ends=evening.ends)
        short = [*traces, at("21:50")]
        assert told(short, spoken_for=[span]) == []  # less than half an hour
        late = [*traces, at("21:50"), at("22:20"), at("22:50")]
        (rest,) = evenings(late, spoken_for=[span]).evenings
        assert (rest.begin, rest.end, rest.rest) == (evening.end, "23:10", True)
        assert rest.hours == 1.5

    def test_what_came_late_for_before_is_asked_too(self):
        traces = [at(clock) for clock in self.EVENING]
        evening = one(traces)
        span = Span(worker="me", begins=evening.begins, ends=evening.ends)
        early = [at("18:40"), at("19:00"), at("19:20"), *traces]
        (rest,) = evenings(early, spoken_for=[span]).evenings
        assert (rest.begin, rest.end) == ("18:25", evening.begin)

    def test_clocked_time_is_cut_out_of_the_middle(self):
        traces = [at(clock) for clock in ("19:00", "19:30", "20:00", "20:30", "21:00", "21:30")]
        begins = datetime(2026, 11, 25, 19, 45, tzinfo=GHENT)
        span = Span(worker="me", begins=begins, ends=begins + timedelta(hours=1))
        assert told(traces, spoken_for=[span]) == [
            ("2026-11-25", "20:45", "21:50", 1.0),
            ("2026-11-25", "18:40", "19:45", 1.0),
        ]
        other = Span(worker="An", begins=begins, ends=begins + timedelta(hours=1))
        assert len(told(traces, spoken_for=[other])) == 1


class TestAPlainTable:
    def test_moments_and_machines(self):
        rows = ["moment;machine;by"]
        rows += [f"2026-11-25 {20 + n // 3}:{n % 3 * 20:02d};lathe;me" for n in range(6)]
        rows += ["2026-11-25T22:00+01:00;mill;me"]
        evening = one(traces_in("\n".join(rows).encode(), "moments.csv", wall))
        assert (evening.begin, evening.end) == ("19:45", "22:15")
        by_machine = {share.machine: share.hours for share in evening.shares}
        assert by_machine == {"lathe": 2.0, "mill": 0.5}

    @pytest.mark.parametrize(
        ("content", "refusal", "named"),
        [
            (b"", Unreadable, []),
            (b"\xff\xfe1", Unreadable, []),
            (b"moment,machine\n", Unreadable, []),
            (b"when,what\n2026-11-25 20:00,x\n", Unusable, ["machine"]),
            (b"moment,machine\n2026-11-25,lathe\n25/11 20:00,lathe\n", Unusable,
             ["row 2", "row 3"]),
        ],
    )  # fmt: skip
    def test_what_cannot_be_read_is_named(self, content, refusal, named):
        with pytest.raises(refusal) as refused:
            traces_in(content, "a.csv", wall)
        assert [problem.where for problem in refused.value.problems] == named


def test_the_rules_are_told_with_their_figures():
    assert RULES.gap == timedelta(minutes=75)
