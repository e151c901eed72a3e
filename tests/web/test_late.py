"""What comes late, twice, or from two: kept as what it is, told, and nothing undone by it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import httpx
import pytest
from starlette.applications import Starlette
from tests.fakes.shop import FakeShop
from tests.web.bare import bare_lot
from tests.web.conftest import Clock, jpeg
from tests.web.measuring import LEVEL, begun, cells, first
from tests.web.visitor import Visitor, text_of, values

from retrue.kinds.library import Kind
from retrue.records.facts import File, Finding, Note, Shop, Withdrawn
from retrue.records.measuring import Reading
from retrue.records.meeting import SetAside
from retrue.records.settling import CaseClosed, ClockRung, Posting
from retrue.records.shop import RecordShop
from retrue.records.stripping import Ticked
from retrue.web.app import Settings, app

LAN = "192.168.1.20"
PROGRAM = {"accept": "application/json", "retrue-onward": "yes"}
EARLY = "2026-11-25T20:00:30+01:00"
STATIC = Path(__file__).resolve().parents[2] / "src" / "retrue" / "web" / "static"


@pytest.fixture
def house(kinds: Mapping[str, Kind], clock: Clock, settings: Settings) -> Starlette:
    return app(shop=FakeShop(clock), kinds=kinds, clock=clock, settings=replace(settings, lan=LAN))


@pytest.fixture
def shop(house: Starlette) -> RecordShop:
    kept: RecordShop = house.state.shop
    return kept


@pytest.fixture
def machine(shop: RecordShop) -> str:
    return bare_lot(shop)[0]


@pytest.fixture
def phone(house: Starlette, owner: Visitor) -> Visitor:
    code = first(r"/pair/([a-z0-9]+)<", owner.post("/pair").text)
    base = f"http://{LAN}:8314"
    made = Visitor(house, address="192.168.1.50", base=base, headers={"origin": base})
    assert made.post(f"/pair/{code}", follow=False).status_code == 303
    return made


@pytest.fixture
def set(owner: Visitor, machine: str) -> str:
    owner.post("/instruments", LEVEL, follow=False)
    return begun(owner, machine, "level")


def late(
    phone: Visitor, path: str, knows: int | str, id: str, at: str = EARLY, **form: str
) -> httpx.Response:
    """Something that waited on the telephone, as its program sends it."""
    told = {"knows": str(knows), "id": id, "observed_at": at} | form
    return phone.post(path, told, headers=PROGRAM, follow=False)


def typed(shop: RecordShop) -> list[str]:
    return [one.fact.text for one in shop.current(Reading)]


def test_a_late_batch_does_not_undo_a_correction_and_the_person_is_told(
    owner: Visitor, phone: Visitor, shop: RecordShop, set: str, clock: Clock
) -> None:
    a, b = (cell.id for cell in cells("level")[:2])
    knew = shop.newest()  # the page on the telephone is of now; then the laptop is away from it
    owner.post(set, {"cell": a, "reading": "+20"}, follow=False)
    clock.passes(minutes=30)
    owner.post(set, {"cell": a, "reading": "+21"}, follow=False)  # the correction
    clock.passes(hours=1)
    first_one = late(phone, set, knew, "q1", cell=a, reading="+10")
    second = late(phone, set, knew, "q2", cell=b, reading="+11")
    assert (first_one.status_code, first_one.json()["aside"]) == (200, 1)
    assert second.status_code == 200
    assert second.headers["retrue-to"].startswith(set)
    assert typed(shop) == ["+21", "+11"]
    (aside,) = shop.current(SetAside)
    assert aside.fact.late
    assert aside.observed_at == datetime.fromisoformat(EARLY)  # its own time
    told = first_one.json()["says"].format(count=2, aside=1)
    assert told == "2 came late; 1 speak of what was changed since: see"
    assert "said in two ways" in text_of(owner.get(set))
    page = owner.get(f"/twice/{aside.id}")
    for words in ("+10", "+21", "came late", a):
        assert words in text_of(page)
    # sent once more: still one
    assert late(phone, set, knew, "q1", cell=a, reading="+10").json()["aside"] == 1
    assert len(shop.current(SetAside)) == 1
    owner.post(f"/twice/{aside.id}", {"how": "theirs", "knows": values(page, "knows")[0]})
    assert late(phone, set, knew, "q1", cell=a, reading="+10").json()["aside"] == 0
    assert typed(shop) == ["+21", "+11"]
    assert 'id="undecided"' not in owner.get(set).text


def test_what_came_late_may_count_after_all(
    owner: Visitor, phone: Visitor, shop: RecordShop, set: str
) -> None:
    a, knew = cells("level")[0].id, shop.newest()
    owner.post(set, {"cell": a, "reading": "+20"}, follow=False)
    late(phone, set, knew, "q1", cell=a, reading="+10")
    (aside,) = shop.current(SetAside)
    page = owner.get(f"/twice/{aside.id}")
    again = {name: values(page, name)[0] for name in ("settles", "knows", "id", "cell", "reading")}
    again |= {"observed_at": values(page, "observed_at")[0]}
    assert owner.post(set, again, follow=False).status_code == 303
    (stands,) = shop.current(Reading)
    assert (stands.fact.text, stands.id) == ("+10", "q1")
    assert stands.observed_at == datetime.fromisoformat(EARLY)
    assert len(shop.history(stands.id)) == 2  # a correction of the other


def test_a_telephone_corrects_what_itself_has_queued_before_without_a_question(
    phone: Visitor, shop: RecordShop, set: str
) -> None:
    a, knew = cells("level")[0].id, shop.newest()
    for id, at, text in (("q1", EARLY, "+10"), ("q2", "2026-11-25T20:01:00+01:00", "+12")):
        assert late(phone, set, knew, id, at, cell=a, reading=text).status_code == 200
    assert typed(shop) == ["+12"]
    assert not shop.current(SetAside)
    # and the older one of the two comes once more: it is known
    assert late(phone, set, knew, "q1", cell=a, reading="+10").status_code == 200
    assert typed(shop) == ["+12"]


def test_the_same_id_once_other_content_refused_with_its_reason(
    phone: Visitor, shop: RecordShop
) -> None:
    for _ in range(2):
        answer = late(phone, "/note", shop.newest(), "n1", text="oil below the head")
        assert answer.status_code == 200
    assert [one.fact.text for one in shop.current(Note)] == ["oil below the head"]
    other = late(phone, "/note", shop.newest(), "n1", text="something else")
    assert other.status_code == 409
    assert "something else is already kept under the id" in other.json()["reason"]
    assert len(shop.current(Note)) == 1


def test_the_same_point_of_a_set_by_two_both_are_kept_and_the_page_asks(
    owner: Visitor, phone: Visitor, shop: RecordShop, set: str
) -> None:
    a = cells("level")[0].id
    page = phone.get(set)
    owner.post(set, {"cell": a, "reading": "+20"}, follow=False)
    form = {"cell": a, "reading": "+30", "knows": values(page, "knows")[0], "id": "p1"}
    asked = phone.post(set, form)
    assert asked.status_code == 409
    for words in ("+20", "+30", "Say which counts", "laptop"):
        assert words in text_of(asked)
    assert typed(shop) == ["+20"]
    assert '"+30"' in shop.current(SetAside)[0].fact.wanted[0]


def test_two_tick_the_same_and_two_take_it_back(
    owner: Visitor, phone: Visitor, shop: RecordShop, machine: str
) -> None:
    knew = shop.newest()
    item = {"list": "first_night", "item": "T01", "record": ""}
    owner.post(f"{machine}/strip/ticks", item | {"id": "t1"}, follow=False)
    assert late(phone, f"{machine}/strip/ticks", knew, "t2", **item).status_code == 200
    (tick,) = shop.current(Ticked)
    knew = shop.newest()
    back = item | {"record": tick.id}
    owner.post(f"{machine}/strip/ticks", back | {"id": "u1"}, follow=False)
    assert late(phone, f"{machine}/strip/ticks", knew, "u2", **back).status_code == 200
    assert not shop.current(Ticked)
    assert len(shop.current(Withdrawn)) == 1
    assert not shop.current(SetAside)


@pytest.mark.parametrize("program", [True, False])
def test_two_take_the_same_thing_back(
    owner: Visitor, phone: Visitor, shop: RecordShop, machine: str, program: bool
) -> None:
    lot, key = machine.split("/")[2], machine.split("/")[4]
    form = {"sort": "bought", "what": "belts", "posted_on": "2026-11-20", "amount": "9",
            "for": f"{lot}|{key}", "id": "l1"}  # fmt: skip
    assert owner.post("/settle/post", form, follow=False).status_code == 303
    knew = shop.newest()
    back = {"record": "l1", "reason": "twice in the book"}
    assert owner.post("/settle/take-back", back, follow=False).status_code == 303
    if program:
        assert late(phone, "/settle/take-back", knew, "b2", **back).json() == {"aside": 0}
    else:
        answer = phone.post("/settle/take-back", back | {"knows": str(knew)}, follow=False)
        assert answer.status_code == 303
    assert len(shop.current(Withdrawn)) == 1


def test_two_stop_one_clock_and_the_second_is_told(
    owner: Visitor, phone: Visitor, shop: RecordShop, machine: str, clock: Clock
) -> None:
    of = "|".join(machine.split("/")[2::2])
    begin = {"how": "start", "of": of, "id": "c1"}
    assert owner.post("/settle/hours/clock", begin, follow=False).status_code == 303
    knew = shop.newest()
    clock.passes(hours=2)
    stop = {"start": "c1"}
    assert owner.post("/settle/hours/clock", stop | {"id": "c2"}, follow=False).status_code == 303
    answer = late(phone, "/settle/hours/clock", knew, "c3", **stop)
    assert answer.status_code == 409
    assert answer.json()["reason"]
    assert [one.fact.how for one in shop.current(ClockRung)] == ["start", "stop"]


def test_a_reading_of_a_machine_that_was_closed_meanwhile_is_kept(
    owner: Visitor, phone: Visitor, shop: RecordShop, set: str, machine: str
) -> None:
    lot, key = machine.split("/")[2], machine.split("/")[4]
    knew = shop.newest()
    shop.add(CaseClosed(lot=lot, machine=key, closed_on="2026-11-25", end="sold", compared="{}"),
             by="owner", device="laptop")  # fmt: skip
    a = cells("level")[0].id
    assert late(phone, set, knew, "q1", cell=a, reading="+10").status_code == 200
    assert typed(shop) == ["+10"]


def test_a_refused_form_still_knows_what_its_page_had_shown(
    owner: Visitor, phone: Visitor, shop: RecordShop
) -> None:
    knew = values(phone.get("/shop"), "knows")[0]
    owner.post("/shop", {"lift_kg": "2000"}, follow=False)
    wrong = phone.post("/shop", {"lift_kg": "much", "knows": knew})
    assert wrong.status_code == 422
    assert values(wrong, "knows")[0] == knew
    assert phone.post("/shop", {"lift_kg": "3000", "knows": knew}).status_code == 409
    assert [one.fact.lift_kg for one in shop.current(Shop)] == [2000]


def test_a_photograph_of_what_was_asked_about_is_not_lost(
    owner: Visitor, phone: Visitor, shop: RecordShop, machine: str
) -> None:
    of = "|".join(machine.split("/")[2::2])
    line = {"sort": "bought", "what": "belts", "posted_on": "2026-11-20", "for": of}
    owner.post("/settle/post", line | {"amount": "9", "id": "l1"}, follow=False)
    knew = shop.newest()
    owner.post("/settle/book/l1", line | {"amount": "10"}, follow=False)
    paper = [("paper", ("till.jpg", jpeg(), "image/jpeg"))]
    asked = phone.post("/settle/book/l1", line | {"amount": "11", "knows": str(knew)}, paper)
    assert asked.status_code == 409
    names = ("knows", "settles", "held:paper", "amount", *line)
    again = {name: values(asked, name)[0] for name in names}
    assert phone.post("/settle/book/l1", again, follow=False).status_code == 303
    (stands,) = shop.current(Posting)
    assert stands.fact.amount == 11
    assert stands.fact.receipt is not None
    assert shop.file(stands.fact.receipt) == jpeg()


def test_every_form_says_what_its_page_knew_and_which_way_it_goes(
    owner: Visitor, machine: str, set: str
) -> None:
    for page in ("/shop", "/note", "/instruments", set, f"{machine}/strip/night", "/settle/hours"):
        text = owner.get(page).text
        forms = re.findall(r'(<form\b[^>]*method="post"[^>]*>)(.*?)</form>', text, re.DOTALL)
        assert forms
        for opening, inside in forms:
            assert inside.count('name="knows"') == 1
            ways = ("data-stays", "data-laptop", "data-tick", "data-camera", "data-watches")
            assert any(way in opening for way in ways)
            if "data-stays" in opening:
                assert 'name="id"' in inside


def test_no_two_programs_of_a_page_use_one_name() -> None:
    said: dict[str, str] = {}
    named = re.compile(r"^(?:async function|function|const|let|class) (\w+)", re.MULTILINE)
    for path in sorted(STATIC.glob("*.js")):
        if path.name in ("htmx.min.js", "worker.js", "tick.js"):
            continue  # not ours, or in a room of their own
        for name in named.findall(path.read_text(encoding="utf-8")):
            assert name not in said, f"{path.name} and {said.get(name)} both say {name}"
            said[name] = path.name


def test_a_helper_sends_his_own_anew_and_decides_nothing_of_others(
    owner: Visitor, phone: Visitor, shop: RecordShop, set: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    a, knew = cells("level")[0].id, shop.newest()
    owner.post(set, {"cell": a, "reading": "+20"}, follow=False)
    late(phone, set, knew, "q1", cell=a, reading="+10")
    (aside,) = shop.current(SetAside)
    form = {"text": "oil", "knows": str(shop.newest()), "settles": aside.id}
    assert phone.post("/note", form, follow=False).status_code == 303
    assert [one.fact.decided for one in shop.current(SetAside)] == [""]
    monkeypatch.setattr("retrue.web.twice.owns", lambda _: False)
    page = phone.post(set, {"cell": a, "reading": "+11", "knows": str(knew)})
    assert page.status_code == 409
    assert "Keep mine" in text_of(page)
    assert "Leave what stands" in text_of(page)
    assert "the owner is asked" in text_of(page)
    told = late(phone, set, knew, "q2", cell=a, reading="+12").json()
    assert told["see"] == "/twice"


@pytest.mark.parametrize("named", ["nothing", "n0"])
def test_what_settles_nothing_is_kept_all_the_same(
    phone: Visitor, shop: RecordShop, named: str
) -> None:
    phone.post("/note", {"text": "first", "id": "n0", "knows": "0"}, follow=False)
    form = {"text": "oil", "knows": str(shop.newest()), "settles": named}
    assert phone.post("/note", form, follow=False).status_code == 303
    assert phone.get("/twice/n0").status_code == 404
    assert [one.fact.text for one in shop.current(Note)] == ["first", "oil"]


def test_a_held_file_that_is_none_is_left_out(phone: Visitor, shop: RecordShop) -> None:
    form = {"text": "oil", "knows": "0", "held:picture": "../../etc/passwd|x.jpg"}
    assert phone.post("/note", form, follow=False).status_code == 303
    assert [one.fact.file for one in shop.current(Note)] == [None]


def test_what_a_photograph_shows_is_asked_about_where_two_say_it(
    owner: Visitor, phone: Visitor, shop: RecordShop, machine: str
) -> None:
    lot = machine.partition("/machines")[0]
    owner.post(f"{lot}/pictures", {}, [("pictures", ("p.jpg", jpeg(), "image/jpeg"))], follow=False)
    (file,) = shop.current(File)
    knew = shop.newest()
    sort, of = f"{lot}/pictures/{file.id}/sort", machine.split("/")[4]
    assert owner.post(sort, {"shot": "S01", "machine": of}, follow=False).status_code == 303
    mine = {"shot": "S02", "machine": of, "knows": str(knew)}
    assert phone.post(sort, mine, follow=False).status_code == 409
    assert [one.fact.shot for one in shop.current(File)] == ["S01"]


def test_an_earlier_answer_of_fault_finding_is_asked_about_where_two_correct_it(
    owner: Visitor, phone: Visitor, shop: RecordShop, machine: str, kinds: Mapping[str, Kind]
) -> None:
    lot, key = machine.split("/")[2], machine.split("/")[4]
    kind = kinds["vertical_machining_centre"]
    check = next(iter(kind.checks))
    seen = Finding(lot=lot, machine=key, check=check, answer="seen", channel="running", grade=3)
    shop.add(seen, by="owner", device="laptop", id="f1")
    symptom = next(iter(kind.symptoms))
    told = owner.post(f"{machine}/find", {"symptom": symptom, "id": "t1"}, follow=False)
    assert told.status_code == 303, text_of(told)
    at = f"{told.headers['location']}/answers/f1"
    knew = shop.newest()
    assert owner.post(at, {"answer": "not_seen"}, follow=False).status_code == 303
    mine = {"answer": "cant_tell", "knows": str(knew)}
    assert phone.post(at, mine, follow=False).status_code == 409
    assert [one.fact.answer for one in shop.current(Finding, check=check)] == ["not_seen"]
