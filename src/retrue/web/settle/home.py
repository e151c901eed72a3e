"""Money and sale: the front page."""

from __future__ import annotations

from starlette.routing import Route

ROUTES: list[Route] = []
