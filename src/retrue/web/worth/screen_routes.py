"""The pages of catalogues, in the order in which an address is looked for."""

from __future__ import annotations

from starlette.routing import Route

from retrue.web.worth import screen, screen_bids, screen_files, screen_lot, screen_read

ROUTES: list[Route] = [
    *screen.ROUTES,
    *screen_read.ROUTES,
    *screen_lot.ROUTES,
    *screen_bids.ROUTES,
    *screen_files.ROUTES,
]
