"""A machine is closed: every line against its guess; prices learn; others are given it unnamed."""

from __future__ import annotations

import json
from collections.abc import Mapping
from decimal import Decimal

import pytest
from tests.closed import BY, FAULT, ON, TYPED, opened
from tests.fakes.shop import FakeShop

from retrue.base.refusals import NotYet, Unreadable
from retrue.base.say import speaking
from retrue.cases.learned_kinds import kinds_taught
from retrue.cases.settle.closed_case import ClosedCase, ComparedRow, read_case
from retrue.kinds.learned_ranges import middle
from retrue.kinds.library import Kind
from retrue.kinds.spoken import spoken
from retrue.phases import find, settle, worth
from retrue.phases.settle.closing import closing
from retrue.records.facts import Finding, Lot, Machine, Terms
from retrue.records.settling import Posting
from retrue.records.shop import RecordShop

Kinds = Mapping[str, Kind]


@pytest.fixture
def home() -> tuple[RecordShop, str, str]:
    return opened()


def rows(case: ClosedCase, sort: str) -> dict[str, ComparedRow]:
    return {row.line: row for row in case.rows if row.sort == sort}


def test_every_line_that_was_paid_worked_or_waited_for_stands_beside_its_range(home, kinds: Kinds):
    shop, lot, key = home
    case = closing(shop, lot, key, kinds, on=ON).case
    kind = kinds["vertical_machining_centre"]
    paid = rows(case, "money")["E11"]
    said = kind.costs["E11"].amount
    assert (paid.was, paid.guessed) == (1900.0, middle(said))
    assert (paid.low, paid.high, paid.stands) == (said.low, said.high, "above")
    assert rows(case, "hours")["J05"].was == 3.5
    assert rows(case, "days")[f"{FAULT}:outside"].was == 40.0
    assert rows(case, "bucket")["other"].stands == "not_foreseen"
    assert rows(case, "total")["hours"].was == 3.5


def test_faults_are_guessed_with_what_was_known_when_the_bid_was_frozen(home, kinds: Kinds):
    shop, lot, key = home
    case = closing(shop, lot, key, kinds, on=ON).case
    seen = rows(case, "fault")[FAULT]
    assert (seen.was, seen.stands) == (1.0, "was")
    assert seen.guessed == pytest.approx(seen.base)  # nothing was found before
    assert {row.was for id, row in rows(case, "fault").items() if id != FAULT} == {None}
    assert case.brier == pytest.approx((1.0 - seen.guessed) ** 2)


def test_what_was_found_before_the_freezing_counts_and_what_came_after_does_not(kinds: Kinds):
    shop, lot, key = opened()
    before = rows(closing(shop, lot, key, kinds, on=ON).case, "fault")
    find.teardown(shop, lot, key, "F36", False, kinds, **BY)
    after = rows(closing(shop, lot, key, kinds, on=ON).case, "fault")
    assert after["F36"].stands == "not"
    assert {id: row.guessed for id, row in after.items()} == {
        id: row.guessed for id, row in before.items()
    }


def test_nothing_to_compare_is_not_closed(kinds: Kinds):
    shop = FakeShop()
    mill = Machine(lot="", name="mill", kind="vertical_machining_centre")
    view = worth.new_lot(shop, Lot(name="school"), Terms(lot=""), [mill], **BY)
    with pytest.raises(NotYet, match="nothing of mill"):
        settle.close(shop, view.id, "mill", "sold", kinds, on=ON, **BY)


def test_prices_learn_when_it_is_closed_and_not_before(home, kinds: Kinds):
    shop, lot, key = home
    assert kinds_taught(shop, kinds) is kinds
    settle.close(shop, lot, key, "keeps_working", kinds, on=ON, changes="ask twice", **BY)
    taught = kinds_taught(shop, kinds)["vertical_machining_centre"]
    shipped = kinds["vertical_machining_centre"]
    assert taught.costs["E11"].amount.likely > shipped.costs["E11"].amount.likely
    assert taught.jobs["J05"].hours != shipped.jobs["J05"].hours
    assert taught.faults[FAULT].prior > shipped.faults[FAULT].prior
    made = closing(shop, lot, key, kinds, on=ON)
    moved = next(one for one in made.moved if (one.line, one.what) == ("E11", "money"))
    assert moved.before == shipped.costs["E11"].amount
    assert moved.after.likely == pytest.approx(taught.costs["E11"].amount.likely)


def test_what_was_learned_speaks_the_readers_language_whoever_asked_first(home, kinds: Kinds):
    shop, lot, key = home
    settle.close(shop, lot, key, "keeps_working", kinds, on=ON, **BY)
    bare = kinds_taught(shop, kinds)["vertical_machining_centre"].faults[FAULT].name
    told = kinds_taught(shop, spoken(kinds))["vertical_machining_centre"].faults[FAULT].name
    with speaking("nl"):
        assert (f"{bare}" == bare, f"{told}" == bare) == (True, False)


