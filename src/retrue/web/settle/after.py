"""After the sale: promises and questions."""

from __future__ import annotations

from starlette.routing import Route

ROUTES: list[Route] = []
