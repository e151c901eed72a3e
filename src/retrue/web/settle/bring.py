"""A bank file or a parts list: shown before it is kept."""

from __future__ import annotations

from starlette.routing import Route

ROUTES: list[Route] = []
