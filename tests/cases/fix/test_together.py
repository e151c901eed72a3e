"""While you're in there: sums by hand, ages, past lives, places behind places, the owner's word."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from functools import cache
from typing import Any

import pytest
from tests.library import load

from retrue.base.refusals import Unknown, Unusable
from retrue.cases.case import Happened, Kept, LotCase
from retrue.cases.find.costs import mean
from retrue.cases.find.standing import behind
from retrue.cases.fix.choice_lines import RenewRow, Together
from retrue.cases.fix.kept import FixKept, fix_of_case
from retrue.cases.fix.reopening import openings
from retrue.cases.fix.together import together
from retrue.cases.fix.which import prices_of
from retrue.kinds.library import Kind
from retrue.records.facts import CostLine, Finding, Lot, Machine, Shop, Terms
from retrue.records.fixing import CardMarked, Chosen, Gear
from retrue.records.seeking import Act
from retrue.records.shop import Record
from retrue.science.ageing import chance_of_failing, renewing

TODAY = date(2026, 11, 26)
HOURS = ("open_hours", "close_hours")
RATE, REST = 15.0, 10.0  # an own hour, a day at rest


@cache
def kinds(past_lives: bool = True) -> Mapping[str, Kind]:
    """The library; without past lives no life is divided."""
    if past_lives:
        return load()
    rows = {id: [*part.raisers] for kind in kinds().values() for id, part in kind.renewals.items()}
    text = "".join(
        f'[[renewal]]\nid = "{id}"\nraisers = {{ {", ".join(f"{life} = 1" for life in lives)} }}\n'
        for id, lives in rows.items()
        if lives
    )
    return load((("own.toml", text.encode()),))


def kept(machine: dict[str, Any] | None = None, **case: Any) -> FixKept:
    said = {"kind": "turning_centre", "age_years": 12.0} | (machine or {})
    lathe = Machine(lot="school", name="lathe", **said)
    shop = Shop(hour_alternative=Decimal(15))
    whole = LotCase(
        shop=shop, lot=Lot(name="school"), terms=Terms(lot="school"), machines=(lathe,), **case
    )
    return fix_of_case(whole, kinds())


def weigh(home: FixKept, place: str, *, past_lives: bool = True, **asked: Any) -> Together:
    given = {"years": 5.0, "on": TODAY, "worlds": 200} | asked
    return together(home, "lathe", kinds(past_lives), place=place, **given)


def plain(home: FixKept) -> FixKept:
    """The same machine of a kind whose past lives divide nothing."""
    [lathe] = home.machines
    return replace(home, machines=(replace(lathe, kind=kinds(False)["turning_centre"]),))


def row(told: Together, id: str) -> RenewRow:
    return next(one for one in told.rows if one.id == id)


def test_by_hand_without_past_lives():
    """Two parts of the lubrication unit: every figure from the tables and the formulas."""
    told = weigh(plain(kept()), "lube_unit", past_lives=False)
    kind = kinds(False)["turning_centre"]
    place = kind.places["lube_unit"]
    opening = (mean(place.open_hours) + mean(place.close_hours)) * RATE + REST
    assert told.reopening == pytest.approx(opening)
    assert told.exact
    now, fails, kept_, new = {}, {}, {}, {}
    for id in ("lube_pump", "lube_switch"):
        part = kind.renewals[id]
        wait = next(f.lead_days for f in kind.fixes[part.faults[0]] if f.way == "replace")
        now[id] = mean(part.money) + mean(part.hours) * RATE
        fails[id] = now[id] + mean(part.failing_money) + wait * REST
        kept_[id] = float(chance_of_failing(12.0, 5.0, part.shape, part.life_years))
        new[id] = float(chance_of_failing(0.0, 5.0, part.shape, part.life_years))
        assert row(told, id).risk == pytest.approx(kept_[id])
        alone = renewing(part.shape, part.life_years, now[id], fails[id] + opening)
        assert row(told, id).renew_at_years == pytest.approx(alone.age)
    costs = {}
    for choice in ((), ("lube_pump",), ("lube_switch",), ("lube_pump", "lube_switch")):
        total, shut = 0.0, 1.0
        for id in now:
            chance = (new if id in choice else kept_)[id]
            total += now[id] * (id in choice) + chance * fails[id]
            shut *= 1 - chance
        costs[choice] = total + opening * (1 - shut)
    best = min(costs, key=lambda choice: costs[choice])
    assert told.cost == pytest.approx(costs[best])
    assert told.cost_none == pytest.approx(costs[()])
    assert told.cost_all == pytest.approx(costs["lube_pump", "lube_switch"])
    assert {one.id for one in told.rows if one.renew} == set(best)


def test_a_past_life_that_was_told_divides_the_life():
    def told_of(answer: str) -> float:
        said = Finding(lot="school", machine="lathe", history="LM", answer=answer, grade=5)
        home = kept(findings=(Kept(id="1", finding=said),))
        return row(weigh(home, "lube_unit", worlds=1000), "lube_pump").risk

    part = kinds()["turning_centre"].renewals["lube_pump"]
    yes, no = told_of("yes"), told_of("no")
    most = part.life_years / (part.raisers["LM"] * part.raisers["ID"])
    least = float(chance_of_failing(12.0, 5.0, part.shape, part.life_years))
    assert least < no < yes <= float(chance_of_failing(12.0, 5.0, part.shape, most))


def test_past_lives_tie_the_parts_and_every_choice_is_weighed():
    told = weigh(kept(), "cabinet")
    assert (told.exact, told.sure) == (False, True)
    assert told.how_sure.startswith("Every choice was weighed")


@pytest.mark.parametrize("place", ["cabinet", "panel", "axis_motors", "turret", "tank"])
def test_no_choice_of_all_or_none_is_cheaper(place):
    told = weigh(kept(), place, worlds=100)
    assert told.rows
    assert told.cost <= min(told.cost_none, told.cost_all) + 1e-9
    for one in told.rows:
        cheaper = min(one.if_kept, one.if_renewed)
        assert (one.if_renewed if one.renew else one.if_kept) <= cheaper + 1e-6
        assert one.mark


def test_a_part_that_was_renewed_is_young_by_its_card_or_by_what_was_done():
    old = row(weigh(kept(), "cabinet"), "drive_fans")
    act = Act(lot="school", machine="lathe", sort="replace", fault="F24", way="replace")
    acted = kept(happened=(Happened(id="1", event=act, place=0, on="2024-11-26"),))
    young = row(weigh(acted, "cabinet"), "drive_fans")
    assert old.age_years == 12.0
    assert young.age_years == pytest.approx(2.0, abs=0.01)
    assert young.risk < old.risk
    cleaned = replace(act, sort="clean", way="clean")
    same = kept(happened=(Happened(id="1", event=cleaned, place=0, on="2024-11-26"),))
    assert row(weigh(same, "cabinet"), "drive_fans").age_years == 12.0


def marked(home: FixKept, *hows: str) -> FixKept:
    at = datetime(2026, 11, 1, tzinfo=UTC)
    marks = tuple(
        Record(f"m{n}", "card_marked", 1, n, at, at, "me", "", None,
               CardMarked(lot="school", machine="lathe", card="renew:drive_fans", how=how,
                          marked_on="2025-11-26"), "", "")
        for n, how in enumerate(hows)
    )  # fmt: skip
    return replace(home, machines=(replace(home.machines[0], marks=marks),))


def test_a_card_that_was_opened_again_renewed_nothing():
    done, again = (marked(kept(), *hows) for hows in (["begun", "done"], ["done", "open_again"]))
    assert row(weigh(done, "cabinet"), "drive_fans").age_years == pytest.approx(1.0, abs=0.01)
    assert row(weigh(again, "cabinet"), "drive_fans").age_years == 12.0


def test_what_was_chosen_is_used_up_once_it_is_done():
    chosen = Chosen(lot="school", machine="lathe", sort="renew", what="drive_fans", yes=True)
    open_still = row(weigh(kept(chosen=(chosen,)), "cabinet"), "drive_fans")
    done = row(weigh(marked(kept(chosen=(chosen,)), "done"), "cabinet"), "drive_fans")
    again = row(
        weigh(marked(kept(chosen=(chosen,)), "done", "open_again"), "cabinet"), "drive_fans"
    )
    assert (open_still.renew, open_still.by_owner) == (True, True)
    assert (done.renew, done.by_owner) == (False, False)
    assert again.by_owner


def test_a_stop_item_that_was_put_right_is_weighed_again():
    place = next(one.place for one in kinds()["turning_centre"].renewals.values()
                 if "F97" in one.faults)  # fmt: skip
    found = Kept(id="1", finding=Finding(lot="school", machine="lathe", fault="F97", grade=5,
                                         answer="present", channel="apart"))  # fmt: skip
    act = Act(lot="school", machine="lathe", sort="replace", fault="F97", way="replace")
    mended = Happened(id="2", event=act, place=1, on="2026-11-20")
    broken = weigh(kept(findings=(found,)), place)
    whole = weigh(kept(findings=(found,), happened=(mended,)), place)
    names = {one.id for one in weigh(kept(), place).rows}
    assert {one.id for one in broken.rows} < names
    assert {one.id for one in whole.rows} == names
    assert not any("is there already" in line for line in whole.assumed)


def test_a_place_that_is_none_names_those_that_are():
    with pytest.raises(Unknown) as wrong:
        weigh(kept(), "zzzz")
    assert "cabinet" in wrong.value.remedy


def test_what_is_not_fitted_or_broken_already_is_not_weighed():
    home = kept({"not_fitted": ("F84",)})
    there = Finding(lot="school", machine="lathe", fault="F24", answer="present", grade=5)
    broken = kept({"not_fitted": ("F84",)}, findings=(Kept(id="1", finding=there),))
    ids = {one.id for one in weigh(home, "cabinet").rows}
    told = weigh(broken, "cabinet")
    assert "cabinet_cooler_fan" not in ids
    assert "drive_fans" in ids
    assert {one.id for one in told.rows} == ids - {"drive_fans"}
    assert any("Drive fans" in line and "card of its own" in line for line in told.assumed)


def chose(what: str, yes: bool) -> Chosen:
    return Chosen(lot="school", machine="lathe", sort="renew", what=what, yes=yes)


def test_the_owner_has_the_last_word_and_hears_what_it_costs():
    free = weigh(kept(), "cabinet")
    against = weigh(kept(chosen=(chose("drive_fans", False), chose("relays", True))), "cabinet")
    assert row(free, "drive_fans").renew
    assert not row(free, "relays").renew
    for id, renew in (("drive_fans", False), ("relays", True)):
        one = row(against, id)
        assert (one.renew, one.by_owner) == (renew, True)
        assert "other way" in one.why
    assert against.owner_costs == pytest.approx(against.cost - free.cost)
    assert against.owner_costs > 1
    agreed = weigh(kept(chosen=(chose("drive_fans", True),)), "cabinet")
    assert agreed.owner_costs == 0
    assert "so it is reckoned" in row(agreed, "drive_fans").why
    assert {one.id for one in agreed.rows if one.renew} == {o.id for o in free.rows if o.renew}


def test_a_place_opens_for_its_own_and_for_what_lies_behind_it():
    """A motor's bearings open head and motor again; the belt in the head only the head."""
    mill = Machine(lot="s", name="lathe", kind="vertical_machining_centre", age_years=12)
    case = LotCase(shop=Shop(hour_alternative=Decimal(15)), lot=Lot(name="s"),
                   terms=Terms(lot="s"), machines=(mill,))  # fmt: skip
    home = fix_of_case(case, kinds())
    both, head = weigh(home, "spindle_motor"), weigh(home, "spindle_head")
    assert {one.place for one in both.rows} == {"spindle_motor", "spindle_head"}
    assert {one.place for one in head.rows} == {"spindle_head"}
    assert both.reopening > head.reopening
    assert row(both, "spindle_belt").risk == pytest.approx(row(head, "spindle_belt").risk)


