"""A shop with something of everything, and secrets that only its owner may see."""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from PIL import Image
from starlette.applications import Starlette

from retrue.cases.prove.deed import deeds
from retrue.cases.reckon.books import BOOKS
from retrue.cases.screen.parts import Here
from retrue.kinds.library import Kind
from retrue.kinds.load import load
from retrue.phases import devices, note, prove, settle, worth
from retrue.records.facts import (
    Alternative,
    CostLine,
    Finding,
    Lot,
    Machine,
    Need,
    Outcome,
    Plate,
    Shop,
    Terms,
)
from retrue.records.fixing import Out, Quoted, Worker
from retrue.records.measuring import Instrument
from retrue.records.screening import Catalogue
from retrue.records.seeking import Trouble
from retrue.records.settling import BuyerAsked, DayRate, ForSale, Offered, Posting
from retrue.records.stripping import Taken
from retrue.records.waking import WatchBegun
from retrue.store.proof import prove as prove_file
from retrue.store.shop import SqlShop, open_shop
from retrue.web.app import Settings, app
from retrue.web.security import COOKIE, sign_device

LAN, PORT = "192.168.1.20", 8314
DAY = "2026-11-20"
FOR_THE_OWNER_ALONE = (
    "quaglodon", "brimsefalk", "dorvelinth",
    "41737", "41\u202f737", "41 737", "31877", "31\u202f877", "31 877",
    "27659", "27\u202f659", "27 659",
)  # fmt: skip
CANARIES = (*FOR_THE_OWNER_ALONE, "wexhalbrim", "tolvurinde")


@dataclass(slots=True)
class Clock:
    """A clock that is moved."""

    now: datetime = datetime(2026, 11, 25, 20, 40, tzinfo=UTC)

    def __call__(self) -> datetime:
        """The moment it is."""
        return self.now

    def passes(self, seconds: float) -> None:
        """Let time go by; no day ends, so that nothing is over too soon."""
        self.now += timedelta(seconds=seconds)


@dataclass(frozen=True, slots=True)
class Speaker:
    """A device as it asks: its address, the name it calls us by, its cookie."""

    address: str
    host: str
    cookie: str = ""


@dataclass(slots=True)
class StrangeShop:
    """The shop, its pages, who asks, and what fits in each place of an address."""

    app: Starlette
    kept: SqlShop
    clock: Clock
    devices: dict[str, Speaker]
    ids: list[str]
    fitting: dict[str, list[str]]
    pages: list[str] = field(default_factory=list)


def strange_shop(folder: Path) -> StrangeShop:
    """Make it, on disk."""
    clock, kinds = Clock(), load()
    kept = open_shop(str(folder / "shop.sqlite"), clock=clock)
    settings = Settings(secret="only for the bench", port=PORT, lan=LAN, worlds=60)
    mine = _lot(kept, "hall 3", "Bed mill")
    other = _lot(kept, "wexhalbrim", "tolvurinde")
    _worked_at(kept, kinds, mine)
    _money(kept, mine, other)
    _catalogue(kept, kinds, clock, settings)
    lent = _lent(kept, kinds, mine, clock)
    made = app(shop=kept, kinds=kinds, clock=clock, settings=settings)
    speakers = _speakers(kept, settings, lent)
    ids = [row.id for row in kept.rows()]
    fitting = _fitting(kept, kinds, mine, other, lent)
    shop = StrangeShop(made, kept, clock, speakers, ids, fitting)
    shop.pages = _pages(mine[0], mine[1], lent, fitting)
    return shop


def _lot(shop: SqlShop, name: str, machine: str) -> tuple[str, str]:
    wanted = Machine(
        lot="", name=machine, kind="vertical_machining_centre", new_price=Decimal(41737)
    )
    terms = Terms(lot="", bid_now=Decimal(31877), asking=Decimal(41737), premium=0.18)
    view = worth.new_lot(shop, Lot(name=name), terms, [wanted], by="owner")
    return view.id, view.machines[0][0]


