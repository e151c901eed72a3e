"""Floor, hours, days, error and the keenness of a sale, each held against a sum of its own."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import asin, pi, sqrt

import numpy as np
import pytest
from scipy.stats import beta
from tests.cases.priced import LATHE, MILL, kinds
from tests.cases.screen.listed import listed

from retrue.cases.case import LotCase
from retrue.cases.pricing import price
from retrue.cases.screen.like_drawer import ANY_LOT, place_name
from retrue.cases.screen.listing import ListedLot
from retrue.cases.screen.others import others_at
from retrue.cases.screen.price_seen import others_seen
from retrue.cases.screen.sale_drawer import sale_drawer
from retrue.cases.screen.score import score
from retrue.cases.screen.screened import ScreenedLot
from retrue.cases.screen.stakes import stake_of
from retrue.cases.screen.widen import view_of

WORLDS = 2_000
MANY = 8_000
E31 = (6.0, 8.0, 12.0)  # m2 of one stored machine: what costs.toml says of mills and lathes alike
APPETITE = 0.25  # log standard deviation of how keen all are on one day (judgement)


def mean_of_three(low: float, likely: float, high: float) -> float:
    """Mean of the beta distribution of PERT (Malcolm et al. 1959), by the distribution itself."""
    span = high - low
    return float(
        beta.mean(1 + 4 * (likely - low) / span, 1 + 4 * (high - likely) / span, low, span)
    )


def renamed(one: ListedLot) -> LotCase:
    """The same lot under the names by which its streams of chance go."""
    case = one.case
    machines = tuple(replace(each, name=place_name(each.kind, 1)) for each in case.machines)
    return replace(case, lot=replace(case.lot, name=ANY_LOT), machines=machines)


@cache
def row_of(one: ListedLot) -> ScreenedLot:
    """A row, worked out once for all who only read it."""
    return score(one, kinds(), seed=7, worlds=WORLDS)


@pytest.fixture(scope="module")
def priced():
    """A mill and a lathe: the row, and the sheet that `worth price` prints of the same lot."""
    one = listed("14", "mill", "lathe")
    return row_of(one), price(renamed(one), kinds(), seed=7, worlds=WORLDS, questions=False)


def test_floor_is_the_tables_three_points_of_each_machine(priced) -> None:
    tables = [kinds()[id].costs["E31"].amount for id in (MILL, LATHE)]
    assert [(one.low, one.likely, one.high) for one in tables] == [E31, E31]
    one = mean_of_three(*E31)
    assert one == pytest.approx(25.0 / 3.0)
    assert priced[0].floor_m2 == pytest.approx(2 * one)
    assert score(listed("14"), kinds(), seed=7, worlds=200).floor_m2 == pytest.approx(one)


def test_own_hours_are_those_of_the_sheet(priced) -> None:
    """Of two machines at least each one's own, at most what both take alone, and the fetching."""
    row, sheet = priced
    bands = [machine.own_hours for machine in sheet.machines]
    low, high = sum(one.p10 for one in bands), sum(one.p90 for one in bands)
    assert low < row.hours < high
    assert row.hours == pytest.approx(sum(one.p50 for one in bands), rel=0.35)
    assert row.gain_per_hour == pytest.approx(row.gain / row.hours)


def test_days_are_those_of_the_machine_that_is_ready_last(priced) -> None:
    row, sheet = priced
    for quantile in ("p10", "p50", "p90"):
        each = [getattr(machine.days, quantile) for machine in sheet.machines]
        assert max(each) - 1e-6 <= getattr(row.days, quantile) <= sum(each)
    alone = listed("14")
    sheet = price(renamed(alone), kinds(), seed=7, worlds=WORLDS, questions=False)
    row = row_of(alone)
    assert row.days == sheet.machines[0].days


def test_error_is_the_standard_error_of_its_ten_tenths() -> None:
    """Root of the sum of squares over n(n - 1), written out."""
    row = row_of(listed("14"))
    mean = sum(row.tenths) / 10
    assert row.error == pytest.approx(sqrt(sum((one - mean) ** 2 for one in row.tenths) / 90))
    assert 0 < row.error < row.gain


def test_floor_that_bids_may_take_is_that_of_the_row() -> None:
    for machines in (("lathe",), ("mill", "lathe")):
        one = listed("14", *machines)
        taken = stake_of(one, kinds(), worlds=WORLDS).candidate.floor
        whole = len(machines) * mean_of_three(*E31)
        assert taken.mean() == pytest.approx(whole, rel=0.02)
        assert taken.min() >= len(machines) * E31[0]
        assert taken.max() <= len(machines) * E31[2]


def test_own_hours_that_bids_may_take_are_those_of_the_row() -> None:
    one = listed("14", sale="offer")
    row, stake = row_of(one), stake_of(one, kinds(), worlds=WORLDS)
    mine = stake.candidate
    assert mine.hours[mine.option_of[0]].mean() == pytest.approx(row.hours, rel=0.1)


def stops(number: str) -> np.ndarray:
    """How far above the middle one rival of a lot stops, as a logarithm, in every world."""
    one = listed(number, sale="sealed", rivals=1)
    view = view_of(one.case, kinds(), sale_drawer(one.case, 7, MANY), stand_in=False)
    seen = others_seen(view, one.case)
    stop = others_at(view, one.case).price - view.settled.step
    return np.log(stop / (seen.share * seen.value)) / seen.log_sd


def test_lots_of_one_sale_are_dear_on_the_same_days() -> None:
    """Both below their middles: 1/4 + asin(r) / (2 pi) (Sheppard 1899), r the share in common.

    One rival's own error is three quarters of 0.45 squared; a part of it is common to all lots.
    """
    first, second = stops("14"), stops("15")
    share = APPETITE**2 / (0.75 * 0.45**2)
    assert first.std() == pytest.approx(1.0, rel=0.03)
    assert np.corrcoef(first, second)[0, 1] == pytest.approx(share, abs=0.04)
    both = np.mean((first < 0) & (second < 0))
    assert both == pytest.approx(0.25 + asin(share) / (2 * pi), abs=4 * sqrt(0.22 / MANY))
