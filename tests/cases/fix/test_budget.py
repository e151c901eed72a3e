"""Levels from here on, and what a budget or a day allows."""

from datetime import UTC, date, datetime
from functools import cache
from itertools import product

import pytest
from tests.cases.fix.choosing import ON, act, burnt, happened, scene, signed, way
from tests.cases.priced import kinds

from retrue.base.refusals import Unusable
from retrue.cases.fix import budget as of_budget
from retrue.cases.fix.choice_lines import Fit
from retrue.cases.fix.control import control_of
from retrue.cases.fix.levels import levels_of, through
from retrue.cases.fix.options import options_of
from retrue.cases.fix.scene import Scene
from retrue.cases.fix.ways import Listed, listed
from retrue.cases.pricing import price
from retrue.cli.fix_option_lines import option_lines
from retrue.phases.fix.options import options_case
from retrue.records.fixing import Chosen


@cache
def plain() -> Scene:
    return scene(burnt())


@cache
def rows() -> tuple[Listed, ...]:
    return listed(plain())


def fit(some: tuple[Listed, ...], money: float | None = None, by: date | None = None) -> Fit:
    told = of_budget.fit_of(plain(), some, levels_of(plain()), on=ON, budget=money, by_on=by)
    assert told is not None
    return told


def test_levels_are_the_sums_of_the_price_sheet_where_nothing_is_done() -> None:
    sheet = price(burnt(), kinds(), worlds=1000, questions=False)
    here = levels_of(scene_of_price())
    for mine, theirs in zip(here, sheet.machines[0].levels, strict=True):
        assert mine.level == theirs.level
        assert mine.money == theirs.money
        assert mine.hours == theirs.own_hours
        assert mine.days == theirs.days


def scene_of_price() -> Scene:
    from retrue.cases.fix.scene import scene_of

    return scene_of(burnt(), "mill", kinds(), worlds=1000)


def test_what_is_done_is_not_counted_again() -> None:
    """The move once it stands here, a base job once it is done, the hook-up once it had power."""
    nothing = levels_of(plain())[1]
    came = levels_of(scene(burnt(), arrived=True))[1]
    cleaned = levels_of(scene(burnt(happened=happened(act(sort="clean", job="J05")))))[1]
    woken = levels_of(scene(burnt(happened=happened(signed("power_up")))))[1]
    assert came.money.p50 < nothing.money.p50
    assert came.days.p50 < nothing.days.p50
    assert cleaned.hours.p50 < came.hours.p50
    assert woken.money.p50 < came.money.p50


def test_enough_money_takes_the_best_of_everything_and_gives_nothing_up() -> None:
    told = fit(rows(), 1e6)
    assert told.holds
    assert told.gives_up == 0.0
    assert not told.left
    shop = plain().view.chooser.shared.running_money.mean()
    whole = float(through(plain(), plain().plan).money_through.mean() + shop)
    for one in rows():  # the price begins with the first way, the least on average may be another
        least = min((each for each in one.choices if each.option.allowed),
                    key=lambda each: each.option.average)  # fmt: skip
        whole += one.needed * (least.money - one.choices[0].money)
    assert told.money == pytest.approx(whole, abs=0.01)
    assert 0.0 < told.anyway < told.money
    assert len(told.picks) == len(rows())


def test_too_little_says_by_how_much_and_that_stopping_is_an_option() -> None:
    told = fit(rows(), 100.0)
    more = fit(rows(), 300.0)
    assert not told.holds
    assert told.short == pytest.approx(more.short + 200.0)
    assert "Stopping here is an option" in told.words
    assert not told.picks


def test_no_set_of_ways_within_the_budget_gives_up_less() -> None:
    """Held against every set of ways of six faults, at several budgets."""
    few = ("F15", "F01", "F36", "F42", "F84", "F95")
    some = tuple(one for one in rows() if one.fault.id in few)
    menus = [_menu(one) for one in some]
    anyway = fit(some, 1e6).anyway
    binding = 0
    for money in range(800, 2600, 300):
        told = fit(some, anyway + money)
        sure = money - len(some)  # the search rounds each way up to a whole unit
        every = [pick for pick in product(*menus) if sum(way[1] for way in pick) <= sure]
        if told.short > 0.0:
            assert not every
            continue
        whole = [pick for pick in every if all(way[0] for way in pick)]
        ours = sum(_of(one, dict(told.picks).get(one.fault.id, ""))[2] for one in some)
        assert told.money - anyway <= money + 1e-6
        best = min((sum(way[2] for way in pick) for pick in whole or every), default=None)
        if best is not None:
            assert ours <= best + 1e-6
        binding += bool(told.left)
    assert binding, "no budget was so small that anything was left out"


