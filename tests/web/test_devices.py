"""Who may in: invited as owner, helper or buyer; renamed, turned away; what each may open."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

import httpx
import pytest
from starlette.applications import Starlette
from starlette.datastructures import Headers
from tests.fakes.shop import FakeShop
from tests.recorded import ready
from tests.web.conftest import Clock, jpeg
from tests.web.joining import AT_THE_PHONE, LAN, joined
from tests.web.visitor import Visitor, text_of

from retrue.kinds.library import Kind
from retrue.phases import devices, settle
from retrue.records.facts import Note, Withdrawn
from retrue.records.joining import DeviceJoined
from retrue.records.settling import RecordGiven
from retrue.records.shop import RecordShop
from retrue.web import roles, security
from retrue.web.app import ROUTES, Settings, app
from retrue.web.limits import BODIES, STRANGER, Askers, Rate

Kinds = Mapping[str, Kind]


@pytest.fixture
def house(kinds: Kinds, clock: Clock, settings: Settings) -> Starlette:
    return app(shop=FakeShop(), kinds=kinds, clock=clock, settings=replace(settings, lan=LAN))


@pytest.fixture
def shop(house: Starlette) -> RecordShop:
    kept: RecordShop = house.state.shop
    return kept


def invited(house: Starlette, form: Mapping[str, str]) -> httpx.Response:
    """What the laptop shows after asking for a code."""
    return Visitor(house).post("/pair", form)


def joins(house: Starlette, form: Mapping[str, str], name: str = "") -> Visitor:
    """A phone that was invited so, and pressed the button."""
    code = re.search(r"/pair/([a-z0-9]+)<", invited(house, form).text)
    assert code is not None
    phone = Visitor(house, "192.168.1.60", AT_THE_PHONE, {"origin": AT_THE_PHONE})
    assert phone.post(f"/pair/{code[1]}", {"name": name}, follow=False).status_code == 303
    return phone


def given(shop: RecordShop, kinds: Kinds, clock: Clock) -> str:
    """A condition record that was given away."""
    at = ready(shop, kinds)
    kept = settle.give(
        shop, *at, kinds, on=clock.now.date(), sold_as="as_found", small=lambda _: jpeg(),
        whom="B. Buyer", by="owner",
    )  # fmt: skip
    return kept.id


class TestJoining:
    def test_a_helper_is_invited_by_name_and_writes_under_it(self, house, shop):
        phone = joins(house, {"role": "helper", "person": "An"}, "An’s phone")
        [kept] = shop.current(DeviceJoined)
        assert (kept.fact.name, kept.fact.person, kept.fact.role) == ("An’s phone", "An", "helper")
        assert (kept.by, kept.device) == ("owner", kept.fact.device)
        assert phone.post("/note", {"text": "oil under the gearbox"}).status_code == 200
        [note] = shop.current(Note)
        assert (note.by, note.device) == ("An", kept.fact.device)

    def test_my_own_phone_writes_under_my_name_and_has_a_name(self, house, shop):
        phone = joins(house, {})
        [kept] = shop.current(DeviceJoined)
        assert (kept.fact.role, kept.fact.person, kept.fact.name) == (
            "owner", "owner", "owner’s device",
        )  # fmt: skip
        assert phone.get("/settle").status_code == 200

    @pytest.mark.parametrize(
        ("form", "says"),
        [
            ({"role": "helper"}, "Write whose device it is"),
            ({"role": "boss"}, "Say for whom the code is"),
            ({"role": "buyer", "person": "B"}, "Give the record away first"),
            ({"role": "buyer", "person": "B", "until_on": "9999-99-99"}, "not a day"),
        ],
    )
    def test_nobody_is_invited_without_what_it_needs(self, house, form, says):
        answer = invited(house, form)
        assert answer.status_code == 422
        assert says in text_of(answer)
        assert "/pair/" not in answer.text.replace("/pair/{", "")

    @pytest.mark.parametrize("until", ["2026-11-24", "2028-01-01"])
    def test_a_buyer_reads_from_today_for_a_year_at_most(self, house, shop, kinds, clock, until):
        record = given(shop, kinds, clock)
        form = {"role": "buyer", "person": "B", "given": record, "until_on": until}
        assert "A year at most" in text_of(invited(house, form))

    def test_a_name_that_is_none_does_not_lose_the_code(self, house, shop):
        joins(house, {}, "\x07" + "W" * 5000)
        [kept] = shop.current(DeviceJoined)
        assert kept.fact.name == "W" * 80

    def test_a_new_code_is_for_whom_it_was_made_last(self, house, shop):
        invited(house, {"role": "helper", "person": "An"})
        joins(house, {"role": "owner"})
        assert [one.fact.role for one in shop.current(DeviceJoined)] == ["owner"]


class TestTurningAway:
    def test_a_phone_is_turned_away_at_its_next_request(self, house, shop):
        phone, laptop = joined(house, name="An’s phone"), Visitor(house)
        assert phone.get("/note").status_code == 200
        page = laptop.get("/shop/devices")
        assert "An’s phone" in text_of(page)
        assert "Last seen 2026-11-25 20:40" in text_of(page)
        [kept] = shop.current(DeviceJoined)
        answer = laptop.post(f"/shop/devices/{kept.fact.device}/revoke")
        assert "turned away" in text_of(answer)
        answer = phone.get("/note")
        assert answer.status_code == 403
        assert "Ask at the laptop for a new code" in text_of(answer)
        [gone] = shop.current(Withdrawn)
        assert (gone.by, gone.device, gone.replaces) == ("owner", "laptop", kept.id)

    def test_what_waits_on_it_is_told_why_and_not_taken(self, house, shop):
        phone = joined(house)
        devices.revoke(shop, shop.current(DeviceJoined)[0].fact.device, by="owner")
        answer = phone.post("/note", {"text": "late"}, headers={"accept": "application/json"})
        assert answer.status_code == 403
        assert "not paired with the shop any more" in answer.json()["reason"]
        assert not shop.current(Note)

    def test_a_cookie_of_before_without_a_record_is_sent_to_scan_again(self, house):
        phone = joined(house)
        phone.cookies.clear()
        phone.cookies.set(security.COOKIE, security.sign_device(house.state.settings, "phone-old"))
        answer = phone.get("/")
        assert answer.status_code == 403
        assert "scan it again" in text_of(answer)

    def test_another_name_leaves_it_in(self, house, shop):
        phone, laptop = joined(house, name="a phone"), Visitor(house)
        [kept] = shop.current(DeviceJoined)
        path = f"/shop/devices/{kept.fact.device}/name"
        assert "An’s phone" in text_of(laptop.post(path, {"name": "An’s phone"}))
        assert phone.get("/note").status_code == 200
        assert laptop.post(path, {"name": " "}).status_code == 422
        assert laptop.post("/shop/devices/phone-none/name", {"name": "x"}).status_code == 404

    def test_who_may_in_is_not_read_again_for_each_request(self, house, shop, monkeypatch):
        read: list[RecordShop] = []

        def counted(one: RecordShop) -> dict[str, DeviceJoined]:
            read.append(one)
            return {kept.fact.device: kept.fact for kept in one.current(DeviceJoined)}

        monkeypatch.setattr(devices, "joined", counted)
        phone = joined(house)
        for _ in range(5):
            assert phone.get("/note").status_code == 200
        assert len(read) == 1
        joined(house)
        assert phone.get("/note").status_code == 200
        assert len(read) == 2


class TestRoles:
    def test_of_every_route_somebody_has_said_whose_it_is(self):
        assert roles.undecided(ROUTES) == []

    def test_no_table_names_a_route_that_is_not_there(self):
        names = {name for route in ROUTES for name in roles.names_of(route)}
        told = roles.FOR_EVERYBODY | roles.FOR_A_HELPER | roles.FOR_A_BUYER | roles.FOR_THE_OWNER
        assert told - names == set()
        assert {f"POST {path}" for path in BODIES} <= names

    def test_a_page_is_not_given_to_two_by_mistake(self):
        assert not roles.FOR_THE_OWNER & roles.FOR_A_HELPER
        assert all(name.startswith("GET ") for name in roles.FOR_A_BUYER)

    def test_a_helper_opens_what_is_his_and_nothing_else(self, house, clock):
        phone = joined(house, "helper")
        for route in ROUTES:
            for name in roles.names_of(route):
                method, _, path = name.partition(" ")
                if name in roles.FOR_EVERYBODY or path == "/":
                    continue
                clock.passes(seconds=1)
                answer = phone.send(method, re.sub(r"{\w+}", "x", path), follow=False)
                barred = answer.status_code == 403
                assert barred == (name not in roles.FOR_A_HELPER), name

    @pytest.mark.parametrize(
        "path", ["/", "/settle", "/shop", "/shop/devices", "/pair", "/settle/book", "/files/x"]
    )
    def test_money_shop_and_devices_are_not_a_helpers(self, house, path):
        answer = joined(house, "helper").get(path, follow=False)
        assert answer.status_code == 403 or answer.headers["location"] == "/floor"

    def test_his_bar_leads_to_what_he_may_open(self, house):
        page = joined(house, "helper").get("/")
        assert page.url.path == "/floor"
        links = set(re.findall(r'href="(/[^"#?]*)"', page.text))
        links -= {one for one in links if one.startswith("/static/")}
        assert links
        assert all(roles.may_open("helper", f"GET {one}") for one in links)


class TestBuyer:
    @pytest.fixture
    def record(self, shop, kinds: Kinds, clock) -> str:
        return given(shop, kinds, clock)

    @pytest.fixture
    def buyer(self, house, record) -> Visitor:
        form = {"role": "buyer", "person": "B", "given": record, "until_on": "2026-12-01"}
        return joins(house, form)

    def test_he_reads_his_record_on_the_page_on_paper_and_as_a_file(self, buyer, record, shop):
        page = buyer.get("/")
        assert page.url.path == f"/given/{record}"
        assert "Guards and interlocks" in text_of(page)
        assert buyer.get(f"/given/{record}.pdf").content.startswith(b"%PDF")
        told = buyer.get(f"/given/{record}.json").json()
        kept = shop.get(RecordGiven, record)
        assert told["content_sha256"] == kept.fact.content_sha256
        checked = text_of(buyer.get(f"/given/{record}/check"))
        assert "Unchanged" in checked
        assert "It is the record that this shop gave to B. Buyer" in checked

    def test_its_pictures_are_the_copies_that_go_with_it(self, buyer, record):
        page = buyer.get(f"/given/{record}").text
        for address in re.findall(r'src="(/given/[^"]+)"', page):
            copy = buyer.get(address)
            assert copy.headers["content-type"] == "image/jpeg"
        assert "/files/" not in page
        assert buyer.get(f"/given/{record}/pictures/{'0' * 64}").status_code == 404

    def test_every_other_page_is_the_same_no_page(self, buyer, record, clock, shop):
        kept = shop.get(RecordGiven, record)
        other = shop.add(replace(kept.fact, whom="somebody else"), by="owner").id
        said = set()
        for route in ROUTES:
            for name in roles.names_of(route):
                method, _, path = name.partition(" ")
                if name in roles.FOR_EVERYBODY or path == "/":
                    continue
                clock.passes(seconds=1)
                path = re.sub(r"{record}", other, path)
                answer = buyer.send(method, re.sub(r"{\w+}", "x", path), follow=False)
                assert answer.status_code == 404, name
                said.add(re.sub(r"\d\d:\d\d", "", text_of(answer)))
        clock.passes(seconds=1)
        said.add(re.sub(r"\d\d:\d\d", "", text_of(buyer.get("/nowhere"))))
        assert len(said) == 1

    def test_after_his_day_he_reads_nothing(self, buyer, record, clock):
        clock.passes(days=6)
        assert buyer.get(f"/given/{record}").status_code == 200
        clock.passes(days=1)
        answer = buyer.get(f"/given/{record}")
        assert answer.status_code == 403
        assert "is over" in text_of(answer)

    def test_a_record_that_was_taken_back_is_not_read_any_more(self, buyer, record, shop):
        shop.add(Withdrawn(of_kind="record_given"), by="owner", replaces=record)
        assert buyer.get(f"/given/{record}").status_code == 404


class TestWhoIsTheLaptop:
    @pytest.mark.parametrize(
        "header",
        ["x-forwarded-for", "forwarded", "x-real-ip", "via", "x-forwarded-host", "Via",
         "X-Forwarded-Proto", "X-Forwarded-Server", "X-Forwarded-Port", "CF-Connecting-IP",
         "True-Client-IP", "X-Client-IP", "X-Cluster-Client-IP"],
    )  # fmt: skip
    def test_what_was_passed_on_to_it_is_not_from_it(self, house, header):
        passed = Visitor(house, headers={header: "127.0.0.1"})
        assert passed.get("/").status_code == 403

    def test_a_strangers_word_on_where_he_comes_from_is_not_believed(self, house):
        for header in ("x-forwarded-for", "x-real-ip", "client-ip", "true-client-ip"):
            liar = Visitor(house, "192.168.1.66", AT_THE_PHONE, {header: "127.0.0.1"})
            assert liar.get("/").status_code == 403

    @pytest.mark.parametrize(
        "host",
        ["shop.example", "localhost.shop.example", "127.0.0.1.shop.example", "192.168.1.99",
         "localhost.", "127.1", "2130706433", "0.0.0.0", "user@localhost"],
    )  # fmt: skip
    def test_a_name_that_was_turned_to_us_is_not_answered(self, house, host):
        """DNS rebinding: the browser calls this machine by a name of the attacker's."""
        answer = Visitor(house).get("/", headers={"host": f"{host}:8314"})
        assert answer.status_code == 403

    def test_two_host_names_are_one_too_many(self, house):
        headers = Headers(raw=[(b"host", b"localhost:8314"), (b"host", b"shop.example")])
        assert security.foreign(house.state.settings, headers, "GET") is not None


