"""Cards draw from the runs of the price: the same hours, the same waits."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import numpy as np
import pytest
from tests.cases.fix.bare import bare, read
from tests.cases.priced import kinds, lot

from retrue.cases.fix.belief import bench_of
from retrue.cases.fix.cards import cards_of
from retrue.cases.fix.hands import staff
from retrue.cases.fix.needed import needed
from retrue.cases.fix.schedule import Bundle, lay
from retrue.cases.fix.worlds import CardDraws, card_draws, drawn_stage
from retrue.cases.orders import plan_for
from retrue.cases.prepare import shop_bench
from retrue.cases.work import Workshop
from retrue.kinds.fixing import CardRule
from retrue.plan.freeze import freeze
from retrue.plan.network import network
from retrue.plan.placed import order_of
from retrue.plan.priority import by_rule
from retrue.plan.replay import replay
from retrue.records.fixing import CardMarked, Chosen
from retrue.records.shop import Record

TODAY = date(2026, 11, 26)
NONE: frozenset[str] = frozenset()
WORLDS = 1000


def drawn(case, machine: str, level: str | None = None, worlds: int = WORLDS):
    kept, belief, stage = read(case)
    need = needed(kept, kept.machine(machine), belief, stage, level)
    on = drawn_stage(kept, belief, 7, worlds)
    made: CardDraws = card_draws(on, need, cards_of(kept, need).cards, TODAY)
    return kept, need, on, made


@pytest.mark.parametrize("level", ["just_running", "right", "like_new"])
@pytest.mark.parametrize("machine", ["mill", "lathe"])
def test_all_cards_together_take_the_own_hours_of_the_price_run_by_run(machine: str, level: str):
    kept, _, on, made = drawn(lot(), machine, level)
    one = kept.machine(machine)
    shop = Workshop(bench_of(on, one, NONE, NONE, NONE))
    work = shop.bring_to(one.kind.levels[level], on.settled.rate)
    hours = work.hours
    if machine == "mill":  # what belongs to shop and lot is done with the first machine
        shared = shop_bench(on, one.machine)
        plan = plan_for(shared, one.kind.levels["right"], on.settled.rate)
        hours = hours + shared.restorer.effort(tuple(s for s, _ in plan)).hours * on.pace
    np.testing.assert_allclose(sum(made.hours.values()), hours, rtol=0, atol=1e-3)


def test_the_longest_wait_of_any_card_is_that_of_the_price_but_for_its_luck():
    kept, _, on, made = drawn(bare("lathe F15", "lathe F06"), "lathe")
    one = kept.machine("lathe")
    shop = Workshop(bench_of(on, one, NONE, NONE, NONE))
    lead = shop.bring_to(one.kind.levels["right"], on.settled.rate).lead_days
    luck = on.drawer.lognormal("lathe", "F15:local lead", 0.3)
    waits = [days for (card, _), days in made.days.items() if card == "F15:local"]
    np.testing.assert_allclose(np.maximum.reduce(waits), lead * luck, rtol=1e-6)


def test_a_confirmed_part_is_ordered_today_and_a_likely_one_when_its_place_is_open():
    _, _, _, sure = drawn(bare("mill F06"), "mill")
    assert 3.0 < float(np.median(sure.not_before["F06:replace"])) < 5.0
    _, _, _, likely = drawn(lot(), "mill")
    days = likely.days["F06:replace", "open:spindle_head"]
    there = likely.hours["F06:replace"] > 0
    assert "F06:replace" not in likely.not_before
    assert 0.2 < there.mean() < 0.6
    assert (days[there] > 0).all()
    assert not days[~there].any()


def test_an_extra_opens_its_place_in_every_run():
    kind = kinds()["vertical_machining_centre"]
    light = next(one for one in kind.upgrades.values() if one.place == "lighting")
    said = Chosen(lot="school", machine="mill", sort="upgrade", what=light.id)
    _, _, _, made = drawn(replace(bare(), chosen=(said,)), "mill", worlds=100)
    assert (made.hours["open:lighting"] > 0).all()
    assert (made.hours[f"upgrade:{light.id}"] > 0).all()


def test_nine_in_ten_of_other_runs_are_done_by_the_promised_day():
    kept, belief, stage = read(lot(machines=("mill",)))
    need = needed(kept, kept.machine("mill"), belief, stage)
    cards = cards_of(kept, need)
    at = datetime(2026, 11, 26, 12, tzinfo=UTC)

    def laid(seed: int, worlds: int):
        made = card_draws(drawn_stage(kept, belief, seed, worlds), need, cards.cards, TODAY)
        return lay([Bundle(cards=cards, draws=made, day_worth=10.0)], staff((), (), 12.0), at)

    first = laid(7, 2000)
    net = network(first.schedule)  # any plan will do: it is that of the rule
    frozen = freeze(first.schedule, order_of(net, by_rule(net, swaps=0)))
    promise = np.quantile(replay(frozen, first.draws).days["mill"], 0.9)
    later = replay(frozen, laid(8, 500).draws).days["mill"]
    assert 0.88 <= (later <= promise).mean() <= 0.92


def gates(case, *done: tuple[str, str]):
    """Days before which cards cannot begin, some cards marked done on a day."""
    kept, belief, stage = read(case)
    at = datetime(2026, 11, 20, tzinfo=UTC)
    marks = tuple(
        Record(f"m{n}", "card_marked", 1, n, at, at, "me", "", None,
               CardMarked(lot="school", machine="mill", card=card, how="done", marked_on=on),
               "", "")
        for n, (card, on) in enumerate(done)
    )  # fmt: skip
    mill = replace(kept.machine("mill"), marks=marks)
    need = needed(kept, mill, belief, stage)
    on = drawn_stage(kept, belief, 7, 200)
    return card_draws(on, need, cards_of(kept, need).cards, TODAY)


def test_what_was_sent_without_a_word_of_when_it_comes_is_still_waited_for():
    made = gates(bare("mill F15"), ("open:spindle_motor", "2026-11-24"),
                 ("send:F15:local", "2026-11-26"))  # fmt: skip
    assert 13 < float(np.median(made.not_before["F15:local"])) < 17
    assert ("F15:local", "send:F15:local") not in made.days


def test_what_was_washed_yesterday_dries_the_rest_of_its_days():
    kind = kinds()["vertical_machining_centre"]
    wet = CardRule(of="place:tank", dries_days=6.0)
    library = {**kinds(), kind.id: replace(kind, card_rules=(*kind.card_rules, wet))}
    kept, belief, stage = read(bare(), library)
    at = datetime(2026, 11, 25, tzinfo=UTC)
    fact = CardMarked(lot="school", machine="mill", card="open:tank", how="done",
                      marked_on="2026-11-25")  # fmt: skip
    mark = Record("m", "card_marked", 1, 1, at, at, "me", "", None, fact, "", "")
    mill = replace(kept.machine("mill"), marks=(mark,))
    need = needed(kept, mill, belief, stage)
    on = drawn_stage(kept, belief, 7, 50)
    made = card_draws(on, need, cards_of(kept, need).cards, TODAY)
    assert made.not_before["J10"].max() == pytest.approx(5.0)


def test_what_is_certain_is_there_in_every_run_and_what_was_found_once_as_often_as_believed():
    kept, belief, stage = read(bare("mill F06", "mill F15"))
    mill = kept.machine("mill")
    held = replace(mill, state=replace(mill.state, found=frozenset({"F20"}),
                                       absent=mill.state.absent - {"F20"}))  # fmt: skip
    chances = {**belief.faults, ("mill", "F20"): 0.3}
    need = needed(kept, held, replace(belief, faults=chances), stage)
    cards = {one.key: one for one in cards_of(kept, need).cards}
    sure = {one.fault.id for one in need.faults if one.confirmed}
    assert sure == {"F06", "F15"}
    [found_once] = [one for one in need.faults if one.held]
    assert (found_once.fault.id, found_once.chance < 1.0) == ("F20", True)
    assert cards[found_once.line].chance == found_once.chance
    assert any("F20" in one.faults for key, one in cards.items() if key.startswith("look:"))
    on = drawn_stage(kept, belief, 7, 200)
    made = card_draws(on, need, cards.values(), TODAY)
    for one in need.faults:
        if one.confirmed:
            assert (made.hours[one.line] > 0).all(), one.line
