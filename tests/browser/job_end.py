"""After it all: a word from the first evening is found, taken back, brought back; all is whole."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal

from playwright.sync_api import expect
from tests.browser.job_buy import NOTED
from tests.browser.job_house import JobHouse, Owner
from tests.browser.test_prove import cells

from retrue.phases import settle
from retrue.records.chain import verify_chain
from retrue.records.facts import CostLine, Fact, File, Frozen, Machine, Note, Outcome, Withdrawn
from retrue.records.fixing import Chosen, Out, PlanKept, Quoted, Rung
from retrue.records.measuring import Reading, ReadingSet
from retrue.records.moving import Arrived, DataCopy, LaidUp, Planned, Round
from retrue.records.seeking import Trouble
from retrue.records.settling import (
    CaseClosed,
    ForSale,
    HoursTold,
    Offered,
    Posting,
    Promised,
    RecordGiven,
)
from retrue.records.stripping import Cleaned, PutBack, Taken, Ticked
from retrue.records.waking import Sensed, WatchBegun, WatchEnded

# What was done by tapping and typing, and so what is kept: the same on phone and laptop.
KEPT: dict[type[Fact], int] = {
    Machine: 2, CostLine: 1, Frozen: 1, Outcome: 1, Planned: 2, DataCopy: 1, Arrived: 2,
    LaidUp: 1, Round: 1, Ticked: 3, Cleaned: 1, Taken: 1, PutBack: 1, Trouble: 2, Chosen: 1,
    Quoted: 1, Out: 1, Rung: 1, PlanKept: 1, WatchBegun: 1, WatchEnded: 1,
    ReadingSet: 2, Sensed: 2, HoursTold: 1, Posting: 4, ForSale: 1, Offered: 1, Promised: 1,
    RecordGiven: 1, CaseClosed: 1,
}  # fmt: skip
SPENT = Decimal("435.60") + Decimal("411.40") + Decimal("1185.80")  # receipt and bank file
SOLD_FOR = Decimal(4200)


def found_again(owner: Owner) -> None:
    """A word noted on the first evening leads to its record; it is taken back and comes again."""
    owner.opens("/search")
    form = owner.form("/search")
    owner.types(form, words=NOTED.split()[0])
    owner.sends(form)
    owner.turn(owner.page.locator('#main a[href^="/kept/"]').first)
    owner.reads(NOTED)
    owner.sends(owner.form("/back"))
    assert noted(owner.house) == 0
    owner.turn(owner.form("/again").locator("button").first)
    assert noted(owner.house) == 1
    owner.opens("/")
    expect(owner.page.locator("#main")).to_contain_text("Turning centre")


def noted(house: JobHouse) -> int:
    """How often the note of the first evening counts."""
    return sum(one.fact.text == NOTED for one in house.shop.current(Note))


def whole(house: JobHouse) -> None:
    """The chain fits; each act is there once; every line of the book is somebody's."""
    shop = house.shop
    assert verify_chain(shop) == []
    assert {kind: len(shop.current(kind)) for kind in KEPT} == KEPT
    typed = len(cells("level")) + len(cells("positioning"))
    assert len(shop.current(Reading)) == typed
    assert {one.fact.media_type for one in shop.current(File)} >= {"image/jpeg", "image/png"}
    rows = Counter(row.kind for row in shop.rows())
    assert rows[Withdrawn.KIND] >= 1
    book = settle.book(shop, on=house.days.now().date())
    assert book.balanced
    posted = [one for one in book.lines if one.state == "posted"]
    assert sum(one.in_shop for one in posted) == SPENT - SOLD_FOR
    assert all(one.in_shop == sum(each.amount for each in one.shares) for one in book.lines)
