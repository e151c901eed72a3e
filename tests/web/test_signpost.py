"""The signpost leads where the router's own search, one route after the other, would."""

from __future__ import annotations

import re

import pytest
from starlette.routing import BaseRoute, Match
from starlette.types import Scope
from tests.fakes.shop import FakeShop
from tests.web.conftest import SETTINGS, Clock
from tests.web.visitor import Visitor

from retrue.kinds.library import Kind
from retrue.web.app import ROUTES, app
from retrue.web.signpost import Signpost

ODD = ("/", "//", "", "/nothing", "/lots", "/lots/", "/lots/new", "/lots/new/", "/lots/a/b/c/d/e/f",
       "/kept\n", "/kept/x\n", "/kept\n/x", "/static", "/static/a", "/static/a/b/c", "/Lots/new",
       "/lots/{lot}", "/wörks", "/settle/../lots")  # fmt: skip


def searched(scope: Scope) -> tuple[Match, BaseRoute | None]:
    """As the router goes: the first that fits whole, else the first that fits."""
    fits = [(route.matches(scope)[0], route) for route in ROUTES]
    whole = [one for one in fits if one[0] is Match.FULL]
    partly = [one for one in fits if one[0] is Match.PARTIAL]
    return next(iter([*whole, *partly]), (Match.NONE, None))


@pytest.mark.parametrize("method", ["GET", "HEAD", "POST", "DELETE"])
def test_every_address_leads_to_the_route_that_the_router_would_find(method: str) -> None:
    post = Signpost(ROUTES)
    paths = {re.sub(r"{\w+}", "x", getattr(route, "path", "")) for route in ROUTES}
    for path in (*sorted(paths), *ODD):
        scope = {"type": "http", "method": method, "path": path, "root_path": ""}
        match, told = post.matches(scope)
        assert (match, told.get("route")) == searched(scope), path
        if match is not Match.NONE:
            route = told.pop("route")
            assert told == route.matches(scope)[1]


def test_an_address_with_one_stroke_more_is_sent_on_and_another_way_of_asking_is_no_page(
    kinds: dict[str, Kind],
) -> None:
    owner = Visitor(app(shop=FakeShop(), kinds=kinds, clock=Clock(), settings=SETTINGS))
    away = owner.get("/settle/", follow=False)
    assert (away.status_code, away.headers["location"]) == (307, "http://127.0.0.1:8314/settle")
    assert owner.send("DELETE", "/settle").status_code == 404
    assert owner.get("/settle/nothing/of/it").status_code == 404
