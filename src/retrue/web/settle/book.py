"""The book: its lines, one line, what stands where."""

from __future__ import annotations

from starlette.routing import Route

ROUTES: list[Route] = []
