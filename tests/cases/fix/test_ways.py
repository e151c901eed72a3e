"""Ways of every fault: what each costs on average, which is chosen, why another is not allowed."""

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from functools import cache

import pytest
from tests.cases.fix.choosing import ON, act, burnt, figure, happened, scene, way
from tests.cases.priced import found, kinds
from tests.library import load

from retrue.cases.case import LotCase
from retrue.cases.fix.agreed import as_agreed
from retrue.cases.fix.choice_lines import FaultOptions, WayOption
from retrue.cases.fix.explained import why_this
from retrue.cases.fix.scene import Scene
from retrue.cases.fix.ways import LISTED, listed
from retrue.cases.known_choices import choice_doubts
from retrue.cases.lot_file import read_lot
from retrue.cases.lot_text import write_lot
from retrue.cases.orders import allowed, plan_for, trial_of
from retrue.plan.ways import Trial, cheapest_order
from retrue.records.fixing import Chosen, Quoted
from retrue.records.shop import Record


@cache
def plain() -> Scene:
    return scene(burnt())


@cache
def rows() -> dict[str, FaultOptions]:
    return {one.fault.id: one.options for one in listed(plain())}


def options(case: object, **asked: object) -> dict[str, FaultOptions]:
    return {one.fault.id: one.options for one in listed(scene(case, **asked))}


def chosen(one: FaultOptions) -> WayOption:
    return next(way for way in one.ways if way.chosen)


def test_what_is_found_stands_first_and_what_is_rare_is_not_listed() -> None:
    first, *rest = rows().values()
    assert (first.fault, first.confirmed, first.chance) == ("F15", True, 1.0)
    assert not any(one.confirmed for one in rest)
    assert min(one.chance for one in rest) >= LISTED
    assert first.found_by == "found when it was opened"


def test_the_average_of_a_way_is_that_of_the_order_with_it_first() -> None:
    """Money till cured, own hours at their rate, every day of waiting, walked step by step."""
    scene, bench = plain(), plain().prospect.workshop.bench
    fault = scene.kind.faults["F01"]
    may = allowed(bench, fault, scene.aimed)
    trials: dict[str, Trial] = {fix.way: trial_of(bench, fault, fix) for fix in may}
    lead: dict[str, float] = {fix.way: fix.lead_days for fix in may}
    for option in rows()["F01"].ways:
        if not option.allowed:
            continue
        order = cheapest_order(tuple(trials.values()), scene.rate, option.way)
        assert order is not None
        assert order.steps[0] == option.way
        reached, cost = 1.0, 0.0
        for name in order.steps:
            one = trials[name]
            paid = one.money * (one.cures + (1 - one.cures) * one.paid_if_it_fails)
            cost += reached * (paid + one.hours * scene.rate + 10 * lead[name])
            reached *= 1 - one.cures
        last = trials[order.surest]
        cost += reached * (last.money + last.hours * scene.rate + 10 * lead[order.surest])
        assert option.average == pytest.approx(cost)


def test_what_is_chosen_is_what_the_price_and_the_cards_begin_with() -> None:
    bench = plain().prospect.workshop.bench
    for steps, order in plan_for(bench, plain().aimed, plain().rate):
        fault = bench.faults[steps.row].id
        if fault in rows():
            assert chosen(rows()[fault]).way == order.steps[0]


def test_the_owners_way_wins_and_says_by_how_much_it_differs() -> None:
    told = options(burnt(chosen=(way("F15", "outside"),)))["F15"]
    assert chosen(told).way == "outside"
    assert chosen(told).by_owner
    assert "Your choice" in told.why
    assert "less on average" in told.why
    assert chosen(rows()["F15"]).way == "local"
    assert "Your choice" not in rows()["F15"].why


def test_a_choice_in_a_lot_file_reads_back_and_counts() -> None:
    case = burnt(chosen=(way("F15", "outside"),))
    again = read_lot(write_lot(case).encode(), "lot.toml", kinds())
    assert again.chosen == case.chosen
    assert chosen(options(again)["F15"]).way == "outside"


def test_an_own_figure_and_a_quote_that_holds_stand_where_the_table_stood() -> None:
    mine = options(burnt(cost_lines=(figure("F15:local", 600, days=21.0),)))["F15"].ways[0]
    assert (mine.money.low, mine.money.high, mine.days) == (600.0, 600.0, 21.0)
    assert mine.source == "I know a winder"
    at = datetime(2026, 11, 24, tzinfo=UTC)

    def quote(until: str) -> Record[Quoted]:
        fact = Quoted(
            lot="school",
            machine="mill",
            line="F15:local",
            vendor="the winder",
            quoted_on="2026-11-24",
            amount=Decimal(650),
            valid_until_on=until,
        )
        return Record("q", "quoted", 1, 1, at, at, "me", "", None, fact, "", "")

    def told(said: Record[Quoted]) -> LotCase:
        return as_agreed(burnt(), kinds(), quotes=[said], on=ON)

    holds = options(told(quote("2026-12-24")))["F15"].ways[0]
    assert (holds.money.likely, holds.source) == (650.0, "quote of the winder on 2026-11-24")
    past = options(told(quote("2026-11-25")))["F15"].ways[0]
    assert past.source == "by the tables"
    assert past.money.low < past.money.high


