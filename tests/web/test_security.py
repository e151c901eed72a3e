from __future__ import annotations

import hashlib
import re
from collections.abc import AsyncIterator, Mapping
from dataclasses import replace
from pathlib import Path

import httpx
import pytest
from starlette.applications import Starlette
from tests.fakes.shop import FakeShop
from tests.web.conftest import LOT, Clock, jpeg
from tests.web.visitor import HERE, Visitor

from retrue.kinds.library import Kind
from retrue.web import security
from retrue.web.app import ROUTES, Settings, app
from retrue.web.limits import BODIES
from retrue.web.pages import STATIC

TEMPLATES = Path(STATIC).parent / "templates"
# Published with the package htmx.org 4.0.1, file dist/htmx.min.js.
HTMX = "a0abb04f2f45a1f89d1d4844023245537e5e6014c87b144553e0607b4cc32130"


def kept(answer: httpx.Response) -> bool:
    return answer.status_code == 303


def test_the_vendored_file_is_the_published_one() -> None:
    assert hashlib.sha256((STATIC / "htmx.min.js").read_bytes()).hexdigest() == HTMX
    assert "Zero-Clause BSD" in (STATIC / "htmx.LICENSE").read_text(encoding="utf-8")


def test_every_page_carries_the_headers_of_the_house(owner: Visitor, lot: str) -> None:
    for path in ("/", lot, "/static/retrue.css", "/nowhere"):
        headers = owner.get(path).headers
        assert headers["referrer-policy"] == "same-origin"
        assert headers["x-content-type-options"] == "nosniff"
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "script-src 'self';" in policy
        assert "unsafe" not in policy


def test_a_browser_keeps_what_its_address_marks_and_no_page(owner: Visitor, lot: str) -> None:
    page = owner.get(lot)
    assert page.headers["cache-control"] == "no-store"
    marked = re.findall(r'"(/static/[^"]+\?\w+)"', page.text)
    assert marked
    for address in marked:
        assert owner.get(address).headers["cache-control"].endswith("max-age=31536000, immutable")
    font = owner.get("/static/fonts/B612-Regular.otf")
    assert font.headers["cache-control"] == "private, max-age=86400"
    assert owner.get("/static/none.css?1").headers["cache-control"] == "no-store"


def test_no_template_holds_a_script_or_a_style_of_its_own() -> None:
    for template in TEMPLATES.rglob("*.html"):
        text = template.read_text(encoding="utf-8")
        assert not re.search(r"<script(?![^>]*\bsrc=)", text), template
        assert not re.search(r"<style|\sstyle=|\son[a-z]+=", text), template


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://elsewhere.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {},
    ],
)
def test_a_form_of_another_page_changes_nothing(owner: Visitor, headers: dict[str, str]) -> None:
    owner.headers = headers
    assert owner.post("/lots", LOT, follow=False).status_code == 403
    owner.headers = {"origin": HERE}
    assert "Lot 14" not in owner.get("/").text


@pytest.mark.parametrize("site", ["same-origin", "none"])
def test_our_own_page_may_send_without_an_origin(owner: Visitor, site: str) -> None:
    owner.headers = {"sec-fetch-site": site}
    assert kept(owner.post("/lots", LOT, follow=False))


def test_an_unknown_host_name_is_not_answered(owner: Visitor) -> None:
    for host in ("evil.example", "127.0.0.1.evil.example", ""):
        answer = owner.get("/", headers={"host": host})
        assert answer.status_code == 403
        assert "does not answer to that name" in answer.text
    assert owner.get("/", headers={"host": "localhost:8314"}).status_code == 200
    assert owner.get("/", headers={"host": "[::1]:8314"}).status_code == 200


def test_a_stranger_on_the_network_sees_nothing(house: Starlette, clock: Clock) -> None:
    stranger = Visitor(house, address="192.168.1.50")
    for route in ROUTES:
        path = getattr(route, "path", "")
        if path.startswith(("/pair/", "/static")):
            continue
        clock.passes(seconds=1)
        answer = stranger.get(re.sub(r"{\w+}", "x", path))
        assert answer.status_code == 403, path
        assert "not paired" in answer.text


