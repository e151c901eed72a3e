"""The plain door before the locked one answers to the shop's own names, as the main door does."""

from __future__ import annotations

import pytest
from tests.web.visitor import Visitor

from retrue.web.headers import HEADERS
from retrue.web.security import Settings
from retrue.web.trust import NAME, trust_app

LAN = "192.168.1.20"


@pytest.fixture(scope="module")
def door():
    settings = Settings(secret="only for tests", lan=LAN, scheme="https")
    return trust_app(settings, b"0\x03\x02\x01\x01", ":".join(["A4"] * 32))


@pytest.mark.parametrize("host", [LAN, f"{LAN}:8316", "localhost:8316", "127.0.0.1"])
def test_it_answers_to_its_own_names(door, host):
    assert Visitor(door, "192.168.1.66").get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize("host", ["shop.example", f"{LAN}.shop.example", "192.168.1.99:8316", ""])
@pytest.mark.parametrize("path", ["/", f"/{NAME}", "/static/retrue.css"])
def test_a_name_that_was_turned_to_us_gets_no_certificate(door, host, path):
    """DNS rebinding, and a shop of somebody else's name: no page, no file."""
    answer = Visitor(door, "192.168.1.66").get(path, headers={"host": host})
    assert answer.status_code == 403
    assert "does not answer to that name" in answer.text
    assert HEADERS.items() <= dict(answer.headers).items()