def _menu(one: Listed) -> list[tuple[str, float, float]]:
    chance = one.needed
    ways = [
        (each.option.way, chance * each.money, chance * each.option.average)
        for each in one.choices
        if each.option.allowed
    ]
    if one.fault.urgency in ("SHOULD", "MAY"):
        lost = chance * one.fault.resale_drop_share * one.worth
        ways.append(("", 0.0, min(way[2] for way in ways) + lost))
    return ways


def _of(one: Listed, way: str) -> tuple[str, float, float]:
    return next(each for each in _menu(one) if each[0] == way)


def test_stop_and_must_are_never_left_out_for_money() -> None:
    base = fit(rows(), 1e6)
    for money in (base.money - 300, base.money - 1000, base.money - 2000):
        told = fit(rows(), money)
        left = {one.fault for one in told.left}
        assert (
            told.short > 0.0
            or not {one.fault.id for one in rows() if one.fault.urgency in ("STOP", "MUST")} & left
        )


def test_a_near_day_costs_more_and_names_what_cannot_be_had() -> None:
    near, far = fit(rows(), by=date(2026, 11, 30)), fit(rows(), by=date(2027, 12, 1))
    assert far.gives_up == 0.0
    assert not far.late
    assert "F15" in {one.fault for one in near.late}
    assert not near.holds
    assert near.gives_up > 0.0
    assert "nothing can be had" in near.words
    assert "must be put right first" in near.words
    assert "every wait" not in near.words.lower()  # some are not over by then
    assert near.words.index("nothing can be had") < near.words.index("other waits")


def test_a_budget_says_how_often_it_does_not_do() -> None:
    base = fit(rows(), 1e6)
    assert "It goes over that: less than 1 in 100" in base.words
    tight = fit(rows(), base.money + 10.0).words
    assert any(
        f"It goes over that: about {odds}" in tight for odds in ("1 in 2", "2 in 5", "3 in 7")
    )


@pytest.mark.parametrize("budget", [float("nan"), float("inf"), float("-inf")])
def test_a_budget_that_is_no_number_is_refused_before_anything_is_reckoned(budget: float) -> None:
    now = datetime(2026, 11, 26, tzinfo=UTC)
    with pytest.raises(Unusable) as refused:
        options_case(burnt(), "mill", kinds(), now=now, budget=budget)
    assert [one.where for one in refused.value.problems] == ["budget"]


def test_a_machine_that_is_sold_as_found_or_in_parts_has_no_level() -> None:
    for name in ("sell_as_found", "part_out"):
        aim = Chosen(lot="school", machine="mill", sort="aim", way=name)
        told = options_of(scene(burnt(chosen=(aim,))), on=ON)
        assert not any(one.chosen for one in told.levels)
        assert "right" not in next(one for one in option_lines(told) if one.startswith("mill, "))


def test_a_day_that_is_past_and_money_below_nothing_are_refused() -> None:
    with pytest.raises(Unusable) as refused:
        options_of(plain(), on=ON, budget=-1.0, by_on=date(2026, 11, 25))
    assert {one.where for one in refused.value.problems} == {"budget", "by"}


def test_another_control_saves_what_it_takes_along_and_defers_to_somebody_qualified() -> None:
    told = control_of(plain())
    assert told is not None
    assert "F89" in {fault for fault, _, _ in told.removes}
    assert told.saves_money > 0.0
    assert any("qualified person" in one for one in told.cautions)
    dead = burnt(findings=(*burnt().findings, *_dead()))
    bad = control_of(scene(dead))
    assert bad is not None
    assert bad.worth > told.worth
    assert bad.saves_money > told.saves_money


def _dead() -> list[object]:
    from tests.cases.priced import found

    return [
        found(f"dead-{fault}", "mill", fault=fault, answer="present", channel="apart")
        for fault in ("F89", "F90", "F93", "F95")
    ]


def test_the_price_follows_the_owners_way() -> None:
    """One place decides which way comes first: the levels of the price sheet move with it."""
    plain_sheet = price(burnt(), kinds(), worlds=1000, questions=False)
    mine = burnt(chosen=(way("F15", "replace"),))
    sheet = price(mine, kinds(), worlds=1000, questions=False)
    before, after = plain_sheet.machines[0].levels[1], sheet.machines[0].levels[1]
    assert after.money.p50 > before.money.p50 + 1000.0
    assert after.own_hours != before.own_hours
    assert levels_of(scene(mine))[1].money.p50 > levels_of(plain())[1].money.p50 + 1000.0
