"""Pages by their names: all are there, none is loaded before it is asked for, none half made."""

from __future__ import annotations

import asyncio
import inspect
import sys
import threading
from pathlib import Path
from typing import Any

import pytest
from starlette.routing import Route

import retrue.web
from retrue.web import called
from retrue.web.called import load_all, loaded, page
from retrue.web.routes import ROUTES

WAITS = """
import time
time.sleep(0.2)
async def show(request):
    return request
"""


@pytest.fixture
def slow(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A module of pages that takes a while to load."""
    (tmp_path / "slow_pages.py").write_text(WAITS)
    monkeypatch.setattr(retrue.web, "__path__", [*retrue.web.__path__, str(tmp_path)])
    monkeypatch.setattr(called, "_named", dict(called._named))
    monkeypatch.setattr(called, "_ready", set(called._ready))
    whole = "retrue.web.slow_pages"
    monkeypatch.delitem(sys.modules, whole, raising=False)
    monkeypatch.setattr(retrue.web, "slow_pages", None, raising=False)
    return whole


@pytest.mark.parametrize("route", [one for one in ROUTES if isinstance(one, Route)])
def test_every_route_names_a_page_that_is_there(route: Route) -> None:
    found = loaded(route.endpoint.__qualname__)
    assert inspect.iscoroutinefunction(inspect.unwrap(found))
    assert found.__doc__


def test_a_page_is_loaded_when_it_is_first_asked_for(slow: str) -> None:
    show = page("slow_pages:show")
    assert slow not in sys.modules
    assert asyncio.run(show("it")) == "it"
    assert slow in sys.modules


def test_what_nobody_asked_for_is_loaded_with_the_rest(slow: str) -> None:
    page("slow_pages:show")
    load_all()
    assert slow in sys.modules


def test_whoever_asks_while_it_is_loaded_waits_until_it_is_whole(slow: str) -> None:
    show, together = page("slow_pages:show"), threading.Barrier(4)
    told: list[Any] = []

    def ask() -> None:
        together.wait()
        told.append(asyncio.run(show("it")))

    threads = [threading.Thread(target=ask) for _ in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert told == ["it"] * 4
