"""What an hour of the machine costs."""

from __future__ import annotations

from starlette.routing import Route

ROUTES: list[Route] = []
