"""Two devices on one form: nothing is written over what its writer had not seen."""

from __future__ import annotations

import html
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import httpx
import pytest
from starlette.applications import Starlette
from starlette.routing import Route
from tests.fakes.shop import FakeShop
from tests.web.bare import bare_lot
from tests.web.conftest import Clock
from tests.web.measuring import LEVEL, begun, cells, first
from tests.web.visitor import Visitor, text_of, values

from retrue.kinds.library import Kind
from retrue.phases import worth
from retrue.records.facts import Machine
from retrue.records.meeting import SetAside
from retrue.records.screening import Catalogue
from retrue.records.shop import RecordShop
from retrue.web.app import ROUTES, Settings, app

LAN = "192.168.1.20"
Kinds = Mapping[str, Kind]
Form = dict[str, str]


@dataclass(frozen=True)
class Edit:
    """A form that edits something that exists: its page, what the other and what I type."""

    page: str
    theirs: Form
    mine: Form
    to: str = ""  # where it goes, if not to its page
    before: tuple[str, Form] | None = None  # what must stand first, and where it is sent
    shown: tuple[str, str] = ("", "")  # both values as the page shows them, where it is asked


COSTS = {"line": "|E11", "reason": "asked"}
TERMS = {"sale": "ascending"}
NEED = {"need_name": "plates", "kind": "vertical_machining_centre"}
OTHER_WAY = {"alternative_name": "new", "kind": "vertical_machining_centre", "way": "new"}
GAUGE = LEVEL | {"name": "Level"}
LIFT = {"mass_from": "weighed", "legs": "2", "angle_deg": "60", "centre": "drawing",
        "spread_mm": "1400"}  # fmt: skip
FOR_SALE = {"sold_as": "parts", "take": "3200", "dump": "1500"}
SPREAD = {"low": "30", "likely": "60", "high": "120"}
RENEW = {"sort": "renew", "what": "RENEWS"}
BOUGHT = {"sort": "bought", "what": "belts", "posted_on": "2026-11-20", "for": "OF"}
SENT = {"of": "OF", "sort": "sent_out", "what": "spindle motor", "whom": "a winder"}
FRANC = {"currency": "CHF", "rate_on": "2026-11-20"}
OFFER = {"whom": "a school", "currency": "EUR"}

