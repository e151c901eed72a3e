"""The floor of an hour rate by the month, and worlds with hardly an hour: by hand."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from tests.library import load

from retrue.cases.case import LotCase
from retrue.cases.settle.hour_rate_figures import AN_HOUR, Figures, assumed_row
from retrue.cases.settle.hour_rate_inputs import Inputs, inputs_of, there_of, work_cost
from retrue.cases.settle.hour_rate_whole import Whole, whole_of
from retrue.kinds.library import Three
from retrue.records.facts import Lot, Machine, Shop, Terms


@pytest.fixture(scope="module")
def whole() -> Whole:
    mill = Machine(lot="a", name="mill", kind="vertical_machining_centre", age_years=24)
    case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    return whole_of(case, "mill", load(), worlds=100)


@pytest.mark.parametrize(
    ("floor", "a_year"),
    [((True, 8.0), 96.0),  # 8 a month and square metre
     ((None, 8.0), 96.0), ((False, None), 0.0), ((False, 8.0), 0.0), ((True, 0.0), 0.0)],
)  # fmt: skip
def test_a_month_of_floor_is_a_twelfth_of_a_year(
    whole: Whole, floor: tuple[bool | None, float | None], a_year: float
) -> None:
    told = inputs_of(whole, Figures({}), floor)
    assert told.values["floor_m2_year"] == pytest.approx(np.full(100, a_year))
    (row,) = (one for one in told.rows if one.item == "floor_m2_year")
    assert (row.low, row.likely, row.high) == (a_year, a_year, a_year)


def test_where_nobody_said_it_is_between_4_and_15_a_month(whole: Whole) -> None:
    """Common practice, no source: 4, 8, 15."""
    told = inputs_of(whole, Figures({}), (True, None)).values["floor_m2_year"] / 12
    assert 4.0 <= told.min() < 8.0 < told.max() <= 15.0


def test_hours_worked_are_those_of_the_days_it_is_there_and_one_at_least() -> None:
    """By hand: 55 of 220 days lost leave three quarters."""
    given = {"hours_a_year": np.array([200.0, 1.0, 0.0]), "down_days_a_year": np.full(3, 55.0)}
    told = Inputs(given, (), frozenset(), 0.08)
    assert told.hours.tolist() == [150.0, 1.0, 1.0]
    assert there_of(np.array([220.0, -1.0])).tolist() == [0.0, 1.0]


def test_an_hour_bought_in_costs_what_ours_saves_with_running_and_operator() -> None:
    """By hand: 4 000 saved in 200 hours, 6.20 of running, 15 for the operator: 41.20.

    Where there is no work nobody knows: 45, common practice, no source.
    """
    # a Whole is worked out from a shop; the sum asks for these three of its figures and no others
    seen: Whole = SimpleNamespace(  # type: ignore[assignment]
        worth=SimpleNamespace(hours_a_year=np.array([200.0, 0.0]),
                              margin_a_year=np.array([4_000.0, 0.0])),
        settled=SimpleNamespace(rate=15.0),
    )  # fmt: skip
    assert work_cost(seen) == pytest.approx([41.2, 45.0])


def test_what_it_brings_in_the_end_is_read_at_the_end_of_its_years(whole: Whole) -> None:
    """By definition: as the worlds have it at the horizon; let go sooner, with the same share."""
    none = (False, None)
    told = inputs_of(whole, Figures({}), none).values["resale_at_end"]
    assert told == pytest.approx(whole.left)
    four = {"life_years": assumed_row("life_years", Three(4.0, 4.0, 4.0), "", "own")}
    told = inputs_of(whole, Figures(four), none).values["resale_at_end"]
    level, horizon = whole.plan.level, whole.settled.horizon
    share = whole.left / whole.prospect.resale(level, horizon)
    assert told == pytest.approx(whole.prospect.resale(level, 4.0) * share)
    assert share.mean() < 1.0


def test_the_row_of_a_yearly_figure_shows_a_year_of_median_hours(whole: Whole) -> None:
    """By hand: half, once and one and a half times its part of 6.20 an hour."""
    told = inputs_of(whole, Figures({}), (False, None))
    middle = np.median(told.values["hours_a_year"] * told.there)
    (row,) = (one for one in told.rows if one.item == "maintenance_a_year")
    assert row.likely == pytest.approx(AN_HOUR["maintenance_a_year"] * middle, abs=1e-6)
    assert (row.low, row.high) == pytest.approx((0.5 * row.likely, 1.5 * row.likely), abs=1e-5)
