"""What it costs who is told what is wrong: every sum written out by hand (Howard 1966)."""

from __future__ import annotations

import math

import numpy as np
import pytest

from retrue.choose.bound import perfect_information
from retrue.choose.seeking import Floats, Goal, Search, Treatment

A, B = Treatment("a", 10.0, 1.0), Treatment("b", 40.0, 1.0)
SHUT: Floats = np.zeros(1)
NONE, ONLY_A, ONLY_B, BOTH = (False, False), (True, False), (False, True), (True, True)


def search(
    *what: tuple[bool, bool],
    odds: tuple[float, ...] = (1.0,),
    chains: tuple[tuple[Treatment, ...], ...] = ((A,), (B,)),
    goals: tuple[Goal, ...] = (Goal((0, 1), again=3.0, help=30.0),),
    opening: Floats = SHUT,
    open_now: int = 0,
) -> Search:
    """Two items of one goal; trying again costs 3, help 30."""
    return Search(
        weight=np.array(odds), active=np.array(what).T, chains=chains, tests=(), goals=goals,
        opening=opening, open_now=open_now,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("what", "wanted"),
    [
        (NONE, 0.0),  # it was tried, and nothing is wrong any more
        (ONLY_A, 13.0),  # treated and tried
        (ONLY_B, 30.0),  # help is cheaper than 43
        (BOTH, 30.0),  # and clears both: cheaper than 53
    ],
)
def test_what_is_wrong_is_treated_or_help_is_called(what: tuple[bool, bool], wanted: float) -> None:
    assert perfect_information(search(what)) == wanted
    without = search(what, goals=(Goal((0, 1), again=3.0),))
    alone = {NONE: 0.0, ONLY_A: 13.0, ONLY_B: 43.0, BOTH: 53.0}
    assert perfect_information(without) == alone[what]


def test_each_way_it_may_be_counts_by_its_chance() -> None:
    """0.4 x 13 + 0.3 x 30 + 0.2 x 30 + 0.1 x 0; two ways alike are one."""
    whole = search(ONLY_A, ONLY_B, BOTH, NONE, odds=(0.4, 0.3, 0.2, 0.1))
    assert perfect_information(whole) == pytest.approx(20.2)
    split = search(ONLY_A, BOTH, ONLY_A, ONLY_B, NONE, odds=(0.1, 0.2, 0.3, 0.3, 0.1))
    assert perfect_information(split) == pytest.approx(20.2)


def test_what_was_not_tried_yet_is_tried_once_though_nothing_is_wrong() -> None:
    goal = Goal((0, 1), again=3.0, help=30.0, tried=False)
    assert perfect_information(search(NONE, goals=(goal,))) == 3.0
    assert perfect_information(search(ONLY_A, goals=(goal,))) == 13.0


@pytest.mark.parametrize(
    ("chain", "wanted"),
    [
        # 10, then 20 where it did not cure, and one try: 10 + 0.4 x 20 + 3
        ((Treatment("a", 10.0, 0.6), Treatment("a2", 20.0, 1.0)), 21.0),
        # help after the first is cheaper than 200: 10 + 3 + 0.4 x 35
        ((Treatment("a", 10.0, 0.6), Treatment("a2", 200.0, 1.0)), 27.0),
        # nothing else is left where it does not cure
        ((Treatment("a", 10.0, 0.6),), 27.0),
        # 28 + 3 + 0.9 x 35 is dearer than help at once
        ((Treatment("a", 28.0, 0.1),), 35.0),
        ((), 35.0),  # help alone clears it
    ],
)
def test_an_unsure_treatment_is_followed_by_the_next_or_by_help(
    chain: tuple[Treatment, ...], wanted: float
) -> None:
    """Help asks 5 more for this item: 35."""
    goal = Goal((0, 1), again=3.0, help=30.0, help_each=(5.0, 1.0))
    made = search(ONLY_A, chains=(chain, (B,)), goals=(goal,))
    assert perfect_information(made) == pytest.approx(wanted)


def test_of_several_the_dearest_alone_is_the_least_where_help_may_end_it() -> None:
    """40 + 3 is less than 70 and 60 of help; of both 53 is more than the dearest alone, 43."""
    goal = Goal((0, 1), again=3.0, help=60.0, help_each=(0.0, 10.0))
    assert perfect_information(search(BOTH, goals=(goal,))) == 43.0
    assert perfect_information(search(ONLY_B, goals=(goal,))) == 43.0


@pytest.mark.parametrize(
    ("opens", "open_now", "wanted"),
    [
        ((0b01, 0b01), 0b00, 60.0),  # one place for both, opened once: 53 + 7
        ((0b01, 0b10), 0b00, 71.0),  # two places: 53 + 7 + 11
        ((0b01, 0b10), 0b01, 64.0),  # the first is open
        ((0b11, 0b00), 0b10, 60.0),
        ((0b01, 0b10), 0b11, 53.0),
        ((0b10, 0b00), 0b00, 64.0),  # the second alone: 53 + 11
    ],
)
def test_a_place_is_opened_once_and_costs_nothing_while_it_is_open(
    opens: tuple[int, int], open_now: int, wanted: float
) -> None:
    chains = tuple(
        (Treatment(one.key, one.cost, 1.0, mask),) for one, mask in zip((A, B), opens, strict=True)
    )
    goals = (Goal((0, 1), again=3.0),)
    made = search(BOTH, chains=chains, goals=goals, opening=np.array([7.0, 11.0]),
                  open_now=open_now)  # fmt: skip
    assert perfect_information(made) == wanted


def test_goals_add_up_and_openings_of_several_count_nothing() -> None:
    """13 of the one and 42 of the other, its help being dear; 7 might serve both."""
    goals = (Goal((0,), again=3.0, help=math.inf), Goal((1,), again=2.0, help=99.0))
    chains = ((Treatment("a", 10.0, 1.0, 1),), (Treatment("b", 40.0, 1.0, 1),))
    made = search(BOTH, chains=chains, goals=goals, opening=np.array([7.0]))
    assert perfect_information(made) == 55.0


def test_an_opening_is_paid_before_help_is_called_after_a_treatment() -> None:
    """7 + 10 + 3 + 0.4 x 30 = 32 is dearer than help at once; of 80 of help it is 52, not 80."""
    chain = (Treatment("a", 10.0, 0.6, 1),)
    for asks, wanted in ((30.0, 30.0), (80.0, 52.0)):
        made = search(ONLY_A, chains=(chain, (B,)), goals=(Goal((0, 1), again=3.0, help=asks),),
                      opening=np.array([7.0]))  # fmt: skip
        assert perfect_information(made) == pytest.approx(wanted)