EDITS: dict[str, Edit] = {
    "/shop": Edit("/shop", {"lift_kg": "2000"}, {"lift_kg": "3000"}),
    "/shop/needs": Edit("/shop", NEED | {"load_kg": "300"}, NEED | {"load_kg": "400"},
                        to="/shop/needs"),
    "/shop/alternatives": Edit("/shop", OTHER_WAY | {"days": "60"}, OTHER_WAY | {"days": "90"},
                               to="/shop/alternatives"),
    "/instruments": Edit("/instruments", GAUGE | {"uncertainty": "6"},
                         GAUGE | {"uncertainty": "8"}),
    "/lots/{lot}/terms": Edit("LOT/terms", TERMS | {"bid_now": "4100"},
                              TERMS | {"bid_now": "4200"}),
    "/lots/{lot}/machines/{machine}": Edit(
        "MACHINE/facts", {"name": "Bed mill", "mass_kg": "4200"},
        {"name": "Bed mill", "mass_kg": "4600"}, to="MACHINE"),
    "/lots/{lot}/machines/{machine}/plate": Edit("MACHINE/plate", {"PLATE": "4200"},
                                                 {"PLATE": "4600"}),
    "/lots/{lot}/costs": Edit("LOT/costs", COSTS | {"amount": "600"}, COSTS | {"amount": "700"}),
    "/lots/{lot}/outcome": Edit("LOT/freeze", {"result": "lost", "amount": "6000"},
                                {"result": "lost", "amount": "6200"}, to="LOT/outcome"),
    "/lots/{lot}/machines/{machine}/measure/limits": Edit(
        "MACHINE/measure/limits", {"limit": "LIMIT", "value-LIMIT": "0.02", "reason-LIMIT": "own"},
        {"limit": "LIMIT", "value-LIMIT": "0.03", "reason-LIMIT": "own"}),
    "/lots/{lot}/machines/{machine}/move/{method}": Edit(
        "MACHINE/move/lift", LIFT | {"mass_kg": "4200"}, LIFT | {"mass_kg": "4600"}),
    "/lots/{lot}/machines/{machine}/arrival": Edit(
        "MACHINE/arrival", {"delivered_on": "2026-11-20", "carrier": "a"},
        {"delivered_on": "2026-11-21", "carrier": "b"}),
    "/lots/{lot}/machines/{machine}/rest": Edit(
        "MACHINE/rest", {"since_on": "2026-11-20", "where": "hall"},
        {"since_on": "2026-11-20", "where": "yard"}),
    "/lots/{lot}/machines/{machine}/fix": Edit(
        "MACHINE/fix", {"sort": "aim", "way": "keep", "level": "right"},
        {"sort": "aim", "way": "keep", "level": "like_new"}),
    "/fix/hands": Edit("/fix/hands", {"name": "Ann", "mon-from": "18:00", "mon-to": "21:00"},
                       {"name": "Ann", "mon-from": "18:00", "mon-to": "22:00"}),
    "/fix/gear": Edit("/fix/gear", {"name": "hoist", "have": "owned"},
                      {"name": "hoist", "have": "hired"}),
    "/fix/stock": Edit("/fix/buy", {"name": "oil", "amount": "4", "unit": "l"},
                       {"name": "oil", "amount": "5", "unit": "l"}, to="/fix/stock"),
    "/lots/{lot}/machines/{machine}/settle/rate": Edit(
        "MACHINE/settle/rate", {"item": "hours_a_year", "likely": "900"},
        {"item": "hours_a_year", "likely": "800"}),
    "/lots/{lot}/machines/{machine}/settle/sell/list": Edit(
        "MACHINE/settle/sell", FOR_SALE | {"ask": "4800"}, FOR_SALE | {"ask": "4900"},
        to="MACHINE/settle/sell/list"),
    "/lots/{lot}/machines/{machine}/settle/sell/figure": Edit(
        "MACHINE/settle/sell", {"item": "sell_days"} | SPREAD,
        {"item": "sell_days"} | SPREAD | {"likely": "90"}, to="MACHINE/settle/sell/figure"),
    "/lots/{lot}/machines/{machine}/settle/offers": Edit(
        "MACHINE/settle/sell", OFFER | {"amount": "3000"}, OFFER | {"amount": "3100"},
        to="MACHINE/settle/offers",
        before=("MACHINE/settle/sell/list", FOR_SALE | {"ask": "4800"})),
    "/lots/{lot}/machines/{machine}/strip/places/{place}": Edit(
        "MACHINE/strip/places/SPOT", {"entry": "ENTRY", "state": "later"},
        {"entry": "ENTRY", "state": "not_possible", "because": "rusted"}),
    "/lots/{lot}/machines/{machine}/fix/faults/{fault}": Edit(
        "MACHINE/fix/faults/F01", {"way": "second_hand"}, {"way": "repair"}),
    "/lots/{lot}/machines/{machine}/fix/together/{place}": Edit(
        "MACHINE/fix/together/spindle_head", RENEW | {"yes": "yes"}, RENEW | {"yes": "no"}),
    "/lots/{lot}/machines/{machine}/fix/extras": Edit(
        "MACHINE/fix/extras", {"sort": "upgrade", "what": "EXTRA", "yes": "yes"},
        {"sort": "upgrade", "what": "EXTRA", "yes": "no"}),
    "/lots/{lot}/machines/{machine}/settle/record/include": Edit(
        "MACHINE/settle/record/include", {"what": "manual", "goes": "goes_with"},
        {"what": "manual", "goes": "stays"}),
    "/settle/book/{line}": Edit(
        "/settle/book/LINE", BOUGHT | {"amount": "130"}, BOUGHT | {"amount": "140"},
        before=("/settle/post", BOUGHT | {"amount": "121.50", "id": "LINE"})),
    "/lots/{lot}/machines/{machine}/settle/after/answered": Edit(
        "MACHINE/settle/after", {"question": "ASKED", "answer": "VG 68"},
        {"question": "ASKED", "answer": "VG 32"}, to="MACHINE/settle/after/answered",
        before=("MACHINE/settle/after/asked",
                {"question": "Which oil?", "asker": "a school", "id": "ASKED"})),
    "/fix/waiting/{out}/correct": Edit(
        "/fix/waiting/OUT", {"whom": "the winder"}, {"whom": "another winder"},
        to="/fix/waiting/OUT/correct", before=("/fix/send", SENT | {"id": "OUT"})),
    "/sets/{set}": Edit("SET", {"cell": "CELL", "reading": "+20"},
                        {"cell": "CELL", "reading": "+30"}),
    "/sets/{set}/all": Edit("SET/all", {"cell-CELL": "+20"}, {"cell-CELL": "+30"}),
    "/screen/{catalogue}/columns": Edit(
        "CATALOGUE/columns", {"name": "a sale", "premium": "15"},
        {"name": "a sale", "premium": "16"}),
    "/screen/{catalogue}/bids": Edit("CATALOGUE/bids", {"money": "40000", "odds": "0.9"},
                                     {"money": "50000", "odds": "0.9"}),
    "/settle/rates": Edit("/settle/rates", FRANC | {"rate": "1.05"}, FRANC | {"rate": "1.06"}),
}  # fmt: skip


