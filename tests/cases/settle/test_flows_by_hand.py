"""What running takes, and what each way saves an hour: small sums written out by hand."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from retrue.cases.instead import Other
from retrue.cases.settle.hour_rate_figures import AN_HOUR, Figures
from retrue.cases.settle.hour_rate_inputs import Inputs
from retrue.cases.settle.hour_rate_whole import Whole
from retrue.cases.settle.versus_flows import gaps_of, nothing_of, other_of, ours_of, running

NONE = np.zeros(2)
YEAR = 365.25  # days
ALL = 6.2  # an hour: maintenance, energy, insurance, tooling of a restored machine


def said(**own: float) -> Figures:
    """The owner's own figures."""
    return SimpleNamespace(  # type: ignore[return-value]  # stands for what he typed
        has=own.__contains__, drawn=lambda item, name, drawer: NONE + own[item]
    )


def whole(run_a_year: float | None = None, **more: object) -> Whole:
    """A machine that stays, seven years ahead; 10 000 and 50 own hours are laid out."""
    given: dict[str, object] = {
        "money": NONE + 10_000.0, "hours": NONE + 50.0, "days": NONE + 90.0, "name": "mill",
        "sale": NONE + 4_000.0, "left": NONE + 2_500.0, "keeps": True, "worked": None,
        "drawer": None, "spent": SimpleNamespace(run_a_year=run_a_year, gone=False),
        "settled": SimpleNamespace(horizon=7.0),
        "worth": SimpleNamespace(hours_a_year=NONE + 200.0, margin_a_year=NONE + 4_000.0),
    }  # fmt: skip
    return SimpleNamespace(**(given | more))  # type: ignore[return-value]  # asked for no more


def inputs(life: float | np.ndarray = 10.0) -> Inputs:
    """An hour bought in at 60, the operator's at 15; there nine days of ten; 10 m2 at 96 a year."""
    told = {"work_cost_an_hour": 60.0, "wage_an_hour": 15.0, "floor_m2": 10.0,
            "floor_m2_year": 96.0, "life_years": life, "resale_at_end": 1_000.0}  # fmt: skip
    return SimpleNamespace(  # type: ignore[return-value]  # stands for what is judged
        there=NONE + 0.9, values={name: NONE + value for name, value in told.items()}
    )


class TestRunning:
    def test_what_nobody_said_is_an_hours_all_in(self) -> None:
        """Common practice, no source: 6.20, of which energy is 6 kW at 0.25."""
        hourly, a_year = running(whole(), said())
        assert (hourly[0], a_year[0]) == (pytest.approx(ALL), 0.0)
        assert sum(AN_HOUR.values()) == pytest.approx(ALL)
        assert AN_HOUR["energy"] == pytest.approx(1.5, rel=0.01)

    @pytest.mark.parametrize(
        ("own", "energy"),
        [({"energy_kw": 10.0}, 10.0 * AN_HOUR["energy"] / 6.0),
         ({"energy_price_kwh": 0.5}, 6.0 * 0.5),
         ({"energy_kw": 10.0, "energy_price_kwh": 0.5}, 5.0)],
    )  # fmt: skip
    def test_the_owners_energy_stands_in_the_place_of_ours(
        self, own: dict[str, float], energy: float
    ) -> None:
        """Kilowatts times price; what was not said is ours."""
        hourly, a_year = running(whole(9_000.0), said(**own))
        assert hourly[0] == pytest.approx(ALL - AN_HOUR["energy"] + energy)
        assert a_year[0] == 0.0

    def test_what_is_said_by_the_year_is_taken_out_of_the_hour(self) -> None:
        own = said(maintenance_a_year=1_000.0, insurance_a_year=300.0)
        hourly, a_year = running(whole(9_000.0), own)
        left = ALL - AN_HOUR["maintenance_a_year"] - AN_HOUR["insurance_a_year"]
        assert (hourly[0], a_year[0]) == pytest.approx((left, 1_300.0))
        assert 0.0 < left < ALL

    def test_a_year_in_the_book_stands_for_all_of_it_where_no_figure_does(self) -> None:
        hourly, a_year = running(whole(9_000.0), said())
        assert (hourly[0], a_year[0]) == (0.0, 9_000.0)


