"""Lines that say nothing are let go; one address does not hold all of them."""

from __future__ import annotations

import asyncio
import contextlib
import socket
import threading
import time
from collections.abc import Iterator

import httpx
import pytest
import uvicorn
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.routing import Route

from retrue.web import connections
from retrue.web.connections import Line, open_lines


async def hello(_: Request) -> PlainTextResponse:
    return PlainTextResponse("hello")


LITTLE_S, LONG_S = 0.8, 60.0  # a busy machine may stand still for a while


async def slow(_: Request) -> PlainTextResponse:
    await asyncio.sleep(1.25 * LITTLE_S)
    return PlainTextResponse("slow")


@pytest.fixture
def patience_s() -> float:
    """Until the head of a request must be whole."""
    return LITTLE_S


@pytest.fixture
def door(patience_s: float, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[str, int]]:
    """A server with little patience, for which this machine is a stranger."""
    monkeypatch.setattr(connections, "HEAD_S", patience_s)
    monkeypatch.setattr(connections, "LINES_OF_ONE", 5)
    monkeypatch.setattr(connections, "HERE", frozenset())
    listening = socket.create_server(("127.0.0.1", 0))
    made = Starlette(routes=[Route("/", hello), Route("/slow", slow)])
    server = uvicorn.Server(uvicorn.Config(made, http=Line, log_level="error", lifespan="off"))
    thread = threading.Thread(target=server.run, args=([listening],))
    thread.start()
    try:
        while not server.started:
            time.sleep(0.01)
        yield listening.getsockname()
    finally:
        server.should_exit = True
        thread.join(LONG_S)
        listening.close()


def ended(line: socket.socket) -> bool:
    """Whether the other side let go, within what a busy machine needs."""
    line.settimeout(LONG_S)
    try:
        return line.recv(1) == b""
    except ConnectionResetError:
        return True


def test_a_head_that_stops_half_way_is_let_go(door: tuple[str, int]) -> None:
    with socket.create_connection(door) as line:
        line.sendall(b"GET / HTTP/1.1\r\nHost")
        assert ended(line)


def test_so_is_the_second_head_of_a_line_that_was_answered_once(door: tuple[str, int]) -> None:
    with socket.create_connection(door) as line:
        line.sendall(b"GET / HTTP/1.1\r\nHost: a\r\n\r\nGET / HT")
        line.settimeout(LONG_S)
        got = b""
        with contextlib.suppress(ConnectionResetError):
            while piece := line.recv(4096):
                got += piece
        assert got.startswith(b"HTTP/1.1 200")
        assert got.count(b"HTTP/1.1") == 1


@pytest.mark.parametrize("patience_s", [LONG_S])
def test_one_address_does_not_hold_all_lines(door: tuple[str, int]) -> None:
    with contextlib.ExitStack() as held:
        lines = [held.enter_context(socket.create_connection(door)) for _ in range(8)]
        for line in lines[:5]:
            line.sendall(b"GET / HTTP/1.1\r\n")
        assert all(ended(line) for line in lines[5:])
    deadline = time.monotonic() + LONG_S
    while open_lines and time.monotonic() < deadline:
        time.sleep(0.01)
    assert not open_lines  # nobody is remembered who holds none
    assert httpx.get(f"http://{door[0]}:{door[1]}/", timeout=LONG_S).text == "hello"


def test_an_answer_may_take_longer_than_a_head(door: tuple[str, int]) -> None:
    with httpx.Client(timeout=LONG_S) as client:  # one line for both
        for path, said in (("/slow", "slow"), ("/", "hello")):
            assert client.get(f"http://{door[0]}:{door[1]}{path}").text == said