def test_the_price_is_reckoned_with_what_was_learned(home, kinds: Kinds):
    shop, lot, key = home
    dear = worth.price(shop, lot, kinds, worlds=200).kind_hash
    settle.close(shop, lot, key, "keeps_working", kinds, on=ON, **BY)
    assert worth.price(shop, lot, kinds, worlds=200).kind_hash != dear


def test_what_a_finding_moves_is_reckoned_with_what_was_learned_before_as_after(home, kinds: Kinds):
    shop, lot, key = home
    settle.close(shop, lot, key, "keeps_working", kinds, on=ON, **BY)
    mill = Machine(
        lot="",
        name="mill",
        kind="vertical_machining_centre",
        age_years=12,
        new_price=Decimal(90_000),
    )
    other = worth.new_lot(shop, Lot(name="other"), Terms(lot="", premium=0.1), [mill], **BY).id
    stood = worth.price(shop, other, kinds, worlds=200).walk_away.amount
    heard = Finding(lot=other, machine="mill", fault="F06", answer="present")
    judged = worth.keep_finding(shop, heard, kinds, worlds=200, **BY)
    assert judged.amounts[0] == stood != judged.amounts[1]
    back = worth.withdraw(shop, judged.kept[0].id, kinds, worlds=200, **BY)
    assert back.amounts == (judged.amounts[1], stood)


def test_closed_it_stays_as_it_was_whatever_is_posted_later(home, kinds: Kinds):
    shop, lot, key = home
    first = settle.close(shop, lot, key, "keeps_working", kinds, on=ON, changes="ask twice", **BY)
    late = Posting(
        sort="paid", posted_on="2026-11-25", what="late bill", amount=Decimal(900), lot=lot,
        machine=key, bucket="outside",
    )  # fmt: skip
    settle.post(shop, late, on=ON, **BY)
    made = closing(shop, lot, key, kinds, on=ON)
    assert made.case == read_case(first.fact.compared)
    assert (made.closed_on, made.changes) == ("2026-11-26", "ask twice")
    again = settle.close(shop, lot, key, "keeps_working", kinds, on=ON, **BY)
    assert (again.replaces, len(settle.closed(shop))) == (first.id, 1)
    same = settle.close(shop, lot, key, "keeps_working", kinds, on=ON, **BY)
    assert same.id == again.id


def test_what_leaves_the_shop_names_nobody_and_holds_nothing_that_was_typed(home, kinds: Kinds):
    shop, lot, key = home
    with pytest.raises(NotYet, match="no machine is closed"):
        settle.share(shop)
    settle.close(shop, lot, key, "sold", kinds, on=ON, changes="my own words", **BY)
    text = settle.share(shop)
    for name in ("school", '"mill', "Somebody", TYPED, "coffee", "owner", "my own", "2026-", key):
        assert name not in text, name
    (case,) = json.loads(text)["cases"]
    assert (case["age_years"], case["year"]) == (25.0, 2026)


def test_another_shop_takes_it_in_once_at_half_its_weight(home, kinds: Kinds):
    shop, lot, key = home
    settle.close(shop, lot, key, "sold", kinds, on=ON, **BY)
    told = settle.share(shop).encode()
    other = FakeShop()
    assert len(settle.look_in(other, told, "theirs.json", kinds).cases) == 1
    kept = settle.take_in(other, told, "theirs.json", kinds, on=ON, text="from a friend", **BY)
    assert kept is not None
    assert settle.take_in(other, told, "again.json", kinds, on=ON, **BY) is None
    assert settle.take_in(shop, told, "mine.json", kinds, on=ON, **BY) is None  # one's own
    settle.close(shop, lot, key, "scrapped", kinds, on=ON, **BY)
    less = settle.share(shop, without=("fault",)).encode()
    for home in (shop, other):  # closed anew, and given in part: the same machine
        assert settle.look_in(home, less, "less.json", kinds).cases == ()
    own = kinds_taught(shop, kinds)["vertical_machining_centre"].costs["E11"].amount.likely
    half = kinds_taught(other, kinds)["vertical_machining_centre"].costs["E11"].amount.likely
    shipped = kinds["vertical_machining_centre"].costs["E11"].amount.likely
    assert shipped < half < own


def test_a_file_that_does_not_fit_leaves_nothing(kinds: Kinds):
    shop = FakeShop()
    with pytest.raises(Unreadable):
        settle.take_in(shop, b'{"form": "closed machines"}', "x.json", kinds, on=ON, **BY)
    assert kinds_taught(shop, kinds) is kinds