class TestOurs:
    def test_it_saves_what_is_bought_in_less_the_operator_and_running_when_it_is_there(
        self,
    ) -> None:
        """By hand: nine tenths of 60 - 15 - 6.20; a year takes 10 m2 at 96 and what is typed."""
        ours = ours_of(whole(), said(insurance_a_year=300.0), inputs())
        running_now = ALL - AN_HOUR["insurance_a_year"]
        assert ours.an_hour[0] == pytest.approx(0.9 * (45.0 - running_now))
        assert ours.a_year[0] == pytest.approx(960.0 + 300.0)
        assert (ours.money[0], ours.own_hours[0], ours.days[0]) == (10_000.0, 50.0, 90.0)
        assert (ours.sale[0], ours.sale_days[0]) == (4_000.0, 0.0)

    @pytest.mark.parametrize(
        ("life", "own", "until", "left"),
        [(10.0, {}, 7.0, 2_500.0), (7.0, {}, 7.0, 2_500.0), (3.0, {}, 3.0, 1_000.0),
         (10.0, {"resale_at_end": 1_000.0}, 7.0, 1_000.0)],
    )  # fmt: skip
    def test_it_works_as_long_as_it_lives_and_brings_then_what_it_does_then(
        self, life: float, own: dict[str, float], until: float, left: float
    ) -> None:
        ours = ours_of(whole(), said(**own), inputs(life))
        assert (ours.until[0] / YEAR, ours.left[0]) == (pytest.approx(until), left)

    def test_where_it_ends_early_in_some_worlds_it_brings_what_it_does_then_in_all(self) -> None:
        """By hand: 3 and 7 of 7 years are 5 on average, and that is early."""
        ours = ours_of(whole(), said(), inputs(np.array([3.0, 12.0])))
        assert (ours.until / YEAR).tolist() == pytest.approx([3.0, 7.0])
        assert ours.left.tolist() == [1_000.0, 1_000.0]

    def test_one_that_is_to_be_sold_saves_nothing(self) -> None:
        ours = ours_of(whole(keeps=False), said(), inputs())
        assert not ours.an_hour.any()
        assert not ours.a_year.any()
        assert (ours.sale[0], ours.sale_days[0], ours.left[0]) == (4_000.0, 90.0, 0.0)

    def test_one_that_is_gone_saved_from_its_first_part_until_then(self) -> None:
        gone = SimpleNamespace(run_a_year=None, gone=True)
        ours = ours_of(whole(keeps=False, spent=gone, worked=(40.0, 400.0)), said(), inputs())
        assert (ours.days[0], ours.until[0], ours.sale_days[0]) == (40.0, 400.0, 90.0)
        assert ours.an_hour[0] == pytest.approx(0.9 * (45.0 - ALL))
        assert ours.left[0] == 0.0
        here = ours_of(whole(worked=(40.0, 400.0)), said(), inputs())
        assert (here.days[0], here.until[0] / YEAR) == (90.0, 7.0)
        lost = ours_of(whole(spent=gone), said(), inputs())
        assert lost.until[0] / YEAR == 7.0


def other(way: str, earns: bool, saved: float) -> Other:
    return SimpleNamespace(  # type: ignore[return-value]  # stands for another way
        way=way, earns=earns, saved=NONE + saved, price=NONE + 30_000.0, own_hours=NONE + 8.0,
        days=NONE + 30.0, left=NONE + 9_000.0,
    )  # fmt: skip


class TestOthers:
    def test_a_machine_saves_as_ours_does_less_what_its_margin_falls_short(self) -> None:
        """By hand: 3 000 of 4 000 a year over 200 h is 5 an hour less than 60 - 15 - 6.20."""
        new = other_of(other("new", True, 3_000.0), whole(), said(), inputs())
        assert new.an_hour[0] == pytest.approx(45.0 - ALL - 5.0)
        assert (new.a_year[0], new.left[0], new.until[0] / YEAR) == (960.0, 9_000.0, 7.0)
        used = other_of(other("used", True, 3_000.0), whole(), said(), inputs())
        assert used.an_hour[0] == pytest.approx(0.9 * (45.0 - ALL - 5.0))
        own = said(down_days_a_year=22.0)
        used = other_of(other("used", True, 3_000.0), whole(), own, inputs())
        assert used.an_hour[0] == pytest.approx(45.0 - ALL - 5.0)

    @pytest.mark.parametrize(("saved", "an_hour"), [(-1_000.0, -5.0), (400.0, 2.0)])
    def test_work_bought_in_saves_what_it_costs_less(self, saved: float, an_hour: float) -> None:
        """By hand: 1 000 dearer a year over 200 h is 5 an hour lost; it takes no floor."""
        bought = other_of(other("buy_in", False, saved), whole(), said(), inputs())
        assert bought.an_hour[0] == pytest.approx(an_hour)
        assert bought.a_year[0] == 0.0

    def test_without_hours_nothing_is_dearer_by_the_hour(self) -> None:
        for hours, an_hour in ((0.0, 0.0), (0.5, -2_000.0)):
            worth = SimpleNamespace(hours_a_year=NONE + hours, margin_a_year=NONE)
            bought = other_of(
                other("buy_in", False, -1_000.0), whole(worth=worth), said(), inputs()
            )
            assert bought.an_hour[0] == an_hour

    def test_the_strongest_other_way_stands_first_on_average(self) -> None:
        """By hand: 12 000 in both worlds beats 5 000 and 18 000, as it is cheaper on average."""
        even, odd = other("new", True, 4_000.0), other("used", True, 4_000.0)
        even.price, odd.price = NONE + 12_000.0, np.array([5_000.0, 20_000.0])  # type: ignore[misc]  # they stand for others
        worth = SimpleNamespace(
            hours_a_year=NONE + 200.0, margin_a_year=NONE + 4_000.0,
            others={"odd": odd, "even": even},
        )  # fmt: skip
        settled = SimpleNamespace(horizon=7.0, rate=15.0, interest=0.0)
        told = inputs()
        told.values["hours_a_year"] = NONE + 200.0  # type: ignore[index]  # stands for all of them
        own = said(down_days_a_year=22.0)
        made = gaps_of(whole(worth=worth, settled=settled), own, told)
        assert [(name, way) for name, way, _ in made] == [("even", "new"), ("odd", "used")]
        sold = gaps_of(whole(worth=worth, settled=settled, keeps=False), own, told)
        assert [way for _, way, _ in sold] == ["nothing"]

    def test_not_having_bought_it_is_nothing_at_all(self) -> None:
        side = nothing_of(whole())
        assert not np.concatenate([side.money, side.an_hour, side.a_year, side.sale]).any()