def test_more_than_a_request_may_carry_is_refused_before_it_is_read(
    owner: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(BODIES, "/lots", 2_000)
    answer = owner.post("/lots", LOT, [("pictures", ("big.jpg", bytes(3_000), "image/jpeg"))])
    assert answer.status_code == 422
    assert "two goes" in answer.text


def test_a_flood_without_a_length_is_cut_off(
    owner: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(BODIES, "/note", 2_000)

    async def flood() -> AsyncIterator[bytes]:
        for _ in range(40):
            yield bytes(100)

    headers = {"content-type": "application/x-www-form-urlencoded"}
    answer = owner.send("POST", "/note", content=flood(), headers=headers)
    assert answer.status_code == 422


class TestPairing:
    LAN = "192.168.1.20"

    @pytest.fixture
    def open_house(self, kinds: Mapping[str, Kind], clock: Clock, settings: Settings) -> Starlette:
        wide = replace(settings, lan=self.LAN)
        return app(shop=FakeShop(), kinds=kinds, clock=clock, settings=wide)

    def phone(self, house: Starlette, address: str = "192.168.1.50") -> Visitor:
        base = f"http://{self.LAN}:8314"
        return Visitor(house, address=address, base=base, headers={"origin": base})

    def code(self, house: Starlette) -> str:
        laptop = Visitor(house)
        shown = laptop.post("/pair").text
        found = re.search(r"/pair/([a-z0-9]+)<", shown)
        assert found is not None
        assert "<svg" in shown
        return found[1]

    def test_a_phone_joins_with_one_press(self, open_house: Starlette) -> None:
        phone, code = self.phone(open_house), self.code(open_house)
        assert phone.get("/").status_code == 403
        assert phone.get(f"/pair/{code}").status_code == 200
        answer = phone.post(f"/pair/{code}", follow=False)
        assert answer.status_code == 303
        cookie = answer.headers["set-cookie"].lower()
        assert "httponly" in cookie
        assert "samesite=strict" in cookie
        assert phone.get("/").status_code == 200

    def test_looking_at_the_code_spends_nothing(self, open_house: Starlette) -> None:
        phone, code = self.phone(open_house), self.code(open_house)
        for _ in range(5):
            phone.get(f"/pair/{code}")
        assert phone.get("/").status_code == 403
        assert kept(phone.post(f"/pair/{code}", follow=False))

    def test_a_code_works_once(self, open_house: Starlette) -> None:
        code = self.code(open_house)
        assert kept(self.phone(open_house).post(f"/pair/{code}", follow=False))
        second = self.phone(open_house, "192.168.1.51")
        assert second.post(f"/pair/{code}").status_code == 403
        assert second.get("/").status_code == 403

    def test_a_code_ends_after_five_minutes(self, open_house: Starlette, clock: Clock) -> None:
        code = self.code(open_house)
        clock.passes(minutes=5)
        assert self.phone(open_house).post(f"/pair/{code}").status_code == 403

    def test_guessing_ends_the_offer(self, open_house: Starlette) -> None:
        code, phone = self.code(open_house), self.phone(open_house)
        for _ in range(20):
            assert phone.post("/pair/222222222222").status_code == 403
        assert phone.post(f"/pair/{code}").status_code == 403

    def test_a_cookie_that_we_did_not_sign_is_worth_nothing(self, open_house: Starlette) -> None:
        phone = self.phone(open_house)
        phone.cookies.set(security.COOKIE, "phone-1.aaaa.bbbb")
        assert phone.get("/").status_code == 403

    def test_only_the_laptop_invites(self, open_house: Starlette) -> None:
        phone, code = self.phone(open_house), self.code(open_house)
        phone.post(f"/pair/{code}")
        assert phone.get("/pair").status_code == 403
        assert phone.post("/pair").status_code == 403

    def test_without_the_network_nobody_is_invited(self, owner: Visitor) -> None:
        answer = owner.get("/pair")
        assert answer.status_code == 409
        assert "--lan" in answer.text


class TestUploads:
    def send(self, owner: Visitor, lot: str, name: str, content: bytes) -> httpx.Response:
        return owner.post(f"{lot}/pictures", {}, [("pictures", (name, content, "image/jpeg"))])

    def count(self, owner: Visitor, lot: str) -> int:
        return owner.get(f"{lot}/pictures").text.count("/shown/small")

    @pytest.mark.parametrize(
        "content",
        [
            b"This is a letter and no photograph.",
            b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
            b"<html><script>alert(1)</script></html>",
            jpeg()[:400],
            b"",
        ],
        ids=["text", "drawing with a script", "page", "cut off", "empty"],
    )
    def test_what_is_no_photograph_is_refused_by_name(
        self, owner: Visitor, lot: str, content: bytes
    ) -> None:
        answer = self.send(owner, lot, "table.jpg", content)
        assert answer.status_code == 422
        assert "table.jpg" in answer.text
        assert self.count(owner, lot) == 3

    def test_sixty_megabytes_are_refused_and_the_others_are_kept(
        self, owner: Visitor, lot: str
    ) -> None:
        files = [
            ("pictures", ("huge.jpg", jpeg() + bytes(61_000_000), "image/jpeg")),
            ("pictures", ("fine.jpg", jpeg(33), "image/jpeg")),
        ]
        answer = owner.post(f"{lot}/pictures", {}, files)
        assert answer.status_code == 422
        assert "huge.jpg" in answer.text
        assert "60 MB" in answer.text
        assert self.count(owner, lot) == 4

    def test_a_bad_photograph_does_not_lose_the_lot(self, owner: Visitor) -> None:
        files = [
            ("pictures", ("bad.jpg", b"no photograph", "image/jpeg")),
            ("pictures", ("good.jpg", jpeg(), "image/jpeg")),
        ]
        answer = owner.post("/lots", LOT, files)
        assert answer.status_code == 422
        home = owner.get("/")
        assert "Lot 14" in home.text
        found = re.search(r'href="(/lots/(?!new)[\w-]+)', home.text)
        assert found is not None
        assert self.count(owner, found[1]) == 1

    def test_what_is_shown_is_a_copy_without_metadata(self, owner: Visitor, lot: str) -> None:
        marked = jpeg()
        marked = marked[:2] + b"\xff\xe1\x00\x16Exif\x00\x00secret-place!!" + marked[2:]
        owner.post(f"{lot}/pictures", {}, [("pictures", ("m.jpg", marked, "image/jpeg"))])
        address = re.findall(
            r'src="(/files/[^"]+/shown/small)"', owner.get(f"{lot}/pictures").text
        )[-1]
        copy = owner.get(address)
        assert copy.headers["content-type"] == "image/jpeg"
        assert b"secret-place" not in copy.content
        whole = owner.get(address.replace("/shown/small", ""))
        assert whole.content == marked
        assert whole.headers["content-disposition"].startswith("attachment")
        assert "sandbox" in whole.headers["content-security-policy"]


def test_what_breaks_of_ours_still_carries_the_headers(
    owner: Visitor, lot: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fall(*_: object, **__: object) -> None:
        raise RuntimeError("planted")

    monkeypatch.setattr("retrue.phases.note.lots", fall)
    owner.lenient = True
    answer = owner.get("/")
    assert answer.status_code == 500
    assert "planted" not in answer.text
    assert answer.headers["x-content-type-options"] == "nosniff"


def test_a_name_with_tags_in_it_stays_a_name(owner: Visitor) -> None:
    evil = '"><script>alert(1)</script><img src=x onerror=alert(2)>'
    form = LOT | {"name": evil, "name-turning_centre-1": evil + "2", "listing": evil}
    lot = owner.post("/lots", form, follow=False).headers["location"]
    owner.post("/note", {"text": evil})
    owner.post("/shop", {"name": evil})
    machine = re.findall(r"/lots/[^/\"]+/machines/[^/\"]+", owner.get(lot).text)[-1]
    for path in (
        "/",
        lot,
        f"{lot}/terms",
        f"{lot}/costs",
        f"{lot}/call",
        machine,
        "/note",
        "/shop",
    ):
        text = owner.get(path).text
        assert "<script>alert" not in text, path
        assert "<img src=x" not in text, path
    assert owner.post(f"{lot}/freeze", {}).status_code == 200
    assert owner.get(f"{lot}/freeze.pdf").content.startswith(b"%PDF")
