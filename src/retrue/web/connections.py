"""Who holds a line: one that says nothing is let go, and nobody holds all lines there are."""

from __future__ import annotations

import asyncio
from collections import Counter
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

HEAD_S = 15.0  # until the head of a request is whole; a telephone at the far wall needs a few
LINES_OF_ONE = 48  # at once from one address; a browser opens six to a server
HERE = frozenset({"127.0.0.1", "::1"})

open_lines: Counter[str] = Counter()
"""How many lines each address holds at the moment; one that holds none is not named."""


class Line(H11Protocol):
    """One line to a browser; RFC 9112, 9.5 allows either side to close one that stands idle."""

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        self._host = ""
        self._patience: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Count it; one too many from the same address is not even listened to."""
        super().connection_made(transport)
        self._host = self.client[0] if self.client else ""
        open_lines[self._host] += 1
        if open_lines[self._host] > LINES_OF_ONE and self._host not in HERE:
            transport.abort()
            return
        self._wait_for_a_head()

    def connection_lost(self, exc: Exception | None) -> None:
        """Count it no more."""
        super().connection_lost(exc)
        if self._patience is not None:
            self._patience.cancel()
        open_lines[self._host] -= 1
        if open_lines[self._host] <= 0:
            del open_lines[self._host]

    def handle_events(self) -> None:
        """Go on; when a request was answered, the next head has its own time."""
        super().handle_events()
        if self._patience is None and self.conn.their_state is h11.IDLE:
            self._wait_for_a_head()

    def _wait_for_a_head(self) -> None:
        self._patience = self.loop.call_later(HEAD_S, self._no_head)

    def _no_head(self) -> None:
        self._patience = None
        if self.conn.their_state is h11.IDLE and not self.transport.is_closing():
            self.transport.abort()
