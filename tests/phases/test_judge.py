"""Kept first, then judged; withdrawn, the price is back to the cent."""

from __future__ import annotations

from decimal import Decimal

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.refusals import NotYet, Overtaken, TooHard, Unknown, Unusable
from retrue.cases.sheet_json import to_json
from retrue.phases import worth
from retrue.phases.worth import pricing
from retrue.records.facts import Finding, Frozen, Moved, Terms

SHOPS = ("on disk",)  # that the other shop keeps alike is proved in tests/store
SUM = {"seed": 7, "worlds": 300}  # how good a price is, is tested with the prices
LOW = {"measure": "M07", "reading": 0.4, "uncertainty": 0.1, "grade": 4, "channel": "visit_dead"}


def finding(check: str = "C12", answer: str = "severe", machine: str = "mill", **more) -> Finding:
    return Finding(lot="school", machine=machine, check=check, answer=answer, **more)


def test_low_insulation_lowers_the_price_and_withdrawn_it_is_back_to_the_cent(shop, lot, kinds):
    before = to_json(worth.price(shop, "school", kinds, **SUM))
    judged = worth.keep_finding(shop, finding("C31", "", **LOW), kinds, by="owner", **SUM)
    was, now = judged.amounts
    assert now < was
    (step,) = shop.current(Moved)
    assert (float(step.fact.before), float(step.fact.after)) == (was, now)
    assert worth.price(shop, "school", kinds, **SUM).moved[0].finding == judged.kept[0].id
    back = worth.withdraw(shop, judged.kept[0].id, kinds, by="owner", reason="wrong leads", **SUM)
    assert back.amounts == (now, was)
    assert to_json(worth.price(shop, "school", kinds, **SUM)) == before
    (row,) = worth.findings(shop, "school", kinds)
    assert (row.withdrawn, row.before, row.after) == (True, was, now)


def test_a_price_is_worked_out_once_for_one_case(shop, lot, kinds, monkeypatch):
    worth.price(shop, "school", kinds, **SUM)
    monkeypatch.setattr(pricing, "price_case", lambda *_, **__: pytest.fail("worked out again"))
    worth.price(shop, "school", kinds, **SUM)
    with pytest.raises(pytest.fail.Exception):
        worth.price(shop, "school", kinds, seed=8, worlds=300)


def test_what_was_seen_is_kept_even_where_no_price_can_be_told(shop, lot, kinds, monkeypatch):
    def too_hard(*_, **__):
        raise TooHard("the sum is too hard", remedy="Ask for less.")

    monkeypatch.setattr(pricing, "price_case", too_hard)
    judged = worth.keep_finding(shop, finding(), kinds, by="owner", **SUM)
    assert (judged.before, judged.after) == (None, None)
    assert judged.why == "the sum is too hard Ask for less."
    assert [record.id for record in shop.current(Finding)] == [judged.kept[0].id]
    line = worth.price_line(shop, "school", kinds, **SUM)
    assert (line.now, line.why) == (None, "the sum is too hard Ask for less.")


def test_sent_twice_is_kept_once_and_moves_once(shop, lot, kinds):
    for _ in range(2):
        worth.keep_finding(shop, finding(), kinds, by="owner", id="tap-1", **SUM)
    assert len(shop.current(Finding)) == len(shop.current(Moved)) == 1
    with pytest.raises(Overtaken):
        worth.keep_finding(shop, finding("C13"), kinds, by="owner", id="tap-1", **SUM)


def test_a_finding_the_kind_lacks_or_that_is_no_answer_is_refused_with_its_field(shop, lot, kinds):
    wrong = [finding("C37"), finding(answer="sene"), finding(measure="M07", reading=1.0)]
    with pytest.raises(Unusable) as told:
        worth.keep_findings(shop, "school", wrong, kinds, by="owner", **SUM)
    assert [problem.where.split(", ")[0] for problem in told.value.problems] == [
        "C37",
        "C12",
        "C12",
    ]
    assert shop.current(Finding) == []
    with pytest.raises(Unknown):
        worth.keep_finding(shop, finding(machine="saw"), kinds, by="owner", **SUM)


def test_only_what_still_counts_can_be_withdrawn(shop, lot, kinds):
    kept = worth.keep_findings(shop, "school", [finding()], kinds, quietly=True, by="o").kept[0]
    worth.withdraw(shop, kept.id, kinds, by="owner", **SUM)
    with pytest.raises(Unknown):
        worth.withdraw(shop, kept.id, kinds, by="owner", **SUM)
    with pytest.raises(Unknown):
        worth.withdraw(shop, lot.id, kinds, by="owner", **SUM)


