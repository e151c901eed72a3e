"""Working ahead: the front page is the one that is told without it, and says when it waits."""

from __future__ import annotations

import re
import threading
from collections.abc import Mapping
from typing import Any

import pytest
from starlette.applications import Starlette
from tests.fakes.shop import FakeShop
from tests.web.conftest import Clock
from tests.web.visitor import Visitor, text_of

from retrue.base.say import speaking
from retrue.kinds.library import Kind
from retrue.phases import through
from retrue.records.facts import Finding, Machine
from retrue.web import behind as ahead
from retrue.web.app import Settings, app
from retrue.web.behind import Behind

FRESH = re.compile(r'value="[0-9a-f-]{36}"')  # ids of forms: each page has its own
ANY_S = 60.0


def front(house: Starlette, language: str) -> str:
    owner = Visitor(house)
    owner.headers["accept-language"] = language
    answer = owner.get("/")
    assert answer.status_code == 200
    assert "refresh" not in answer.headers
    return FRESH.sub("", answer.text)


@pytest.mark.parametrize("language", ["en", "nl"])
def test_the_page_is_the_one_that_would_be_told_without_it(
    house: Starlette, lot: str, kinds: Mapping[str, Kind], clock: Clock, settings: Settings,
    language: str,
) -> None:  # fmt: skip
    shop: FakeShop = house.state.shop
    alone = app(shop=shop, kinds=kinds, clock=clock, settings=settings)  # nobody works ahead in it
    with house.state.behind.working():
        with speaking(language):
            assert house.state.behind.ready(ANY_S)
        assert front(house, language) == front(alone, language)
        mill = shop.current(Machine)[0]
        found = Finding(lot=mill.fact.lot, machine=mill.id, fault="F36", answer="present")
        shop.add(found, by="me")
        assert front(house, language) == front(alone, language)
    assert shop.recall(ahead.LANGUAGE) == language.encode()


def test_until_it_is_ready_a_page_says_so_and_looks_again(
    house: Starlette, owner: Visitor, lot: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    may, machines = threading.Event(), through.machines
    waits = threading.Event()

    def slow(*told: Any, **named: Any) -> Any:
        waits.set()
        assert may.wait(ANY_S)
        return machines(*told, **named)

    monkeypatch.setattr("retrue.web.front.WAIT_S", 0.01)
    monkeypatch.setattr(ahead, "FIRST_S", 0.01)
    monkeypatch.setattr(through, "machines", slow)
    with house.state.behind.working():
        assert waits.wait(ANY_S)
        page = owner.get("/")
        assert page.headers["refresh"] == "2"
        assert "looks again by itself" in text_of(page)
        assert f'href="{lot}"' in page.text
        assert "<script>" not in page.text
        may.set()
        assert house.state.behind.ready(ANY_S)
        assert "refresh" not in owner.get("/").headers


def test_another_day_and_another_language_are_worked_out_too(
    house: Starlette, lot: str, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    behind, may, machines = house.state.behind, threading.Event(), through.machines

    def held(*told: Any, **named: Any) -> Any:
        assert may.wait(ANY_S)
        return machines(*told, **named)

    monkeypatch.setattr(through, "machines", held)
    may.set()
    with behind.working():
        assert behind.ready(ANY_S)
        may.clear()  # nothing is worked out meanwhile, however slow this thread is
        clock.passes(days=1)
        assert not behind.ready(0.0)
        may.set()
        assert behind.ready(ANY_S)
        may.clear()
        with speaking("nl"):
            assert not behind.ready(0.0)
            may.set()
            assert behind.ready(ANY_S)
        assert behind.ready(0.0)


def test_what_was_kept_is_worked_out_before_somebody_looks(
    house: Starlette, owner: Visitor, lot: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    done, again = threading.Event(), Behind._again
    monkeypatch.setattr(ahead, "LOOK_S", 0.01)
    with house.state.behind.working():
        assert house.state.behind.ready(ANY_S)

        kept: list[int] = []

        def told(*of: Any) -> None:
            stood = house.state.shop.newest()
            again(*of)
            if kept and stood >= kept[0]:
                done.set()

        monkeypatch.setattr(Behind, "_again", told)
        mill = house.state.shop.current(Machine)[0]
        found = Finding(lot=mill.fact.lot, machine=mill.id, fault="F36", answer="present")
        kept.append(house.state.shop.add(found, by="me").seq)
        assert done.wait(ANY_S)
        assert owner.get("/").status_code == 200
