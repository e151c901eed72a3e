"""A kept catalogue: once, read by all, worked on by parts that nobody else has.

Held against: RFC 9562 (UUID version 5) by SHA-1 of the standard library; one run that is alone.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from tests.cases.priced import kinds
from tests.fakes.shop import FakeShop
from tests.phases.worth.sale import NAME, WORLDS, Counting, buying, keep, said, table

from retrue.base.refusals import NotYet, Overtaken, Refusal, Unknown, Unreadable, Unusable
from retrue.base.say import sentences, speaking
from retrue.cases.screen.done_text import done_of
from retrue.cases.screen.parts import PartDone
from retrue.phases import diary, worth
from retrue.phases.worth.screen_ids import SPACE, same_id
from retrue.records.chain import verify_chain
from retrue.records.facts import Shop
from retrue.records.screening import Catalogue, CatalogueContent, PartScreened, Share

NOW = datetime(2026, 11, 26, 20, 0, tzinfo=UTC)


@pytest.fixture
def shop() -> FakeShop:
    return FakeShop(lambda: NOW)


def run(shop: Any, spread: Any = None, by: str = "An", worker: str = "one", **more: Any) -> int:
    asked: dict[str, Any] = {"worlds": WORLDS, "clock": lambda: NOW} | more
    return worth.run_parts(shop, NAME, kinds(), spread or Counting(), worker=worker, by=by, **asked)


@pytest.fixture(scope="module")
def screened() -> tuple[str, ...]:
    """What one run that is alone says of every part."""
    alone = FakeShop()
    buying(alone)
    keep(alone)
    run(alone, at_once=4)
    return tuple(one.fact.content for one in alone.current(PartScreened))


def contents(shop: FakeShop) -> tuple[str, ...]:
    parts = sorted(shop.current(PartScreened), key=lambda one: one.fact.part)
    return tuple(one.fact.content for one in parts)


def refused(deed: Callable[[], object], kind: type[Refusal]) -> Refusal:
    with pytest.raises(kind) as told:
        deed()
    return told.value


def test_everybody_makes_the_same_id_of_the_same_words():
    """RFC 9562, section 5.5: SHA-1 over space and name, with version and variant set."""
    digest = bytearray(hashlib.sha1(SPACE.bytes + b"share\x1fc1\x1f3").digest()[:16])
    digest[6], digest[8] = digest[6] & 0x0F | 0x50, digest[8] & 0x3F | 0x80
    assert same_id("share", "c1", 3).replace("-", "") == digest.hex()


def test_one_file_is_one_catalogue_whoever_keeps_it(shop: FakeShop):
    first = keep(shop)
    again = worth.keep_catalogue(shop, table(), said(name="that sale"), kinds(), by="Bo")
    assert again == first
    other = refused(
        lambda: worth.keep_catalogue(shop, table(), said(premium=0.2), kinds(), by="Bo"), Overtaken
    )
    assert other.reason == "this catalogue is kept already as school sale, by An"
    assert [one.where for one in other.problems] == ["premium"]
    refused(lambda: worth.keep_catalogue(shop, table(9), said(), kinds(), by="Bo"), Unusable)
    assert len(shop.current(Catalogue)) == len(shop.current(CatalogueContent)) == 1
    assert worth.catalogue_content(shop, first.fact) == table()


def test_a_catalogue_that_was_taken_back_is_kept_again(shop: FakeShop):
    first = keep(shop, machines=False)
    run(shop)
    diary.take_back(shop, first.id, by="An", rooms={})
    assert worth.catalogues(shop) == []
    second = keep(shop, by="Bo", machines=False)
    assert second.id != first.id
    assert worth.state_of(shop, NAME).begun is None
    assert run(shop, by="Bo") == 2


def test_what_is_no_table_is_not_kept_and_what_asks_for_a_word_is(shop: FakeShop):
    refused(lambda: worth.keep_catalogue(shop, b"\x00" * 99, said(), kinds(), by="An"), Unreadable)
    assert worth.catalogues(shop) == []
    odd = table().replace(b"title", b"zwq")
    kept = worth.keep_catalogue(shop, odd, said(), kinds(), by="An")
    refused(lambda: worth.listing_of(shop, NAME, kinds()), Unusable)
    worth.correct_catalogue(shop, kept.id, columns=(("title", "zwq"),), by="Bo")
    assert len(worth.listing_of(shop, NAME, kinds()).lots) == 30
    with pytest.raises(Unknown, match="no catalogue “school sala”"):
        worth.find_catalogue(shop, "school sala")


def test_a_run_does_every_part_once_and_says_how_far_it_is(shop: FakeShop, screened):
    buying(shop)
    keep(shop)
    told: list[tuple[int, int]] = []
    spread = Counting()
    assert run(shop, spread, told=lambda done, of: told.append((done, of))) == 2
    assert (spread.worked, told) == ([0, 1], [(1, 2), (2, 2)])
    state = worth.state_of(shop, NAME, kinds())
    assert (state.parts, state.done, state.left, state.lots) == (2, 2, 0, 30)
    assert (state.ready, state.stopped, state.changed, state.shares) == (True, False, False, ())
    assert [row.number for row in state.rows] == [str(number) for number in range(1, 31)]
    assert state.rows[0].walk_away > 0
    assert {one.fact.who for one in state.every_share} == {"An"}
    assert contents(shop) == screened
    assert run(shop, by="Bo", worker="two") == 0
    assert verify_chain(shop) == []


def test_in_another_language_the_same_is_kept_and_it_is_read_in_ones_own(
    shop: FakeShop, screened, monkeypatch
):
    buying(shop)
    keep(shop)
    with speaking("nl"):
        run(shop)
        assert worth.state_of(shop, NAME, kinds()).changed is False
    assert contents(shop) == screened
    why = worth.row_of(shop, NAME, "3").why
    monkeypatch.setitem(sentences("nl"), str(why), "geen machine")
    with speaking("nl"):
        assert (f"{why}", why == "geen machine") == ("geen machine", False)


def test_a_part_that_somebody_has_is_left_to_him_until_it_was_left_alone(shop: FakeShop):
    keep(shop, machines=False)
    begun = worth.begin_screening(shop, NAME, kinds(), worlds=WORLDS, by="An").fact
    mine = worth.take_part(shop, begun, 0, worker="one", now=NOW, by="An")
    assert worth.take_part(shop, begun, 0, worker="one", now=NOW, by="An") == mine
    for by in ("An", "Bo"):  # another run of the same person as well
        with pytest.raises(Overtaken) as said_so:
            worth.take_part(shop, begun, 0, worker="two", now=NOW, by=by)
        told = said_so.value
        assert told.reason.startswith("An has had this part since ")
    late = NOW + timedelta(minutes=10)
    almost = late - timedelta(seconds=1)
    refused(lambda: worth.take_part(shop, begun, 0, worker="x", now=almost, by="Bo"), Overtaken)
    taken = worth.take_part(shop, begun, 0, worker="two", now=late, by="Bo")
    assert (taken.replaces, taken.fact.who) == (mine.id, "Bo")
    refused(lambda: worth.take_part(shop, begun, 0, worker="one", now=NOW, by="An"), Overtaken)
    assert worth.leave_part(shop, begun, 0, worker="one", by="An") is None
    assert worth.leave_part(shop, begun, 0, worker="two", by="Bo").fact.state == "left"
    assert run(shop, by="Ce") == 2


def test_the_same_answer_twice_is_no_error_and_another_one_is_refused(shop: FakeShop):
    keep(shop, machines=False)
    run(shop)
    begun = worth.begun_of(shop, worth.catalogue_id(shop, NAME)).fact
    first = shop.current(PartScreened)[0]
    done = done_of(first.fact.content)
    assert worth.keep_part(shop, begun, done, by="Bo") == first
    other = PartDone(number=done.number, rows=done.rows[1:])
    told = refused(lambda: worth.keep_part(shop, begun, other, by="Bo"), Overtaken)
    assert told.reason == "part 1 was worked out otherwise on another computer"
    assert len(shop.current(PartScreened)) == 2


def test_one_who_comes_late_with_a_part_that_was_taken_over_is_thanked(shop: FakeShop, screened):
    buying(shop)
    keep(shop)
    begun = worth.begin_screening(shop, NAME, kinds(), worlds=WORLDS, by="An").fact
    worth.take_part(shop, begun, 1, worker="one", now=NOW, by="An")
    worth.take_part(shop, begun, 1, worker="two", now=NOW + timedelta(hours=1), by="Bo")
    late = done_of(screened[1])
    kept = worth.keep_part(shop, begun, late, by="An")
    assert worth.keep_part(shop, begun, late, by="Bo") == kept
    assert worth.state_of(shop, NAME).done == 1


@pytest.mark.parametrize("how", ["breaks", "not wanted", "stopped"])
def test_what_was_in_hand_is_given_back_and_the_rest_goes_on(shop: FakeShop, how: str):
    keep(shop, machines=False)
    if how == "breaks":
        with pytest.raises(RuntimeError):
            run(shop, Counting(breaks_at=1), at_once=4)
    elif how == "not wanted":
        asked = iter([True, False])
        assert run(shop, at_once=4, going=lambda: next(asked, False)) == 1
    else:

        def stop(done: int, of: int) -> None:
            worth.stop_screening(shop, NAME, by="Bo")

        assert run(shop, at_once=4, told=stop) == 1
        assert worth.state_of(shop, NAME).stopped
        worth.go_on_screening(shop, NAME, by="Bo")
    assert [one.fact.state for one in worth.state_of(shop, NAME).every_share] == ["done", "left"]
    assert run(shop, by="Bo", worker="two") == 1
    assert len(contents(shop)) == 2
    assert worth.state_of(shop, NAME).ready


def test_what_it_rests_on_has_changed_and_is_said_before_anything_is_mixed(shop: FakeShop):
    keep(shop)
    run(shop)
    worth.keep_shop(shop, Shop(hours_a_week=3.0), by="An")
    assert worth.state_of(shop, NAME, kinds()).changed is True
    told = refused(lambda: run(shop, by="Bo"), Overtaken)
    assert told.reason == "An began to screen this catalogue from something else"
    told = refused(lambda: run(shop, by="Bo", again=False, seed=8), Overtaken)
    assert [str(one) for one in told.problems] == ["seed: is 8, and was 7 when it was begun."]
    assert run(shop, by="Bo", again=True) == 2
    state = worth.state_of(shop, NAME, kinds())
    assert (state.done, state.changed, len(state.rows)) == (2, False, 30)
    assert len(shop.current(PartScreened)) == 4  # what was done before stays readable
    assert {one.fact.who for one in state.every_share} == {"Bo"}


def test_one_who_works_for_what_was_begun_anew_ends(shop: FakeShop):
    keep(shop, machines=False)

    def anew(done: int, of: int) -> None:
        worth.begin_screening(shop, NAME, kinds(), seed=8, again=True, by="Bo")

    assert run(shop, told=anew) == 1
    assert worth.state_of(shop, NAME).every_share == ()
    assert {one.fact.state for one in shop.current(Share)} == {"done"}


def test_nothing_is_stopped_that_was_not_begun(shop: FakeShop):
    keep(shop, machines=False)
    refused(lambda: worth.stop_screening(shop, NAME, by="An"), NotYet)
    state = worth.state_of(shop, NAME, kinds())
    assert (state.begun, state.parts, state.rows, state.ready) == (None, 0, (), False)