def test_a_dearer_way_is_called_what_its_numbers_say() -> None:
    """Dearer by 40: comes back less often; were it as good a mend, it would be no better."""
    fault = kinds()["vertical_machining_centre"].faults["F95"]
    dearer = (figure("F95:second_hand", 140), figure("F95:local", 180))
    told = options(burnt(cost_lines=dearer))["F95"]
    first, other = (next(one for one in told.ways if one.way == way)
                    for way in ("second_hand", "local"))  # fmt: skip
    assert first.again == pytest.approx(0.25)
    assert other.again == pytest.approx(0.1)
    said = why_this(fault, (first, other), "EUR").replace("\u202f", " ")
    assert "costs € 40 more and fails again 1 in 10 instead of 2 in 10" in said
    alike = replace(other, again=first.again, cures=first.cures, days=first.days)
    said = why_this(fault, (first, alike), "EUR").replace("\u202f", " ")
    assert "costs € 40 more and is no better" in said
    slightly = replace(alike, cures=first.cures + 0.04)
    assert "is hardly better" in why_this(fault, (first, slightly), "EUR")


def test_what_is_good_only_for_less_is_not_allowed_and_says_so() -> None:
    ways = {one.way: one for one in options(burnt(), level="like_new")["F01"].ways}
    assert not ways["repair"].allowed
    assert ways["repair"].why_not == "It is good enough only for right."
    assert ways["repair"].resale < 0.0
    assert ways["outside"].allowed
    assert ways["outside"].resale == 0.0


def test_a_must_is_lived_with_only_where_the_owner_agreed_and_a_stop_never() -> None:
    case = burnt()
    agreed = replace(case, machines=(replace(case.machines[0], live_with=("F01",)),))
    before = {one.way: one for one in options(case, level="just_running")["F01"].ways}
    after = {one.way: one for one in options(agreed, level="just_running")["F01"].ways}
    assert not before["live_with"].allowed
    assert "agree" in before["live_with"].why_not
    assert "live_with" in after
    at_right = {one.way: one for one in options(agreed)["F01"].ways}
    assert not at_right["live_with"].allowed
    stops = [one for one in rows().values() if one.urgency == "STOP"]
    assert stops
    assert not any(way.way == "live_with" and way.allowed for one in stops for way in one.ways)


def test_living_with_it_takes_its_share_off_the_resale_of_that_level() -> None:
    one = next(r for r in listed(plain()) if r.fault.id == "F104")
    live = next(way for way in one.options.ways if way.way == "live_with")
    assert live.resale == pytest.approx(-one.fault.resale_drop_share * one.worth)
    assert one.worth > 0.0
    less = next(r for r in listed(scene(burnt(), level="just_running")) if r.fault.id == "F104")
    assert less.worth < one.worth


def test_a_way_that_was_tried_and_did_not_cure_is_not_tried_again() -> None:
    """Each way once: a fault still found after its way was tried goes on with another."""
    case = burnt(happened=happened(act(sort="repair", fault="F15", way="local")))
    seen = found("again", "mill", fault="F15", answer="present", channel="apart")
    case = replace(case, findings=(*case.findings, seen),
                   happened=tuple(replace(one, place=1) for one in case.happened))  # fmt: skip
    told = options(case)["F15"]
    ways = {one.way: one for one in told.ways}
    assert chosen(told).way != "local"
    assert ways["local"].why_not == "It was tried, and did not cure it."


def test_a_fault_that_was_put_right_is_not_listed() -> None:
    case = burnt(happened=happened(act(sort="repair", fault="F15", way="local")))
    assert "F15" not in options(case)


def test_the_sentence_holds_the_way_against_the_next_best() -> None:
    assert rows()["F15"].why.startswith("A local winder: about €\u202f800 and 2 weeks")
    assert rows()["F15"].why.endswith("a used part costs €\u202f100 more and cures only 8 in 10.")


def test_another_control_is_no_aim_where_nobody_priced_one() -> None:
    aim = Chosen(lot="a", machine="m", sort="aim", way="new_control", level="right")
    assert [one.field for one in choice_doubts(aim, load()["milling_machine"])] == ["way"]
    assert not list(choice_doubts(aim, kinds()["vertical_machining_centre"]))
