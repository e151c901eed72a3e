"""The surplus one: ask, take, let go; offers."""

from __future__ import annotations

from starlette.routing import Route

ROUTES: list[Route] = []