class TestLimits:
    def test_a_stranger_who_asks_too_often_waits_and_is_told_how_long(self, house, clock):
        stranger = Visitor(house, "192.168.1.70", AT_THE_PHONE)
        for _ in range(STRANGER.at_once):
            assert stranger.get("/").status_code == 403
        answer = stranger.get("/")
        assert answer.status_code == 429
        assert answer.headers["retry-after"] == "1"
        assert "Wait 1 seconds" in text_of(answer)
        clock.passes(seconds=1)
        assert stranger.get("/").status_code == 403

    def test_he_keeps_nobody_else_from_asking(self, house):
        for _ in range(STRANGER.at_once + 1):
            Visitor(house, "192.168.1.70", AT_THE_PHONE).get("/")
        assert joined(house).get("/note").status_code == 200
        assert Visitor(house, "192.168.1.71", AT_THE_PHONE).get("/").status_code == 403

    def test_fifty_readings_ten_photographs_and_a_page_of_sixty_go_at_once(self, house):
        phone = joined(house)
        for number in range(60):
            form = {"text": f"note {number}", "id": f"note-{number}"}
            assert phone.post("/note", form, follow=False).status_code == 303
        for _ in range(70):
            assert phone.get("/files/x/shown/small").status_code == 404

    def test_the_table_of_askers_does_not_grow(self, clock):
        askers = Askers(Rate(at_once=2, a_second=1.0, most=10))
        for number in range(1000):
            askers.wait(f"192.168.{number // 256}.{number % 256}", clock.now)
        assert len(askers.table) == 10
        assert askers.wait("10.0.0.1", clock.now) > 0  # a crowd shares one allowance
        clock.passes(minutes=1)
        assert askers.wait("10.0.0.2", clock.now) == 0

    def test_a_clock_that_is_set_back_gives_and_takes_nothing(self, clock):
        askers = Askers(Rate(at_once=1, a_second=1.0, most=10))
        assert askers.wait("a", clock.now) == 0
        clock.passes(days=-1)
        assert askers.wait("a", clock.now) > 0

    @pytest.mark.parametrize(
        ("address", "headers", "status"),
        [("/" + "a" * 9000, {}, 414), ("/?q=" + "a" * 9000, {}, 414),
         ("/", {"x": "a" * 17000}, 431), ("/", {f"x-{n}": "a" * 100 for n in range(200)}, 431)],
    )  # fmt: skip
    def test_a_head_has_an_end(self, house, address, headers, status):
        assert Visitor(house).get(address, headers=headers).status_code == status

    @pytest.mark.parametrize("length", ["-1", "abc", "1e9", "9" * 30])
    def test_a_length_that_is_none_is_refused(self, house, length):
        answer = Visitor(house).post("/note", {"text": "x"}, headers={"content-length": length})
        assert answer.status_code == 422

    def test_a_form_takes_less_than_a_page_of_photographs(self, house):
        many = {"name": "W" * 900_000, "currency": "W" * 900_000} | {
            f"x{n}": "W" * 900_000 for n in range(4)
        }
        answer = Visitor(house).post("/shop", many)
        assert answer.status_code == 422
        assert "More than 4 MB" in text_of(answer)

    def test_a_body_that_stands_still_is_given_up(self, house, monkeypatch):
        monkeypatch.setattr("retrue.web.limits.STALLED_S", 0.05)

        async def slow():
            import anyio

            yield b"text=oil"
            await anyio.sleep(0.5)
            yield b"&lot=1"

        headers = {"content-type": "application/x-www-form-urlencoded"}
        answer = Visitor(house).send("POST", "/note", content=slow(), headers=headers)
        assert answer.status_code == 408
        assert not house.state.shop.current(Note)