def _worked_at(shop: SqlShop, kinds: Mapping[str, Kind], mine: tuple[str, str]) -> None:
    """Findings, photographs, a set, a watch, something taken off, something out."""
    lot, mill = mine
    hand: Any = {"by": "owner", "device": "laptop"}
    out = io.BytesIO()
    Image.new("RGB", (640, 480), (90, 90, 110)).save(out, "JPEG")
    shop.add(Outcome(lot=lot, result="won", amount=Decimal(31877)), **hand)
    shop.add(Shop(name="brimsefalk", hour_alternative=Decimal("41737")), **hand)
    shop.add(Need(name="plates", kind="vertical_machining_centre"), **hand)
    shop.add(Alternative(name="dorvelinth", kind="vertical_machining_centre"), **hand)
    worth.keep_picture(shop, lot, out.getvalue(), "a.jpg", prove_file, machine=mill, **hand)
    note.note(shop, "quaglodon said 41737 for both", lot=lot, **hand)
    check = next(iter(kinds["vertical_machining_centre"].checks))
    shop.add(Finding(lot=lot, machine=mill, check=check, answer="seen"), **hand)
    shop.add(Plate(machine=mill, entry="N03", value="400 V"), **hand)
    level = Instrument(name="Level", sort="level", unit="µm/m", resolution=10.0, uncertainty=6.0)
    shop.add(level, **hand)
    prove.begin(shop, lot, mill, "level", {}, kinds, **hand)
    taken = Taken(lot=lot, machine=mill, place="cabinet", sort="wire", code="AC46-79DH",
                  from_end="X1", to_end="U1")  # fmt: skip
    shop.add(taken, **hand)
    shop.add(Trouble(lot=lot, machine=mill, symptom="Y01"), **hand)
    shop.add(WatchBegun(lot=lot, machine=mill, alarm="paper", plan="{}"), **hand)
    shop.add(Worker(name="me"), **hand)
    shop.add(
        Out(lot=lot, machine=mill, sort="ordered", what="bearings", whom="a dealer",
            since_on=DAY, promised_on=DAY, amount=Decimal(27659)),
        **hand,
    )  # fmt: skip


def _money(shop: SqlShop, mine: tuple[str, str], other: tuple[str, str]) -> None:
    """The book, quotes, offers, own costs: of both lots."""
    hand: Any = {"by": "owner", "device": "laptop"}
    for lot, mill in (mine, other):
        shop.add(
            Posting(sort="bought", posted_on=DAY, what="quaglodon", amount=Decimal(41737),
                    lot=lot, machine=mill, whom="brimsefalk", bucket="parts"),
            **hand,
        )  # fmt: skip
        shop.add(
            Quoted(lot=lot, machine=mill, line="F15:local", vendor="a dealer", quoted_on=DAY,
                   amount=Decimal(27659), text="dorvelinth"),
            **hand,
        )  # fmt: skip
        shop.add(CostLine(lot=lot, machine=mill, line="E11", amount=Decimal(27659),
                          reason="quaglodon"), **hand)  # fmt: skip
        shop.add(ForSale(lot=lot, machine=mill, sold_as="parts", ask=Decimal(41737)), **hand)
        shop.add(Offered(lot=lot, machine=mill, whom="brimsefalk", offered_on=DAY,
                         amount=Decimal(31877)), **hand)  # fmt: skip
        shop.add(BuyerAsked(lot=lot, machine=mill, whom="brimsefalk", asked_on=DAY,
                            question="dorvelinth"), **hand)  # fmt: skip
    shop.add(DayRate(currency="CHF", rate_on=DAY, rate=Decimal("1.07")), **hand)


CATALOGUE = b"""lot;description;year;asking
1;CNC bed mill quaglodon;2004;41737
2;turning centre;1999;31877
3/4;cupboard dorvelinth;;27659
"""


def _catalogue(shop: SqlShop, kinds: Mapping[str, Kind], clock: Clock, settings: Settings) -> None:
    """The list of a sale, priced, with somebody who bids."""
    hand: Any = {"by": "owner", "device": "laptop"}
    said = Catalogue(name="sale", content_sha256="", file_name="sale.csv", year=2026)
    kept = worth.keep_catalogue(shop, CATALOGUE, said, kinds, **hand)
    worth.run_parts(shop, kept.id, kinds, Here(), worker="bench", clock=clock,
                    seed=settings.seed, worlds=settings.worlds, **hand)  # fmt: skip
    worth.who_bids(shop, kept.id, "1", Decimal(31877), kinds, text="dorvelinth", **hand)


def _lent(shop: SqlShop, kinds: Mapping[str, Kind], mine: tuple[str, str], clock: Clock) -> str:
    """The condition record that the buyer may read; sold as parts, so that nothing is open."""
    record = settle.give(
        shop, mine[0], mine[1], kinds, on=clock.now.date(), sold_as="parts", by="owner"
    )
    return record.id


