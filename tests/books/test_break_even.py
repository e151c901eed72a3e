"""Where two ways cost the same: by the trade's own example, by hand, and never an exception."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.books.break_even import (
    BreakEven,
    crossing,
    crossings,
    days_that_eat,
    lost_day,
    own_against_buying_in,
    same_cost,
    within_a_year,
)

ENERGY = 6.0 * 0.25  # an hour
RESTORED, NEW = 12_582.0 - 1_350.0, 19_982.0 - 1_350.0  # a year without energy


def test_lost_days_eat_the_whole_gap_of_the_trades_example():
    """Common practice, from memory: a day of 8 h at 60 is 480; 15 of them are 7 200."""
    assert lost_day(60.0) == 480.0
    assert 15 * lost_day(60.0) == 7_200.0
    eaten = days_that_eat(7_200.0, lost_day(60.0))
    assert (eaten.says, eaten.at, eaten.from_there) == ("at", 15.0, False)


def test_a_restored_machine_that_is_cheaper_a_year_and_alike_an_hour_is_always_cheaper():
    assert same_cost(RESTORED, ENERGY, NEW, ENERGY).says == "always"
    assert same_cost(NEW, ENERGY, RESTORED, ENERGY).says == "never"


def test_a_new_one_that_saves_by_the_hour_wins_from_some_hours_on():
    """By hand: 7 400 a year more, 4 an hour less: 1 850 h."""
    found = same_cost(NEW, ENERGY, RESTORED, ENERGY + 4.0)
    assert found == BreakEven("at", pytest.approx(1_850.0), True)
    other = same_cost(RESTORED, ENERGY + 4.0, NEW, ENERGY)
    assert other == BreakEven("at", pytest.approx(1_850.0), False)


def test_both_cost_the_same_there():
    rng = np.random.default_rng(5)
    for _ in range(200):
        one, hour, other, other_hour = rng.uniform(0, 100, 4)
        found = same_cost(one, hour, other, other_hour)
        if found.at is not None:
            assert one + hour * found.at == pytest.approx(other + other_hour * found.at)
            more = found.at + 1.0
            cheaper = one + hour * more < other + other_hour * more
            assert cheaper == found.from_there
        else:
            for hours in (0.0, 7.0, 1e6):
                cheaper = one + hour * hours < other + other_hour * hours
                assert cheaper == (found.says == "always")


@pytest.mark.parametrize(
    ("fixed", "hourly", "bought", "says"),
    [
        (0.0, 20.0, 45.0, "always"),
        (9_000.0, 45.0, 45.0, "never"),
        (9_000.0, 46.0, 45.0, "never"),
        (0.0, 45.0, 45.0, "never"),
    ],
)
def test_owning_against_buying_in_has_words_for_the_ends(fixed, hourly, bought, says):
    assert own_against_buying_in(fixed, hourly, bought).says == says


def test_a_machine_that_brings_more_than_it_costs_is_better_up_to_some_hours():
    """By hand: 1 000 a year ahead at none, 5 an hour dearer: 200 h."""
    assert own_against_buying_in(-1_000.0, 50.0, 45.0) == BreakEven("at", 200.0, False)


def test_no_number_is_an_exception():
    for gap in (-1e9, -1.0, 0.0, 1.0, 1e300):
        for day in (-5.0, 0.0, 1e-300, 480.0):
            assert days_that_eat(gap, day).says in ("at", "never", "always")
            assert crossing(gap, day).says in ("at", "never", "always")


def test_worlds_say_what_one_world_at_a_time_says():
    rng = np.random.default_rng(8)
    none, hour = rng.normal(size=300), rng.normal(size=300)
    for there in (True, False):
        every = crossings(none, hour, from_there=there)
        for at, (a, b) in enumerate(zip(none, hour, strict=True)):
            alone = crossing(a, b)
            if alone.at is not None and alone.from_there == there:
                assert every[at] == pytest.approx(alone.at)
            elif alone.says != "at":
                better_everywhere = alone.says == "always"
                assert every[at] == (0.0 if better_everywhere == there else np.inf)


def test_a_lost_day_costs_the_work_less_what_is_not_spent_on_it():
    """By hand: 60 bought in, 15 of the operator and 6.2 of running saved: 38.8, 8 h of it."""
    assert lost_day(60.0, saved=21.2) == pytest.approx(310.4)
    assert lost_day(20.0, saved=21.2) == 0.0


def test_more_hours_than_a_year_has_are_a_word():
    assert within_a_year(BreakEven("at", 8_784.0, True)).at == 8_784.0
    assert within_a_year(BreakEven("at", 8_785.0, True)) == BreakEven("never")
    assert within_a_year(BreakEven("at", 8_785.0, False)) == BreakEven("always")
    assert within_a_year(BreakEven("always")).says == "always"