def test_the_inner_place_is_not_opened_for_what_lies_before_it():
    """Each set-up with the parts it is opened for: the day at rest is everybody's."""
    mill = Machine(lot="s", name="lathe", kind="vertical_machining_centre", age_years=12)
    case = LotCase(shop=Shop(hour_alternative=Decimal(15)), lot=Lot(name="s"),
                   terms=Terms(lot="s"), machines=(mill,))  # fmt: skip
    home = fix_of_case(case, kinds())
    [machine] = home.machines
    _, prices = prices_of(home, machine)
    chain = behind(machine.kind, "spindle_motor")
    found = openings(home, machine.kind, prices, chain, ["spindle_motor", "spindle_head"], 1)
    inner, outer = (
        sum(mean(getattr(machine.kind.places[place], part)) for place in places for part in HOURS)
        for places in (chain[:1], chain[1:])
    )
    hire = mean(machine.kind.costs["E90"].amount)
    costs = {tuple(one.parts.tolist()): float(one.cost[0]) for one in found}
    assert set(costs) == {(True, False), (True, True)}
    assert costs[True, False] + costs[True, True] == pytest.approx(
        (inner + outer) * RATE + REST + hire
    )
    assert costs[True, False] in (pytest.approx(inner * RATE), pytest.approx(inner * RATE + hire))