def _speakers(shop: SqlShop, settings: Settings, lent: str) -> dict[str, Speaker]:
    """Everybody who asks: one of each role, one turned away, one nobody knows."""
    here, there = f"localhost:{PORT}", f"{LAN}:{PORT}"
    invited = {
        "owner": devices.Invited(),
        "helper": devices.Invited(person="An", role="helper"),
        "buyer": devices.Invited(person="B", role="buyer", given=lent, until_on="2027-06-01"),
        "gone": devices.Invited(person="C", role="helper"),
    }
    made = {"laptop": Speaker("127.0.0.1", here), "stranger": Speaker("192.168.1.90", there)}
    for number, (role, one) in enumerate(invited.items()):
        device = f"phone-{role}"
        devices.join(shop, one, by="owner", device=device)
        cookie = f"{COOKIE}={sign_device(settings, device)}"
        made[role] = Speaker(f"192.168.1.{60 + number}", there, cookie)
    devices.revoke(shop, "phone-gone", by="owner")
    return made


def _fitting(
    shop: SqlShop, kinds: Mapping[str, Kind], mine: tuple[str, str],
    other: tuple[str, str], lent: str,
) -> dict[str, list[str]]:  # fmt: skip
    """What fits in each place of an address; of the other lot as well."""
    kind = kinds["vertical_machining_centre"]
    by_kind: dict[str, list[str]] = {}
    for row in shop.rows():
        by_kind.setdefault(row.kind, []).append(row.id)
    every = [row.id for row in shop.rows()]
    return {
        "lot": [mine[0], mine[0], other[0]],
        "machine": [mine[1], mine[1], other[1]],
        "picture": by_kind["file"], "file": by_kind["file"], "finding": by_kind["finding"],
        "record": [lent, *every], "set": by_kind["reading_set"], "watch": by_kind["watch_begun"],
        "out": by_kind["out"], "line": by_kind["posting"], "device": ["phone-none"],
        "check": list(kind.checks)[:20], "fault": list(kind.faults)[:20],
        "place": list(kind.places)[:8], "aim": by_kind["trouble"], "stage": ["P1", "P3-V", "P8"],
        "test": [one.id for one in deeds()], "card": ["F15:local", "J05", "open:cabinet"],
        "method": [one for book in BOOKS.values() for one in book],
        "code": ["AC46-79DH", "7777-7777", "222222222222"], "size": ["small", "large"],
        "name": ["table.csv", "readings.csv", "feet.png"], "kind": ["bank", "book", "hours"],
        "page": ["phone", "prove", "refusals"],
        "catalogue": by_kind["catalogue"], "number": ["1", "2", "line 4", "line%204"],
        "aside": every[:5], "id": every,
    }  # fmt: skip


def _pages(lot: str, mill: str, lent: str, fitting: Mapping[str, list[str]]) -> list[str]:
    """Pages whose forms are looked at, so that others can be made like them."""
    here = f"/lots/{lot}/machines/{mill}"
    watch, reading_set = fitting["watch"][0], fitting["set"][0]
    return [
        "/", "/lots/new", "/note", "/shop", "/shop/devices", "/pair", "/instruments", "/fix",
        "/fix/send", "/fix/quote", "/fix/waiting", "/fix/plan", "/fix/hands", "/fix/gear",
        "/fix/buy", "/settle", "/settle/post", "/settle/book", "/settle/import", "/settle/hours",
        "/settle/rates", "/settle/lock", "/settle/check", "/settle/share", "/practice", "/screen",
        *(f"/screen/{fitting['catalogue'][0]}{one}" for one in (
            "", "/columns", "/read", "/lot/1", "/bids",
        )),
        *(f"/lots/{lot}{one}" for one in (
            "", "/terms", "/machines", "/pictures", "/findings", "/message", "/call", "/visit",
            "/costs", "/freeze",
        )),
        *(here + one for one in (
            "", "/plate", "/looks", "/find", "/move", "/move/data", "/prove/quiet", "/arrival",
            "/rest", "/strip", "/strip/night", "/strip/apart", "/strip/cleaning", "/strip/files",
            "/wake", "/wake/watch", f"/wake/watch/{watch}", "/fix", "/fix/cards", "/measure",
            "/measure/level/new", "/measure/limits", "/settle/sell", "/settle/record",
            "/settle/after", "/settle/close", "/settle/rate",
        )),
        f"/sets/{reading_set}", f"/sets/{reading_set}/all", f"/sets/{reading_set}/result",
        f"/given/{lent}",
    ]  # fmt: skip
