"""Choices are kept, refused where they cannot be, and everything follows them."""

from collections.abc import Mapping
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from retrue.base.refusals import Unknown, Unusable
from retrue.cases.kept_case import kept_case
from retrue.kinds.library import Kind
from retrue.phases.fix.choosing import choose
from retrue.phases.fix.options import options, stop_loss
from retrue.records.facts import Finding
from retrue.records.fixing import Chosen, Quoted
from retrue.records.moving import Arrived
from retrue.records.shop import RecordShop

NOW = datetime(2026, 11, 26, 19, 0, tzinfo=UTC)
Kinds = Mapping[str, Kind]


def way(fault: str, name: str) -> Chosen:
    return Chosen(lot="", machine="", sort="way", what=fault, way=name, why="I know him")


def aim(name: str, level: str = "") -> Chosen:
    return Chosen(lot="", machine="", sort="aim", way=name, level=level)


def refused(shop: RecordShop, kinds: Kinds, chosen: Chosen) -> str:
    """Every problem with its remedy, in one line."""
    with pytest.raises(Unusable) as wrong:
        choose(shop, "school", "mill", kinds, chosen, by="owner")
    assert all(one.remedy for one in wrong.value.problems)
    return " ".join(map(str, wrong.value.problems))


@pytest.mark.usefixtures("lot")
def test_the_newest_choice_counts_and_the_same_again_adds_nothing(
    shop: RecordShop, kinds: Kinds
) -> None:
    first = choose(shop, "school", "mill", kinds, way("F15", "outside"), by="owner")
    again = choose(shop, "school", "mill", kinds, way("F15", "outside"), by="owner")
    assert again.id == first.id
    choose(shop, "school", "mill", kinds, way("F15", "local"), by="owner")
    choose(shop, "school", "mill", kinds, aim("keep", "like_new"), by="owner")
    case = kept_case(shop, first.fact.lot)
    assert [(one.sort, one.what, one.way) for one in case.chosen] == [
        ("way", "F15", "local"),
        ("aim", "", "keep"),
    ]
    assert {one.machine for one in case.chosen} == {"mill"}


@pytest.mark.usefixtures("lot")
def test_the_options_follow_the_choice_and_the_aim(shop: RecordShop, kinds: Kinds) -> None:
    key = choose(shop, "school", "mill", kinds, way("F15", "outside"), by="owner").fact
    found = Finding(lot=key.lot, machine=key.machine, fault="F15", answer="present", grade=5,
                    channel="apart")  # fmt: skip
    shop.add(found, by="owner")
    told = options(shop, "school", "mill", kinds, now=NOW, worlds=300)
    assert told.faults[0].fault == "F15"
    assert (told.faults[0].ways[0].way, told.faults[0].ways[0].by_owner) == ("outside", True)
    assert options(shop, "school", "mill", kinds, now=NOW, worlds=300) == told
    choose(shop, "school", "mill", kinds, way("F15", ""), by="owner")
    back = options(shop, "school", "mill", kinds, now=NOW, worlds=300)
    assert (back.faults[0].ways[0].way, back.faults[0].ways[0].by_owner) == ("local", False)
    choose(shop, "school", "mill", kinds, aim("sell_proven", "right"), by="owner")
    sold = options(shop, "school", "mill", kinds, now=NOW, worlds=300, by_on=date(2027, 2, 1))
    assert (sold.aim, sold.level, sold.by_on) == ("sell_proven", "right", "2027-02-01")


@pytest.mark.usefixtures("lot")
def test_a_quote_counts_by_the_machine_it_names_and_an_arrival_ends_the_move(
    shop: RecordShop, kinds: Kinds
) -> None:
    key = choose(shop, "school", "mill", kinds, aim("keep", "right"), by="owner").fact
    before = stop_loss(shop, "school", "mill", kinds, now=NOW, worlds=300)
    quoted = Quoted(lot=key.lot, machine=key.machine, line="F03:repair", vendor="the spring maker",
                    quoted_on="2026-11-25", amount=Decimal(90))  # fmt: skip
    shop.add(quoted, by="owner")
    shop.add(Arrived(lot=key.lot, machine=key.machine, delivered_on="2026-11-20"), by="owner")
    told = options(shop, "school", "mill", kinds, now=NOW, worlds=300)
    ways = next(one for one in told.faults if one.fault == "F03").ways
    assert next(one for one in ways if one.way == "repair").money.likely == 90.0
    lathe = options(shop, "school", "lathe", kinds, now=NOW, worlds=300)
    assert lathe.stop_loss is not None
    assert told.stop_loss is not None
    assert told.stop_loss.still_money < before.still_money


@pytest.mark.usefixtures("lot")
def test_what_cannot_be_chosen_is_refused_with_reason_and_remedy(
    shop: RecordShop, kinds: Kinds
) -> None:
    stop = refused(shop, kinds, way("F15", "live_with"))
    assert "nobody lives with it" in stop
    assert "local" in stop
    assert "is no fault. Did you mean" in refused(shop, kinds, way("F155", "local"))
    assert "Did you mean local" in refused(shop, kinds, way("F15", "locall"))
    assert "this is put right" in refused(shop, kinds, way("F01", "live_with"))
    nothing = Chosen(lot="", machine="", sort="renew", what="no such part")
    assert "no part that can be renewed" in refused(shop, kinds, nothing)
    assert "level" in refused(shop, kinds, aim("keep"))
    assert "way" in refused(shop, kinds, aim("give it away"))
    choose(shop, "school", "mill", kinds, aim("keep", "like_new"), by="owner")
    low = refused(shop, kinds, way("F01", "repair"))
    assert "good enough only for right" in low
    assert "outside" in low
    with pytest.raises(Unknown):
        choose(shop, "school", "mil", kinds, way("F15", "local"), by="owner")


@pytest.mark.usefixtures("lot")
@pytest.mark.parametrize("budget", [float("nan"), float("inf")])
def test_a_budget_that_is_no_sum_is_refused_by_name(
    shop: RecordShop, kinds: Kinds, budget: float
) -> None:
    with pytest.raises(Unusable) as wrong:
        options(shop, "school", "mill", kinds, now=NOW, worlds=300, budget=budget)
    assert [one.where for one in wrong.value.problems] == ["budget"]


@pytest.mark.usefixtures("lot")
def test_a_level_that_is_none_is_refused(shop: RecordShop, kinds: Kinds) -> None:
    with pytest.raises(Unknown):
        options(shop, "school", "mill", kinds, now=NOW, level="perfect", worlds=300)