def words(text: str) -> list[str]:
    return text.split()


EACH_COUNTS = words("""
/first /lots /lots/{lot}/machines /lots/{lot}/pictures /lots/{lot}/visit /lots/{lot}/freeze
/lots/{lot}/machines/{machine}/looks/{check} /lots/{lot}/machines/{machine}/find
/lots/{lot}/machines/{machine}/find/{aim}/did /lots/{lot}/machines/{machine}/find/{aim}/again
/lots/{lot}/machines/{machine}/find/{aim}/sign /lots/{lot}/machines/{machine}/find/{aim}/guess
/lots/{lot}/machines/{machine}/find/{aim}/swap /lots/{lot}/machines/{machine}/find/{aim}/look
/lots/{lot}/machines/{machine}/move/steps /lots/{lot}/machines/{machine}/move/data/again
/lots/{lot}/machines/{machine}/prove/quiet /lots/{lot}/machines/{machine}/arrival/sides
/lots/{lot}/machines/{machine}/rest/rounds /lots/{lot}/machines/{machine}/strip/ticks
/lots/{lot}/machines/{machine}/strip/shots /lots/{lot}/machines/{machine}/strip/apart
/lots/{lot}/machines/{machine}/strip/places/{place}/cleaned
/lots/{lot}/machines/{machine}/strip/apart/{code} /lots/{lot}/machines/{machine}/strip/cleaning
/lots/{lot}/machines/{machine}/strip/files /lots/{lot}/machines/{machine}/strip/files/{file}
/lots/{lot}/machines/{machine}/wake/stages/{stage}/begin
/lots/{lot}/machines/{machine}/wake/stages/{stage}/readings
/lots/{lot}/machines/{machine}/wake/stages/{stage}/sign
/lots/{lot}/machines/{machine}/wake/stages/{stage}/abort
/lots/{lot}/machines/{machine}/wake/stages/{stage}/found
/lots/{lot}/machines/{machine}/wake/stages/{stage}/leave
/lots/{lot}/machines/{machine}/wake/stages/{stage}/not_fitted
/lots/{lot}/machines/{machine}/wake/watch
/lots/{lot}/machines/{machine}/wake/watch/{watch}/readings
/lots/{lot}/machines/{machine}/wake/watch/{watch}/sound
/lots/{lot}/machines/{machine}/wake/watch/{watch}/logger
/lots/{lot}/machines/{machine}/wake/watch/{watch}/end
/lots/{lot}/machines/{machine}/measure/{test}/new /sets/{set}/judge /sets/{set}/entered /fix/mark
/fix/waiting/{out}/ring /fix/waiting/{out}/back /fix/waiting/{out}/judge /fix/send /fix/quote
/fix/take /fix/plan /fix/buy/keep /settle/post /settle/post/expected /settle/lock
/settle/import/keep /settle/rates/file /settle/hours/clock /settle/share/take
/lots/{lot}/machines/{machine}/settle/record/give
/lots/{lot}/machines/{machine}/settle/after/promise
/lots/{lot}/machines/{machine}/settle/after/asked /lots/{lot}/machines/{machine}/settle/after/came
/note /note/alarm /note/setting /screen /screen/{catalogue}/work /screen/{catalogue}/take
""")
"""Something new each time, or a step that is made once and then refused by its own rule."""

ANSWERS_ONE = words("""
/lots/{lot}/pictures/{picture}/sort /lots/{lot}/pictures/{picture}/tap
/lots/{lot}/pictures/{picture}/untap /lots/{lot}/message /lots/{lot}/call /visits/{code}
/lots/{lot}/machines/{machine}/find/{aim}/opened
/lots/{lot}/machines/{machine}/find/{aim}/answers/{record}
/lots/{lot}/machines/{machine}/move/data /settle/hours
/lots/{lot}/machines/{machine}/settle/sell/answer /lots/{lot}/machines/{machine}/settle/after/kept
/lots/{lot}/machines/{machine}/settle/close
/screen/{catalogue}/bidder /screen/{catalogue}/outcome
""")
"""Takes the place of one thing that its page shows, by the same way as the table of edits."""

SAME_CALCULATOR = words("""
/lots/{lot}/machines/{machine}/wake/reckon/{method}
/lots/{lot}/machines/{machine}/prove/reckon/{method}
/lots/{lot}/machines/{machine}/fix/match/{method}
""")
TAKES_BACK = re.compile(r"/(back|withdraw|take-back)$")
KEEPS_NOTHING = words("""
/language /fix/buy/read /settle/import/read /settle/check /settle/share /pair /pair/{code}
/twice/{aside}
""")
ELSEWHERE = re.compile(r"^/(shop/devices|shop/keeping|kept|offline)")  # have tests of their own