def test_an_own_figure_moves_the_price_and_withdrawn_it_is_back(shop, lot, kinds):
    before = to_json(worth.price(shop, "school", kinds, **SUM))
    dear = worth.overtype(
        shop, "school", "J19", Decimal(6000), "the only one I trust", kinds, machine="mill", by="o"
    )
    assert to_json(worth.price(shop, "school", kinds, **SUM)) != before
    worth.withdraw(shop, dear.id, kinds, by="owner", **SUM)
    assert to_json(worth.price(shop, "school", kinds, **SUM)) == before


def test_steps_tell_how_many_were_kept_together_and_the_rest_what_they_do_now(shop, lot, kinds):
    pair = [finding(), finding("C13", "severe")]
    worth.keep_findings(shop, "school", pair, kinds, by="owner", **SUM)
    worth.keep_findings(shop, "school", [finding("C39", "severe")], kinds, quietly=True, by="o")
    moved = worth.price(shop, "school", kinds, **SUM).moved
    assert len(moved) == 2
    assert moved[0].text.endswith(", and 1 more")
    assert "mill: Coolant tank" in moved[1].text


def test_the_frozen_number_never_rises_without_a_typed_reason(shop, lot, kinds):
    bad = worth.keep_finding(shop, finding("C31", "", **LOW), kinds, by="owner", **SUM).kept[0]
    first = worth.freeze(shop, "school", kinds, by="owner", **SUM)
    assert worth.freeze(shop, "school", kinds, by="owner", **SUM) == first
    worth.withdraw(shop, bad.id, kinds, by="owner", **SUM)
    with pytest.raises(NotYet) as told:
        worth.freeze(shop, "school", kinds, by="owner", reason="  ", **SUM)
    assert "would rise" in told.value.reason
    assert worth.frozen(shop, "school") == first
    risen = worth.freeze(shop, "school", kinds, by="owner", reason="measured anew", **SUM)
    assert risen.fact.hammer > first.fact.hammer
    assert risen.replaces == first.id
    worth.keep_finding(shop, finding("C31", "", **LOW), kinds, by="owner", **SUM)
    fallen = worth.freeze(shop, "school", kinds, by="owner", **SUM)
    assert (fallen.fact.hammer, fallen.fact.reason) == (first.fact.hammer, "")


def test_the_frozen_sheet_holds_three_numbers_three_dangers_and_the_whole_sheet(shop, lot, kinds):
    frozen = worth.freeze(shop, "school", kinds, by="owner", **SUM).fact
    sheet = worth.price(shop, "school", kinds, **SUM)
    assert isinstance(frozen, Frozen)
    assert float(frozen.hammer) == sheet.walk_away.amount
    assert float(frozen.all_in) == pytest.approx(sheet.walk_away.all_in, abs=0.005)
    assert (frozen.sorry, frozen.seed, frozen.worlds) == (sheet.walk_away.sorry, 7, SUM["worlds"])
    assert len(frozen.dangers) == 3
    assert frozen.sheet == to_json(sheet)
    assert (frozen.kind_hash, frozen.version) == (sheet.kind_hash, sheet.version)


def test_terms_kept_again_unchanged_add_nothing(shop, lot):
    first = worth.keep_terms(shop, "school", Terms(lot="", asking=Decimal(10)), by="owner")
    assert worth.keep_terms(shop, "school", Terms(lot="", asking=Decimal(10)), by="owner") == first
    assert len(shop.history(first.id)) == 2


def test_both_shops_tell_the_same_price(kinds, tmp_path):
    from tests.fakes.shop import TickingClock

    from retrue.records.facts import Lot, Machine
    from retrue.store.shop import open_shop

    told = []
    disk = open_shop(str(tmp_path / "shop.sqlite"), clock=TickingClock())
    for shop in (FakeShop(), disk):
        worth.new_lot(
            shop,
            Lot(name="one"),
            Terms(lot=""),
            [Machine(lot="", name="lathe", kind="turning_centre")],
            by="owner",
        )
        worth.keep_findings(
            shop,
            "one",
            [Finding(lot="one", machine="lathe", check="C13", answer="seen")],
            kinds,
            quietly=True,
            by="owner",
            id="f",
        )
        told.append(to_json(worth.price(shop, "one", kinds, **SUM)))
    disk.close()
    assert told[0] == told[1]
