"""Put a line in the book, in plain words."""

from __future__ import annotations

from starlette.routing import Route

ROUTES: list[Route] = []
