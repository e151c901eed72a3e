"""Pricing a catalogue on its page is stopped and gone on with; nothing is done twice."""

from __future__ import annotations

import threading
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from tests.fakes.shop import FakeShop
from tests.web.conftest import Clock
from tests.web.visitor import Visitor, text_of

from retrue.cases.screen.parts import Here, Part, PartDone, Work
from retrue.kinds.library import Kind
from retrue.records.screening import PartScreened
from retrue.web.app import Settings, app

Kinds = Mapping[str, Kind]
LONG_S = 120.0  # a machine that does other things as well


class Halting:
    """Does one part, then waits until it is let go on."""

    def __init__(self) -> None:
        self.first, self.on = threading.Event(), threading.Event()

    def run(
        self, work: Work, parts: Sequence[Part], kinds: Mapping[str, Kind]
    ) -> Iterator[PartDone]:
        for one in Here().run(work, parts, kinds):
            yield one
            self.first.set()
            assert self.on.wait(LONG_S)


def test_it_stops_and_goes_on_where_it_was(kinds: Kinds, clock: Clock, settings: Settings) -> None:
    """Of 60 lots a part of 25 is done; after Go on the other two, and no part twice."""
    spread = Halting()
    house = app(shop=FakeShop(clock), kinds=kinds, clock=clock,
                settings=replace(settings, spread=spread))  # fmt: skip
    me, shop, screener = Visitor(house), house.state.shop, house.state.screener
    cupboards = "lot;description\n" + "".join(f"{n};cupboard\n" for n in range(60))
    path = me.post(
        "/screen",
        {"name": "cupboards"},
        [("table", ("sale.csv", cupboards.encode(), "text/csv"))],
        follow=False,
    ).headers["location"]
    catalogue = path.rpartition("/")[2]
    me.post(f"{path}/work", {"how": "go"})
    assert spread.first.wait(LONG_S)
    page = me.get(path)
    assert "25 of 60 lots." in text_of(page)
    assert 'id="progress"' in page.text
    assert 'http-equiv="refresh"' in page.text  # without a script as well
    me.post(f"{path}/work", {"how": "stop"})
    spread.on.set()
    screener.wait(catalogue, LONG_S)
    assert len(shop.current(PartScreened)) < 3
    stopped = text_of(me.get(path))
    assert "Go on" in stopped
    assert "Look again" not in stopped
    me.post(f"{path}/work", {"how": "go"})
    screener.wait(catalogue, LONG_S)
    assert sorted(one.fact.part for one in shop.current(PartScreened)) == [0, 1, 2]
    assert "Worth a bid, of 60 lots none" in text_of(me.get(path))
