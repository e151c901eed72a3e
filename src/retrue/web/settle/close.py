"""A machine closed: what we guessed, what was."""

from __future__ import annotations

from starlette.routing import Route

ROUTES: list[Route] = []
