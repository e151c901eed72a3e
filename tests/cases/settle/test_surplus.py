"""The sale of one machine: the same worlds as its price, the tables' price and days, what pays."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import combinations, pairwise
from math import prod

import numpy as np
import pytest
from tests.library import load

from retrue.cases.case import LotCase
from retrue.cases.fix.far import Far, from_here
from retrue.cases.fix.scene import Scene, scene_of
from retrue.cases.plans import SELL_DAYS
from retrue.cases.settle.sale_behind import from_behind
from retrue.cases.settle.sale_figures import SaleFigures, sale_figures
from retrue.cases.settle.sale_kept import stops_of_kind
from retrue.cases.settle.sale_lines import Sale, StopItem
from retrue.cases.settle.surplus import PROVEN, RUNNING, states_of
from retrue.cases.settle.surplus_adds import extras_of, gain_of, worth_doing
from retrue.cases.settle.surplus_market import Heard, Market, market_of, sell_days
from retrue.cases.settle.surplus_net import Priced, priced
from retrue.cases.settle.surplus_proofs import Extra
from retrue.cases.settle.surplus_view import Asked, sale_of
from retrue.records.facts import Lot, Machine, Shop, Terms
from retrue.records.settling import ForSale, RunFigure, SoldAs

ON = date(2026, 11, 26)
MILL = Machine(lot="a", name="mill", kind="vertical_machining_centre", age_years=24)
LATHE = Machine(lot="a", name="lathe", kind="turning_centre", age_years=22)
LISTED = ForSale(lot="a", machine="mill", sold_as="as_found", ask=Decimal(5000),
                 listed_on="2026-10-01")  # fmt: skip


def case_of(*machines: Machine, **shop: object) -> LotCase:
    return LotCase(shop=Shop(**shop), lot=Lot(name="a"), terms=Terms(lot="a"), machines=machines)


@pytest.fixture(scope="module")
def scene() -> Scene:
    return scene_of(case_of(MILL, LATHE), "mill", load(), worlds=1200, arrived=True)


@pytest.fixture(scope="module")
def figures(scene: Scene) -> SaleFigures:
    return sale_figures(MILL, scene.kind)


@pytest.fixture(scope="module")
def market(scene: Scene) -> Market:
    return market_of(scene)


@pytest.fixture(scope="module")
def running(scene: Scene, figures: SaleFigures, market: Market) -> Priced:
    return priced(scene, market, figures, states_of(scene, figures)[RUNNING], 365)


@pytest.fixture(scope="module")
def sale(scene: Scene, figures: SaleFigures) -> Sale:
    return sale_of(scene, figures, Asked(on=ON))


class TestTheSameWorlds:
    def test_every_state_brings_what_the_price_says_it_brings(
        self, scene: Scene, figures: SaleFigures
    ) -> None:
        """``Prospect.resale`` of the same draw, world by world, less what is lived with."""
        states, prospect = states_of(scene, figures), scene.prospect
        work = scene.view.chooser.work(scene.index, scene.plan)
        assert states["as_found"].price == pytest.approx(prospect.resale("as_found"))
        assert states[PROVEN].price == pytest.approx(prospect.resale("right") * work.resale_left)

    def test_who_keeps_to_the_line_gets_the_tables_price_on_average(
        self, scene: Scene, figures: SaleFigures, market: Market
    ) -> None:
        """Within 6 per cent in every state, in the year that a listing has."""
        for state in states_of(scene, figures).values():
            until = 365 + round(float(state.ready.mean()))
            made = priced(scene, market, figures, state, until).selling
            table = state.price[market.pick].mean()
            assert market.mean(made.price) == pytest.approx(table, rel=0.06)

    def test_offers_come_twice_as_often_as_the_tables_sell(
        self, scene: Scene, figures: SaleFigures, market: Market
    ) -> None:
        price = states_of(scene, figures)["as_found"].price
        levels = market.levels(price)
        better = market.bids.amounts[market.bids.amounts >= 1.0]
        assert len(better) == len(market.bids.amounts) / 2
        assert levels * better.mean() * market.own * 0.92 == pytest.approx(price[market.pick])
        days = sell_days(scene, figures, "as_found")[market.pick]
        assert days == pytest.approx(SELL_DAYS["as_found"] * market.sell_luck)
        assert 2.0 / -np.log1p(-market.chances(days)) == pytest.approx(days)

    def test_hours_are_told_at_three_values_and_differ_by_the_hours_alone(self, sale: Sale) -> None:
        for row in sale.states:
            hours = (row.net.zero - row.net.alternative) / 15.0
            assert (row.net.zero - row.net.full) / 45.0 == pytest.approx(hours)
            assert hours > row.hours - 1e-6

    def test_the_median_days_are_those_of_the_tables_or_somewhat_more(self, sale: Sale) -> None:
        """90 to 120 days of the tables; a surplus takes 3 to 12 months (from memory)."""
        for row in sale.states[:-1]:
            assert row.days is not None
            assert row.days.p50 is not None
            assert 75 <= row.days.p50 <= 240
            assert row.days.p10 is not None
            assert row.days.p10 < row.days.p50


class TestWhatPays:
    def test_a_full_rebuild_does_not_pay(self, sale: Sale) -> None:
        """Trade practice: "full rebuild of the surplus almost never pays" (from memory)."""
        (rebuild,) = [one for one in sale.adds if one.id == "to:like_new"]
        assert not rebuild.pays
        assert rebuild.gain.alternative < 0

    def test_running_filmed_cleaned_levelled_adds_what_the_trade_says(self, sale: Sale) -> None:
        """Trade practice: 3 000 to 6 000 more (from memory), a range that ours overlaps."""
        adds = {one.id: one for one in sale.adds}
        low = adds["to:running"].adds.p10 + adds["proof:film"].adds.p10
        high = adds["to:running"].adds.p90 + adds["proof:film"].adds.p90
        assert low < 6000
        assert high > 3000

    def test_what_is_chosen_is_the_best_of_all_that_could_be_chosen(
        self, scene: Scene, figures: SaleFigures, market: Market, running: Priced
    ) -> None:
        """Every set of a dozen deeds is worked out as a whole: none leaves more."""
        extras = extras_of(scene, figures, RUNNING)[:12]
        month = market.month.floor + market.month.round
        rounds = market.round_hours * scene.rate

        def left(some: tuple[int, ...]) -> float:
            factor = prod((1.0 + extras[i].share[market.pick] for i in some), start=1.0)
            cost = sum(extras[i].money + extras[i].hours * scene.rate for i in some)
            spared = sum(extras[i].quicker * running.selling.standing_days - extras[i].days
                         for i in some)  # fmt: skip
            price = market.mean(running.selling.price * factor)
            return price - cost + (month + rounds) * spared / 30.44

        every = [some for count in range(len(extras) + 1)
                 for some in combinations(range(len(extras)), count)]  # fmt: skip
        best = max(every, key=left)
        chosen = worth_doing(scene, market, extras, running)
        assert {one.id for one in chosen} == {extras[i].id for i in best}

    def test_done_together_is_no_sum(self, scene: Scene, figures: SaleFigures) -> None:
        """Two deeds on top of each other multiply; the whole is worked out as a whole."""
        dear = case_of(MILL, LATHE, hour_alternative=Decimal(30), hour_full=Decimal(90))
        drawn = scene_of(dear, "mill", load(), worlds=1200, arrived=True)
        sale = sale_of(drawn, figures, Asked(on=ON, done=frozenset({"ran"})))
        assert sale.together is not None
        assert set(sale.together.ids) >= {"proof:film", "proof:record"}
        assert sale.together is not None
        alone = {one.id: one for one in sale.adds}
        target = next(one for one in sale.states if one.id == sale.together.state)
        summed = target.brings.p50 + sum(alone[id].adds.p50 for id in sale.together.ids)
        assert sale.together.brings.p50 != pytest.approx(summed, rel=1e-3)
        assert sale.together.brings.p50 > target.brings.p50

    def test_the_price_of_a_proven_one_holds_record_and_film(
        self, scene: Scene, figures: SaleFigures, sale: Sale
    ) -> None:
        """Used prices: "restored and proven with record" is one price (from memory)."""
        proofs = {id: {one.id for one in extras_of(scene, figures, id) if one.sort == "proof"}
                  for id in (RUNNING, PROVEN)}  # fmt: skip
        assert proofs == {RUNNING: {"proof:film", "proof:record"}, PROVEN: set()}
        told = [one for one in sale.adds if one.sort == "proof"]
        assert {one.of_state for one in told} == {RUNNING}
        assert not any(one.together for one in told)
        assert all("proven one holds it" in one.note for one in told)

    def test_a_month_of_the_floor_until_it_is_ready_is_paid(
        self, scene: Scene, figures: SaleFigures, market: Market
    ) -> None:
        """Ready later by some days: the net falls by the rent of those days, by definition."""
        case = case_of(MILL, floor_rented=True, storage_eur_m2_month=Decimal(40))
        rented = scene_of(case, "mill", load(), worlds=400, arrived=True)
        own = market_of(rented)
        state = states_of(rented, figures)[RUNNING]
        state = replace(state, ready=np.full_like(state.ready, 60.0))
        month = rented.prospect.landing.storage_a_month.mean()
        made = priced(rented, own, figures, state, 365)
        later = float((1.0 + own.interest) ** (-60.0 / 365.0))
        standing = made.selling.standing_days * own.round_hours / 30.44
        came = (made.selling.value + standing * rented.rate) * later
        spent = float((state.money + rented.prospect.landing.selling).mean())
        assert month > 200
        assert came - spent - made.net.money == pytest.approx(month * 60.0 / 30.44, rel=0.01)

    def test_days_that_are_spared_spare_hours_and_days_more_cost_them(
        self, scene: Scene, market: Market, running: Priced
    ) -> None:
        """A round of every month that is not stood falls away, by definition."""
        film = Extra(id="x", sort="proof", words="x", share=np.zeros(1200), money=0.0, hours=5.0)
        days = 0.2 * running.selling.standing_days
        rounds = market.round_hours * days / 30.44
        assert rounds > 0.1
        quick = gain_of(scene, market, replace(film, quicker=0.2), running)
        slow = gain_of(scene, market, replace(film, days=days), running)
        assert (quick.hours, slow.hours) == pytest.approx((5.0 - rounds, 5.0 + rounds), rel=1e-3)

    def test_the_table_is_sorted_by_what_each_unit_of_money_brings(self, sale: Sale) -> None:
        told = [one.per_euro for one in sale.adds]
        assert told == sorted(told, reverse=True)
        for one in sale.adds:
            if one.sort != "step":
                assert one.pays == (one.per_euro > 1.0)


class TestWhatMovesIt:
    def test_a_dearer_floor_lowers_what_to_take(self, figures: SaleFigures) -> None:
        takes = []
        for rent in (Decimal(0), Decimal(40)):
            case = case_of(MILL, floor_rented=True, storage_eur_m2_month=rent)
            made = sale_of(scene_of(case, "mill", load(), worlds=400, arrived=True), figures,
                           Asked(on=ON))  # fmt: skip
            takes.append((made.month.floor, made.line[0].take))
        assert takes[0][0] == 0
        assert takes[1][0] > 200
        assert takes[1][1] < takes[0][1]

    def test_the_nearer_the_day_the_less_to_take(self, scene: Scene, figures: SaleFigures) -> None:
        near = sale_of(scene, figures, Asked(on=ON, by=ON + timedelta(days=30)))
        far = sale_of(scene, figures, Asked(on=ON, by=ON + timedelta(days=500)))
        assert near.answer.take < far.answer.take
        assert near.answer.days is not None
        assert far.answer.days is not None
        assert near.answer.days.unsold > far.answer.days.unsold
        proven = next(one for one in near.states if one.id == PROVEN)
        assert not proven.allowed
        assert "by then" in proven.why_not

    def test_the_line_falls_to_what_it_goes_for(self, sale: Sale) -> None:
        takes = [one.take for one in sale.line]
        assert all(later <= now + 1e-6 for now, later in pairwise(takes))
        assert takes[-1] == pytest.approx(sale.answer.dump, abs=50)
        assert sale.answer.dump <= sale.answer.take < sale.answer.ask

    def test_high_offers_raise_it_and_silence_lowers_it(
        self, scene: Scene, figures: SaleFigures
    ) -> None:
        asked = Asked(on=ON, listing=LISTED)
        now, high, silent = (
            sale_of(scene, figures, replace_heard(asked, heard)).line[0].worth
            for heard in (None, Heard((7000.0, 6500.0), 56.0), Heard((), 200.0))
        )
        assert silent < now < high

    def test_the_owner_lets_it_go_for_what_he_set(self, scene: Scene, figures: SaleFigures) -> None:
        listing = replace(LISTED, take=Decimal(3000), dump=Decimal(900), dump_on="2027-03-01")
        made = sale_of(scene, figures, Asked(on=ON, listing=listing))
        assert (made.answer.dump, made.by_on) == (900, "2027-03-01")

    def test_without_tooling_a_tenth_is_lost_and_putting_it_with_it_does_not_pay(
        self, scene: Scene
    ) -> None:
        bare = sale_figures(replace(MILL, tooling="none"), scene.kind)
        prices = [states_of(scene, one)[RUNNING].price.mean()
                  for one in (bare, sale_figures(MILL, scene.kind))]  # fmt: skip
        assert prices[0] == pytest.approx(0.9 * prices[1])
        made = sale_of(scene, bare, Asked(on=ON))
        assert [one.pays for one in made.adds if one.id == "tooling"] == [False]

    def test_what_is_not_known_does_not_count_until_it_is_typed(self, scene: Scene) -> None:
        low, likely, high = Decimal("0.3"), Decimal("0.4"), Decimal("0.5")
        told = RunFigure(
            lot="a", machine="mill", item="orphan_control_share", low=low, likely=likely,
            high=high, reason="no boards",
        )  # fmt: skip
        plain, orphan = sale_figures(MILL, scene.kind), sale_figures(MILL, scene.kind, [told])
        prices = [states_of(scene, one)["as_found"].price.mean() for one in (plain, orphan)]
        assert 0.5 < prices[1] / prices[0] < 0.7
        assert not plain.rows["orphan_control_share"].applies
        assert plain.rows["orphan_control_share"].mark == "from memory, unverified"


def replace_heard(asked: Asked, heard: Heard | None) -> Asked:
    return asked._replace(heard=heard)


def test_a_machine_that_ran_is_sold_as_it_stands_less_what_is_known_of_it(
    scene: Scene, figures: SaleFigures
) -> None:
    far = Far(here=True, powered=True, running=True)
    prospect = from_here(scene.view.chooser.prospects[scene.index], far)
    ran = replace(scene, far=far, prospect=prospect)
    states, made = states_of(ran, figures), sale_of(ran, figures, Asked(on=ON))
    assert (made.state, made.stands) == ("as_it_stands", "as_it_stands")
    by = {one.id: one for one in made.states}
    assert (states["as_it_stands"].price >= states["as_found"].price).all()
    assert by["as_it_stands"].brings.p50 < by["running"].brings.p50
    assert by["as_it_stands"].money == 0
    steps = {one.id: one.of_state for one in made.adds if one.sort == "step"}
    assert steps["to:running"] == "as_it_stands"


class TestWhatIsBehindIt:
    """First power signed, a record given, a film kept: they count as done."""

    def test_what_first_power_signed_is_sold_as_it_stands(
        self, scene: Scene, figures: SaleFigures
    ) -> None:
        made = sale_of(scene, figures, Asked(on=ON, done=frozenset({"powered", "ran"})))
        assert made.state == "as_it_stands"
        assert {one.id: one.money for one in made.states}["as_it_stands"] == 0
        plain = sale_of(scene, figures, Asked(on=ON))
        assert made.answer.take >= plain.answer.take

    def test_a_record_and_a_film_that_are_there_are_in_the_price_and_no_deed(
        self, scene: Scene, figures: SaleFigures
    ) -> None:
        ran = from_behind(scene, {"ran"})
        bare, told = states_of(ran, figures), states_of(ran, figures, {"record", "film"})
        both = [one.share for one in extras_of(ran, figures, RUNNING) if one.sort == "proof"]
        factor = (1.0 + both[0]) * (1.0 + both[1])
        for id in ("as_it_stands", RUNNING):
            assert told[id].price == pytest.approx(bare[id].price * factor)
            assert (told[id].days < bare[id].days).all()
        assert told[PROVEN].price == pytest.approx(bare[PROVEN].price)
        assert told["as_found"].price == pytest.approx(bare["as_found"].price * (1.0 + both[1]))
        asked = Asked(on=ON, done=frozenset({"ran", "record", "film"}))
        made, without = (sale_of(scene, figures, one)
                         for one in (asked, asked._replace(done=frozenset({"ran"}))))  # fmt: skip
        assert not any(one.sort == "proof" for one in made.adds)
        assert made.line[0].take > 1.1 * without.line[0].take

    def test_while_something_is_open_no_record_counts(
        self, scene: Scene, figures: SaleFigures
    ) -> None:
        stops = stops_of_kind(scene.kind, {"F102"}, ())
        asked = Asked(on=ON, stops=stops, done=frozenset({"ran", "record"}))
        plain = sale_of(scene, figures, asked._replace(done=frozenset({"ran"})))
        assert sale_of(scene, figures, asked).answer == plain.answer


class TestStopItems:
    def test_what_is_open_is_told_with_every_state_but_parts(
        self, scene: Scene, figures: SaleFigures
    ) -> None:
        stops = stops_of_kind(scene.kind, {"F102"}, ())
        made = sale_of(scene, figures, Asked(on=ON, stops=stops))
        assert stops[0].id == "F102"
        assert stops[0].known
        told = {one.id: one.why_not for one in made.states}
        assert "parts or repair" in told["as_found"]
        assert "that were found" in told["running"]
        assert told["parts"] == ""
        assert any("parts or repair" in one for one in made.cautions)


def test_a_machine_alike_gains_by_taking_it_apart() -> None:
    other = replace(MILL, name="other mill")
    scene = scene_of(case_of(MILL, other), "mill", load(), worlds=400, arrived=True)
    made = sale_of(scene, sale_figures(MILL, scene.kind), Asked(on=ON))
    assert made.donor is not None
    assert made.donor.keeper == "other mill"
    assert made.donor.saves.p90 > 0
    alone = scene_of(case_of(MILL, LATHE), "lathe", load(), worlds=400, arrived=True)
    assert sale_of(alone, sale_figures(LATHE, alone.kind), Asked(on=ON)).donor is None


@pytest.fixture(scope="module")
def ran(scene: Scene) -> Scene:
    return replace(scene, far=replace(scene.far, running=True))


class TestWithSomethingOpen:
    """A machine that ran, of which a guard is not proved: it is sold for parts or repair only."""

    STOPS = (StopItem(id="F102", name="Door interlock", clears="open it", known=True),)

    @pytest.mark.parametrize("sold_as", [None, "running", "proven", "parts"])
    def test_the_answer_is_for_as_found_and_the_state_it_ran_in_is_none(
        self, ran: Scene, figures: SaleFigures, sold_as: SoldAs | None
    ) -> None:
        listing = None if sold_as is None else replace(LISTED, sold_as=sold_as)
        told = sale_of(ran, figures, Asked(on=ON, listing=listing, stops=self.STOPS))
        assert told.state == told.stands == "as_found"
        assert [one.id for one in told.states] == ["as_found", "running", "proven", "parts"]
        assert told.answer.why_not.startswith("Only for parts or repair")

    def test_with_nothing_open_it_is_as_it_stands(self, ran: Scene, figures: SaleFigures) -> None:
        assert sale_of(ran, figures, Asked(on=ON)).state == "as_it_stands"
