"""Ranges move by what lines came to; the owner's own stay; prices of machines are left alone."""

from __future__ import annotations

import math

import pytest
from tests.library import load as once

from retrue.kinds.judged import Three
from retrue.kinds.learned import LEARNED
from retrue.kinds.learned_ranges import Spent, log_ratio, middle, moved_ranges, with_ranges
from retrue.kinds.load import content_hash, load
from retrue.plan.inverse import pert_table

MILL = "vertical_machining_centre"
OWN = b"""[[cost]]
id = "E11"
amount = { low = 500.0, likely = 600.0, high = 700.0 }
"""


@pytest.fixture(scope="module")
def kinds():
    return once()


def spent(kinds, line, times, what="money", weight=1.0):
    kind = kinds[MILL]
    said = kind.costs[line].amount if line in kind.costs else fix(kind, line).money
    return Spent(line, what, said, times * middle(said), weight)


def fix(kind, line):
    fault, way = line.split(":")
    return next(one for one in kind.fixes[fault] if one.way == way)


def test_the_middle_is_the_median_of_the_range_as_the_worlds_draw_it():
    for three in (Three(2.0, 5.0, 14.0), Three(300.0, 700.0, 1800.0), Three(1.0, 2.0, 3.0)):
        drawn = float(sorted(pert_table([three.low], [three.likely], [three.high])[0])[512])
        assert middle(three) == pytest.approx(drawn, rel=0.02)


def test_without_outcomes_nothing_moves(kinds):
    assert with_ranges(kinds, []) is kinds


def test_a_dear_line_moves_itself_most_its_group_less_the_rest_least(kinds):
    taught = with_ranges(kinds, [spent(kinds, "E11", 2.0)] * 3)[MILL]
    shipped = kinds[MILL]
    line = taught.costs["E11"].amount.likely / shipped.costs["E11"].amount.likely
    sister = taught.costs["E13"].amount.likely / shipped.costs["E13"].amount.likely
    other = taught.costs["E40"].amount.likely / shipped.costs["E40"].amount.likely
    assert line == pytest.approx(2.0 ** (3 / 7))
    assert line > sister > other > 1.0
    assert sister == pytest.approx(2.0 ** (2 / 7))
    assert other == pytest.approx(2.0 ** (1 / 7))


def test_what_machines_ask_and_shares_do_not_move_with_what_was_spent(kinds):
    taught = with_ranges(kinds, [spent(kinds, "E11", 3.0)] * 5)[MILL]
    for id, cost in kinds[MILL].costs.items():
        if cost.group == "price" or not cost.unit.startswith("EUR"):
            assert taught.costs[id].amount == cost.amount, id


def test_hours_do_not_move_money_nor_the_other_way(kinds):
    said = kinds[MILL].jobs["J05"].hours
    taught = with_ranges(kinds, [Spent("J05", "hours", said, 2 * middle(said))])[MILL]
    assert taught.jobs["J05"].hours.likely > said.likely
    assert taught.jobs["J05"].money == kinds[MILL].jobs["J05"].money
    assert taught.costs["E11"].amount == kinds[MILL].costs["E11"].amount


def test_outcomes_that_agree_narrow_and_outcomes_that_scatter_widen(kinds):
    def width(times):
        taught = with_ranges(kinds, [spent(kinds, "E11", one) for one in times])[MILL]
        return math.log(taught.costs["E11"].amount.high / taught.costs["E11"].amount.low)

    assert width([1.0] * 8) < width([1.0]) < width([0.3, 3.5] * 4)


def test_the_owners_own_number_stays():
    own = load((("own.toml", OWN),))
    taught = with_ranges(own, [spent(own, "E13", 3.0)] * 4)[MILL]
    assert taught.costs["E11"].amount == Three(500.0, 600.0, 700.0)
    assert taught.costs["E13"].amount.likely > own[MILL].costs["E13"].amount.likely
    assert taught.marks["cost.E13.amount"] == LEARNED
    assert not any(mark == LEARNED for key, mark in taught.marks.items() if "E11.amount" in key)


def test_a_repair_learns_its_money_and_its_days(kinds):
    line = next(
        f"{one.fault}:{one.way}"
        for ways in kinds[MILL].fixes.values() for one in ways
        if one.lead_days > 5 and one.money.low > 0
    )  # fmt: skip
    days = fix(kinds[MILL], line).lead_days
    waited = Spent(line, "days", Three(days, days, days), 2.0 * days)
    taught = with_ranges(kinds, [waited, spent(kinds, line, 1.5)])[MILL]
    assert fix(taught, line).lead_days == pytest.approx(days * 2.0 ** (1 / 5))
    assert fix(taught, line).money.likely > fix(kinds[MILL], line).money.likely
    assert taught.hash == content_hash(taught) != kinds[MILL].hash


def test_nothing_paid_and_absurd_sums_count_as_far_out_not_without_end(kinds):
    said = kinds[MILL].costs["E11"].amount
    nothing = log_ratio(Spent("E11", "money", said, 0.0))
    absurd = log_ratio(Spent("E11", "money", said, 1e9))
    assert nothing == pytest.approx(math.log(said.low / 4 / middle(said)))
    assert absurd == pytest.approx(math.log(said.high * 4 / middle(said)))


def test_a_line_nobody_knows_says_nothing(kinds):
    strange = Spent("X99", "money", Three(1.0, 2.0, 3.0), 6.0)
    assert with_ranges(kinds, [strange])[MILL].costs == kinds[MILL].costs
    assert moved_ranges(kinds, [strange]) == ()


def test_the_table_of_moved_ranges_names_each_line_once(kinds):
    rows = moved_ranges(kinds, [spent(kinds, "E11", 2.0), spent(kinds, "E11", 2.0, weight=0.5)])
    (row,) = rows
    assert (row.line, row.what, row.outcomes) == ("E11", "money", 2)
    assert row.before == kinds[MILL].costs["E11"].amount
    assert row.after.likely == pytest.approx(row.before.likely * 2.0 ** (1.5 / 5.5))
