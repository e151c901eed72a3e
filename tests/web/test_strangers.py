"""Requests that no page of ours would send, to every route, as everybody: nothing breaks or leaks.

A short form of ``bench/strangers.py``: each route at least twice, the ways of being wrong in turn.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from typing import Any
from urllib.parse import unquote, urljoin

import pytest
from tests.paper.reading import text_of as paper_text

from retrue.web import roles
from retrue.web.app import ROUTES

REQUESTS = 644  # two for each route
BY_WHO_WROTE = ("/kept/{id}", "/twice/{aside}")  # his or not by the record, not by the route


@pytest.fixture(scope="module")
def asked(bench: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    made = bench.Strangers(bench.strange_shop(tmp_path_factory.mktemp("strange")), seed=1)
    yield made
    made.close()


def wrong(asked: Any) -> list[str]:
    return [f"{one.sent}: {one.what}" for one in asked.wrong]


def pages_of_a_helper(asked: Any) -> list[str]:
    """Each page that a helper opens, but those that stand for what he wrote himself."""
    told = []
    fits = asked.shop.fitting
    for name in sorted(roles.FOR_A_HELPER):
        method, _, path = name.partition(" ")
        if method == "GET" and not path.endswith((".pdf", *BY_WHO_WROTE)):
            told.append(re.sub(r"{(\w+)}", lambda found: fits[found[1]][0], path))
    return told


def route_of(method: str, path: str) -> str:
    return roles.name_of(ROUTES, {"type": "http", "method": method, "path": unquote(path)})


def test_no_page_of_a_helper_leads_where_he_may_not_go(asked: Any) -> None:
    """Of a page's links to one route the first is asked for; of a form its route is looked up."""
    led: dict[str, str] = {}
    for address in pages_of_a_helper(asked):
        page = asked._send("helper", "GET", address, [], b"").text
        led |= {
            html.unescape(one): address for one in re.findall(r'<a\b[^>]* href="(/[^"#]*)', page)
        }
        for form in re.findall(r"<form\b([^>]*)>", page):
            target = re.search(r'action="([^"?#]+)', form)
            way = "POST" if 'method="post"' in form else "GET"
            path = (
                urljoin(address, html.unescape(target[1])) if target else address.partition("?")[0]
            )
            assert roles.may_open("helper", route_of(way, path)), f"{way} {path} on {address}"
    assert len(led) >= 50
    gone: set[tuple[str, str]] = set()
    for link, page in led.items():
        route = route_of("GET", link.partition("?")[0])
        if route.endswith(".pdf") or ((page, route) in gone and not route.endswith(BY_WHO_WROTE)):
            continue
        gone.add((page, route))
        assert asked._send("helper", "GET", link, [], b"").status != 403, f"{link} on {page}"


def test_a_helper_sees_no_amount_and_no_word_of_money_on_any_page(bench: Any, asked: Any) -> None:
    """Each of his pages, after the owner has seen it: what is remembered must not leak either."""
    seen = 0
    for address in pages_of_a_helper(asked):
        before = asked._send("laptop", "GET", address, [], b"")
        answer = asked._send("helper", "GET", address, [], b"")
        assert answer.status == before.status, address
        assert list(bench.faults("helper", answer)) == [], address
        seen += answer.status == 200
    assert seen >= 30


def test_a_helper_sees_no_amount_on_paper(asked: Any) -> None:
    lot, machine, aim = (asked.shop.fitting[one][0] for one in ("lot", "machine", "aim"))
    sheet = f"/lots/{lot}/machines/{machine}/find/{aim}/sheet.pdf"
    mine, his = (
        paper_text(asked._send(role, "GET", sheet, [], b"").content)
        for role in ("laptop", "helper")
    )
    assert "€" in mine
    assert "€" not in his


def test_the_owner_sees_the_amounts_that_a_helper_does_not(bench: Any, asked: Any) -> None:
    """Without this the test above would hold for a shop without any."""
    shown = "".join(asked._send("laptop", "GET", path, [], b"").text for path in asked.shop.pages)
    for secret in ("quaglodon", "brimsefalk", "dorvelinth", "41\u202f737", "wexhalbrim"):
        assert secret in shown
    lent = asked.shop.fitting["record"][0]
    own = asked._send("buyer", "GET", f"/given/{lent}", [], b"")
    assert own.status == 200
    assert list(bench.faults("buyer", own)) == []


def test_nothing_that_is_sent_breaks_or_leaks_anything(bench: Any, asked: Any) -> None:
    assert len(asked.routes) <= REQUESTS / 2
    for number in range(REQUESTS):
        asked.one(number)
    assert wrong(asked) == []
    assert {200, 303, 403, 404, 422} <= set(asked.statuses)
    assert bench.verify_chain(asked.shop.kept) == []


def test_what_must_not_be_is_seen(bench: Any) -> None:
    """Planted, each is found: a trace, a status, a secret, a missing header, an open door."""
    whole = dict(bench.HEADERS)
    for role, answer in (
        ("laptop", bench.Answer(500, whole)),
        ("laptop", bench.Answer(200, whole, b'  File "/a/b.py", line 3, in x')),
        ("laptop", bench.Answer(200, {})),
        ("helper", bench.Answer(200, whole, "€\u202f41\u202f737".encode())),
        ("buyer", bench.Answer(200, whole, b"wexhalbrim")),
        ("stranger", bench.Answer(200, whole)),
    ):
        assert list(bench.faults(role, answer)), (role, answer)
    assert list(bench.faults("laptop", bench.Answer(200, whole))) == []


def test_without_a_cookie_every_route_gives_the_same_page(asked: Any) -> None:
    said = set()
    for route in ROUTES:
        for name in roles.names_of(route):
            method, _, path = name.partition(" ")
            if name in roles.FOR_EVERYBODY:
                continue
            address = re.sub(r"{(\w+)}", lambda found: asked.shop.fitting[found[1]][0], path)
            answer = asked._send("stranger", method, address, [], b"")
            assert answer.status == 403, name
            said.add(re.sub(r"\d\d:\d\d|/[^\"]*", "", answer.text))
    assert len(said) == 1
