"""All routes as one: an address is held only against those that begin like it and are as long."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeGuard

from starlette.routing import BaseRoute, Match, Route
from starlette.types import Receive, Scope, Send

Ends = tuple[int, str]  # how many parts an address has, and its first


class Signpost(BaseRoute):
    """Leads to the route that the router would find, without asking every one of hundreds.

    Parameters
    ----------
    routes : sequence of BaseRoute
        All there are, in the order in which they are asked.

    Examples
    --------
    >>> async def page(request): ...
    >>> post = Signpost([Route("/lots/new", page), Route("/lots/{lot}", page)])
    >>> scope = {"type": "http", "method": "GET", "path": "/lots/new"}
    >>> post.matches(scope)[1]["route"].path
    '/lots/new'
    >>> post.matches(scope | {"path": "/lots/new/more"})[0]
    <Match.NONE: 0>
    """

    def __init__(self, routes: Sequence[BaseRoute]) -> None:
        self.routes = tuple(routes)
        each = [_ends(one.path) if _is_plain(one) else None for one in self.routes]
        self._beside = {
            ends: [one for one, mine in zip(self.routes, each, strict=True) if mine in (None, ends)]
            for ends in each
            if ends is not None
        }
        self._others = [one for one in self.routes if not _is_plain(one)]

    def matches(self, scope: Scope) -> tuple[Match, Scope]:
        """How well it fits, as the first that fits whole has it, else the first that fits."""
        if scope["type"] != "http":
            return Match.NONE, {}
        partly: tuple[Match, Scope] = Match.NONE, {}
        for route in self._beside.get(_ends(scope["path"]), self._others):
            match, told = route.matches(scope)
            if match is Match.FULL:
                return match, {**told, "route": route}
            if match is Match.PARTIAL and partly[0] is Match.NONE:
                partly = match, {**told, "route": route}
        return partly

    async def handle(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let the route answer that was found."""
        await scope["route"].handle(scope, receive, send)


def _is_plain(route: BaseRoute) -> TypeGuard[Route]:
    """Whether each part of its address is one part of those that fit it, the first as it stands."""
    return (
        isinstance(route, Route)
        and not route.path.startswith("/{")
        and ":" not in route.path  # a parameter of a type of its own may hold several parts
    )


def _ends(path: str) -> Ends:
    """As the patterns of routes see it: a line that ends behind an address is not part of it."""
    return path.count("/"), path[1:].partition("/")[0].removesuffix("\n")
