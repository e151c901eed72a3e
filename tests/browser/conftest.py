"""Debian's Chromium in front of a real server on a shop of its own; each ends with its test."""

from __future__ import annotations

import contextlib
import random
import shutil
import socket
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import Browser, ViewportSize, expect
from starlette.types import ASGIApp
from tests.library import load, priced_once

from retrue.kinds.library import Kind
from retrue.store.shop import SqlShop, open_shop
from retrue.web.app import Settings, app

CHROMIUM = shutil.which("chromium-headless-shell")  # Debian's: no window to draw around a page
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
WORLDS = 200
PATIENCE_MS = 60_000  # for a machine that does other things as well
expect.set_options(timeout=PATIENCE_MS)
PHONE: ViewportSize = {"width": 360, "height": 740}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Without a browser nothing here runs, and the last line of the test command says so."""
    here = Path(__file__).parent
    for item in items:
        if not item.path.is_relative_to(here):
            continue
        item.add_marker(pytest.mark.browser)
        if CHROMIUM is None:
            item.add_marker(pytest.mark.skip(reason="NOT RUN: no chromium-headless-shell here"))


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, Any]:
    return {"executable_path": CHROMIUM, "args": FLAGS, "headless": True}


@pytest.fixture(scope="session")
def browser(browser: Browser) -> Browser:
    """The browser, in which every window waits as long as everything else here does."""
    browser.on("context", lambda context: context.set_default_timeout(PATIENCE_MS))
    return browser


@pytest.fixture
def browser_context_args() -> dict[str, Any]:
    return {
        "viewport": PHONE,
        "has_touch": True,
        "is_mobile": False,
        "locale": "en-GB",
        "reduced_motion": "reduce",
    }


@pytest.fixture(scope="module", autouse=True)
def priced() -> Iterator[None]:
    """What is walked are the pages: the same lot is priced once."""
    with priced_once():
        yield


@pytest.fixture(scope="session")
def kinds() -> Mapping[str, Kind]:
    return load()


@dataclass(frozen=True)
class House:
    """A server that runs, where, and the shop behind it."""

    address: str
    shop: SqlShop


QUIET = range(20_000, 32_000)  # ports that Linux gives to nobody who does not name one


def free_port() -> int:
    """A port that stays free until it is used: no caller and no other test is given it."""
    while True:
        port = random.SystemRandom().choice(QUIET)
        with socket.socket() as free, contextlib.suppress(OSError):
            free.bind(("127.0.0.1", port))
            return port


def now() -> datetime:
    return datetime.now().astimezone()


@contextlib.contextmanager
def answering(made: ASGIApp, port: int) -> Iterator[None]:
    """An application answers on a port, from a thread of its own; stopped in any case."""
    config = uvicorn.Config(made, port=port, log_level="error", lifespan="off")
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run)
    thread.start()
    try:
        deadline = time.monotonic() + PATIENCE_MS / 1000
        while not server.started:
            assert thread.is_alive(), "the server did not start"
            assert time.monotonic() < deadline, "the server does not start"
            time.sleep(0.05)
        yield
    finally:
        server.should_exit = True
        thread.join(PATIENCE_MS / 1000)


@contextlib.contextmanager
def serving(
    kinds: Mapping[str, Kind], folder: Path, clock: Callable[[], datetime] = now, **more: Any
) -> Iterator[House]:
    """A server on a free port, its shop in a folder, with more settings; stopped in any case."""
    port = free_port()
    shop = open_shop(str(folder / "shop.sqlite"), clock=clock)
    settings = Settings(
        secret="only for tests",
        port=port,
        lan="127.0.0.1",
        edition="retrue",
        worlds=WORLDS,
        **more,
    )
    made = app(shop=shop, kinds=kinds, clock=clock, settings=settings)
    try:
        with answering(made, port):
            yield House(f"http://127.0.0.1:{port}", shop)
    finally:
        shop.close()


@pytest.fixture(scope="module")
def house(kinds: Mapping[str, Kind], tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    with serving(kinds, tmp_path_factory.mktemp("shop")) as running:
        yield running
