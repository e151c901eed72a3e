"""Every route of money and sale, on one list."""

from __future__ import annotations

from starlette.routing import Route

from retrue.web.settle import (
    after,
    book,
    bring,
    close,
    cost,
    home,
    hours,
    post,
    rate,
    record,
    sell,
    versus,
)

ROUTES: list[Route] = [
    *home.ROUTES,
    *book.ROUTES,
    *post.ROUTES,
    *bring.ROUTES,
    *hours.ROUTES,
    *cost.ROUTES,
    *rate.ROUTES,
    *versus.ROUTES,
    *sell.ROUTES,
    *record.ROUTES,
    *after.ROUTES,
    *close.ROUTES,
]
