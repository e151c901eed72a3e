"""A stranger's body is not read to its end: he is answered, and the line is closed.

Spoken to by ASGI itself (asgi.readthedocs.io, HTTP connection scope), so that what is read can be
counted.
"""

from __future__ import annotations

import anyio
import pytest
from tests.fakes.shop import FakeShop

from retrue.web import limits
from retrue.web.app import app

PIECE = 100_000


def asked(house, length: int, *, address: str = "192.0.2.7", stalls: bool = False):
    """The status, the headers and how much was read of a body of that length."""
    read, sent = 0, []

    async def receive():
        nonlocal read
        if stalls and read:
            await anyio.sleep_forever()
        size = min(PIECE, length - read)
        read += size
        return {"type": "http.request", "body": bytes(size), "more_body": read < length}

    async def send(message):
        sent.append(message)

    scope = {
        "type": "http", "method": "POST", "path": "/note", "raw_path": b"/note",
        "query_string": b"", "root_path": "", "scheme": "http", "http_version": "1.1",
        "headers": [(b"host", b"127.0.0.1:8314"), (b"origin", b"http://127.0.0.1:8314")],
        "client": (address, 50_000), "server": ("127.0.0.1", 8314), "asgi": {"version": "3.0"},
    }  # fmt: skip
    anyio.run(house, scope, receive, send)
    return sent[0]["status"], dict(sent[0]["headers"]), read


@pytest.fixture
def house(kinds, settings, clock):
    return app(shop=FakeShop(), kinds=kinds, clock=clock, settings=settings)


def test_a_short_body_is_read_and_the_line_stays(house):
    status, headers, read = asked(house, 3 * PIECE)
    assert (status, read) == (403, 3 * PIECE)
    assert b"connection" not in headers


def test_a_long_body_is_read_to_a_bound_and_the_line_is_closed(house):
    status, headers, read = asked(house, 500_000_000)
    assert status == 403
    assert read <= limits.STRANGERS_BYTES + 2 * PIECE
    assert headers[b"connection"] == b"close"


def test_a_body_that_stands_still_is_not_waited_for(house, monkeypatch):
    monkeypatch.setattr(limits, "STRANGERS_S", 0.05)
    status, headers, read = asked(house, 500_000, stalls=True)
    assert (status, read) == (403, PIECE)
    assert headers[b"connection"] == b"close"