def test_a_hoist_that_is_owned_is_not_hired_once_more():
    at = datetime(2026, 11, 1, tzinfo=UTC)

    def with_hoist(**said: Any) -> float:
        gear = Record("g", "gear", 1, 1, at, at, "me", "", None, Gear(name="hoist", **said), "", "")
        return weigh(replace(kept(), gear=(gear,)), "turret").reopening

    table = weigh(kept(), "turret").reopening
    own, hired = with_hoist(have="owned"), with_hoist(have="hired", day_costs=Decimal(80))
    assert table - own == pytest.approx(mean(kinds()["turning_centre"].costs["E90"].amount))
    assert hired - own == pytest.approx(80.0)


def test_a_price_of_ones_own_takes_the_place_of_the_tables():
    line = CostLine(lot="school", machine="lathe", line="renew:bus_capacitors",
                    amount=Decimal(4000), hours=9.0, reason="asked")  # fmt: skip
    one = row(weigh(kept(cost_lines=(line,)), "cabinet"), "bus_capacitors")
    assert (one.money, one.hours, one.renew) == (4000.0, 9.0, False)


def test_an_age_that_nobody_said_is_drawn_and_said_so():
    told = weigh(kept({"age_years": None}), "lube_unit", worlds=300)
    assert told.rows[0].age_years is None
    assert any("Nobody said how old" in line for line in told.assumed)
    assert told == weigh(kept({"age_years": None}), "lube_unit", worlds=300)


def test_the_cautions_of_every_place_stand_in_it():
    told = weigh(kept(), "cabinet")
    assert any("Off is not empty" in one for one in told.cautions)
    assert len(set(told.cautions)) == len(told.cautions)


def test_where_nothing_ages_it_says_so():
    told = weigh(kept(), "foundation")
    assert (told.rows, told.cost, told.cost_all) == ((), 0, 0)
    assert "known to age" in told.words


def test_what_cannot_be_asked_is_refused_with_a_remedy():
    with pytest.raises(Unknown, match="no place") as refused:
        weigh(kept(), "cabinett")
    assert "cabinet" in refused.value.remedy
    for years in (0.0, -1.0, 51.0, float("nan"), float("inf")):
        with pytest.raises(Unusable, match="ahead"):
            weigh(kept(), "cabinet", years=years)
    with pytest.raises(Unknown, match="no machine"):
        together(kept(), "mill", kinds(), place="cabinet", years=5, on=TODAY)
