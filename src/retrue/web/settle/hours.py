"""Own hours: one tap an evening."""

from __future__ import annotations

from starlette.routing import Route

ROUTES: list[Route] = []
