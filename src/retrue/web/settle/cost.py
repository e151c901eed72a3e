"""What it cost, and what was expected."""

from __future__ import annotations

from starlette.routing import Route

ROUTES: list[Route] = []
