"""A shop whose pages were looked at: a test goes on from it, and what was worked out is there."""

from __future__ import annotations

from collections.abc import Mapping

from tests.fakes.shop import FakeShop
from tests.web.conftest import SETTINGS, Clock
from tests.web.visitor import Visitor

from retrue.kinds.library import Kind
from retrue.web.app import app


def look_at(shop: FakeShop, kinds: Mapping[str, Kind], *pages: str) -> None:
    """As the owner, in an application of its own."""
    owner = Visitor(app(shop=shop, kinds=kinds, clock=Clock(), settings=SETTINGS))
    for page in pages:
        assert owner.get(page).status_code == 200, page