def test_every_form_that_edits_is_in_the_table() -> None:
    posts = {
        one.path
        for one in ROUTES
        if isinstance(one, Route)
        and "POST" in (one.methods or ())
        and not ELSEWHERE.search(one.path)
    }
    told = {*EDITS, *EACH_COUNTS, *ANSWERS_ONE, *SAME_CALCULATOR, *KEEPS_NOTHING}
    assert {one for one in posts if not TAKES_BACK.search(one)} - told == set()
    assert told - posts == set()


@pytest.fixture
def house(kinds: Kinds, clock: Clock, settings: Settings) -> Starlette:
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


@dataclass
class Here:
    """What stands for LOT, MACHINE, PLATE and so on."""

    words: dict[str, str] = field(default_factory=dict)

    def path(self, text: str) -> str:
        for word, value in self.words.items():
            text = text.replace(word, value)
        return text

    def form(self, form: Form) -> Form:
        return {self.path(name): self.path(value) for name, value in form.items()}


@pytest.fixture
def set_of(owner: Visitor, machine: str) -> str:
    owner.post("/instruments", LEVEL)
    return begun(owner, machine, "level")


@pytest.fixture
def catalogue(shop: RecordShop, kinds: Kinds) -> str:
    said = Catalogue(name="a sale", content_sha256="", file_name="sale.csv", year=2026)
    table = b"lot;description;asking\n1;CNC lathe;4500\n"
    return f"/screen/{worth.keep_catalogue(shop, table, said, kinds, by='owner').id}"


@pytest.fixture
def here(machine: str, shop: RecordShop, kinds: Kinds) -> Here:
    fact = shop.history(machine.split("/")[4])[-1].fact
    assert isinstance(fact, Machine)
    kind = kinds[fact.kind]
    line = next(one for one in kind.as_found.values() if one.needed != "needed" and one.place)
    return Here(
        {"MACHINE": machine, "SPOT": line.place, "ENTRY": line.id, "CELL": cells("level")[0].id,
         "RENEWS": "spindle_belt", "EXTRA": next(iter(kind.upgrades)),
         "OF": "|".join(machine.split("/")[2::2]), "LOT": machine.partition("/machines")[0],
         "PLATE": next(iter(kind.plate)), "LIMIT": next(iter(kind.limits))}
    )  # fmt: skip


def knows(page: httpx.Response) -> str:
    """What a page knew; every form on it says so."""
    assert page.status_code == 200, text_of(page)
    forms = re.findall(r'<form\b[^>]*method="post".*?</form>', page.text, re.DOTALL)
    said = {html.unescape(n) for n in values(page, "knows")}
    assert len(values(page, "knows")) == len(forms) > 0
    assert len(said) == 1
    return said.pop()


@pytest.mark.parametrize("route", EDITS)
def test_what_somebody_else_changed_meanwhile_is_asked_about(
    route: str,
    here: Here,
    owner: Visitor,
    phone: Visitor,
    shop: RecordShop,
    request: pytest.FixtureRequest,
) -> None:
    edit = EDITS[route]
    if "SET" in edit.page:
        here.words["SET"] = request.getfixturevalue("set_of")
    if "CATALOGUE" in edit.page:
        here.words["CATALOGUE"] = request.getfixturevalue("catalogue")
    to = here.path(edit.to or edit.page)
    if edit.before is not None:
        first_kept = owner.post(here.path(edit.before[0]), here.form(edit.before[1]), follow=False)
        assert first_kept.status_code == 303, text_of(first_kept)
    mark = str(shop.newest())
    theirs = owner.post(to, here.form(edit.theirs), follow=False)
    assert theirs.status_code == 303, text_of(theirs)
    stood = shop.newest()
    # the same from both: no question
    same = phone.post(to, here.form(edit.theirs) | {"knows": mark}, follow=False)
    assert same.status_code == 303, text_of(same)
    assert not shop.current(SetAside)
    asked = phone.post(to, here.form(edit.mine) | {"knows": mark}, follow=False)
    assert asked.status_code == 409, text_of(asked)
    told = text_of(asked)
    assert "Somebody else changed this meanwhile" in told
    assert "laptop" in told
    (aside,) = shop.current(SetAside)
    assert shop.newest() == aside.seq  # nothing else was written
    assert aside.seq == stood + 1
    # mine, as a correction of theirs
    again = {name: values(asked, name)[0] for name in (*here.form(edit.mine), "settles", "knows")}
    kept = phone.post(to, again, follow=False)
    assert kept.status_code == 303, text_of(kept)
    assert not [one for one in shop.current(SetAside) if not one.fact.decided]
    line = shop.history(aside.fact.of[0])
    if not route.endswith("/include"):  # there both stay, and the newest counts
        assert len(line) >= 2, "it is a correction of what the other wrote"
