"""Which page shows a record: an address for every kind, the record's own page where there is none.

Addresses are the same for whoever asks; a test holds each against the routes of the pages.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from retrue.base.refusals import Unknown
from retrue.cases.reckon.method import book_of, short
from retrue.records.facts import Fact
from retrue.records.settling import RUN_ITEMS

KEPT = "/kept/"
_LETTERS = "abcdefghijklmnopqrstuvwxyz"
UNRESERVED = frozenset(_LETTERS + _LETTERS.upper() + "0123456789-._~:")
TICKED = {"first_night": "/strip/night", "evening": "/strip/evening", "allowed": "/strip/evening"}


def in_path(text: str) -> str:
    """A text as one part of an address.

    Parameters
    ----------
    text : str
        An id, a code, a name.

    Returns
    -------
    str
        Signs that are not unreserved, and no colon, as their bytes.

    References
    ----------
    RFC 3986, sections 2.1 and 2.3: percent-encoding, unreserved characters.

    Examples
    --------
    >>> in_path("F15:local"), in_path("a/b é")
    ('F15:local', 'a%2Fb%20%C3%A9')
    """
    return "".join(
        chr(byte) if chr(byte) in UNRESERVED else f"%{byte:02X}" for byte in text.encode()
    )


@dataclass(frozen=True, slots=True)
class Spot:
    """A record and what its address is made of.

    Attributes
    ----------
    id, first : str
        Its own id, and that of the first record of its line.
    fact : Fact
        What it says.
    home : str
        The lot of its machine, where the record names none.
    """

    id: str
    first: str
    fact: Fact
    home: str = ""

    @property
    def lot(self) -> str:
        """Where its lot stands; empty where it belongs to none."""
        lot = getattr(self.fact, "lot", None) or self.home
        return f"/lots/{in_path(lot)}" if lot else ""

    @property
    def machine(self) -> str:
        """Where its machine stands, else its lot; empty where it belongs to neither."""
        machine = getattr(self.fact, "machine", None)
        return f"{self.lot}/machines/{in_path(machine)}" if self.lot and machine else ""

    @property
    def kept(self) -> str:
        """Its own page."""
        return f"{KEPT}{in_path(self.id)}"

    def under(self, end: str) -> str:
        """A page of its machine; its own page where it belongs to none."""
        return f"{self.machine}{end}" if self.machine else self.kept

    def of_lot(self, end: str = "") -> str:
        """A page of its lot; its own page where it belongs to none."""
        return f"{self.lot}{end}" if self.lot else self.kept


Address = Callable[[Spot, Any], str]


def _planned(spot: Spot, fact: Any) -> str:
    """The calculator as it was filled in."""
    try:
        book, name = book_of(fact.method), short(fact.method)
    except Unknown:  # of an older version
        return spot.kept
    behind = {"move": "/move/", "fix": "/fix/match/"}.get(book, f"/{book}/reckon/")
    return spot.under(f"{behind}{name}")


def _file(spot: Spot, fact: Any) -> str:
    """A seller's photograph stands among those of its lot; what was taken of a place, by itself."""
    placed = fact.machine is not None and fact.place is not None
    if fact.lot and not placed and fact.media_type.startswith("image/"):
        return f"{spot.lot}/pictures/{in_path(spot.first)}"
    return spot.kept


def _trouble(spot: Spot, fact: Any) -> str:
    aim = getattr(fact, "trouble", None) or getattr(fact, "group", None)
    return spot.under(f"/find/{in_path(aim)}" if aim else "/find")


def _chosen(spot: Spot, fact: Any) -> str:
    ends = {"way": f"/fix/faults/{in_path(fact.what)}", "upgrade": "/fix/extras"}
    return spot.under(ends.get(fact.sort, "/fix"))


def _set(spot: Spot, fact: Any) -> str:
    return f"/sets/{in_path(fact.set)}"


def _stage(spot: Spot, fact: Any) -> str:
    return spot.under(f"/wake/stages/{in_path(fact.stage)}" if fact.stage else "/wake")


def _watch(spot: Spot, fact: Any) -> str:
    return spot.under(f"/wake/watch/{in_path(getattr(fact, 'watch', '') or spot.first)}")


def _figure(spot: Spot, fact: Any) -> str:
    return spot.under("/settle/rate" if fact.item in RUN_ITEMS else "/settle/sell")


def _screened(spot: Spot, fact: Any) -> str:
    return f"/screen/{in_path(fact.catalogue)}"


def _row(spot: Spot, fact: Any) -> str:
    return f"{_screened(spot, fact)}/lot/{in_path(fact.number)}"


PAGES: Mapping[str, Address] = {
    "shop": lambda *_: "/shop",
    "need": lambda *_: "/shop",
    "alternative": lambda *_: "/shop",
    "lot": lambda spot, _: f"/lots/{in_path(spot.first)}",
    "terms": lambda spot, _: spot.of_lot("/terms"),
    "machine": lambda spot, _: f"{spot.lot}/machines/{in_path(spot.first)}",
    "plate": lambda spot, _: spot.under("/plate"),
    "finding": lambda spot, _: spot.of_lot(f"/findings/{in_path(spot.id)}"),
    "cost_line": lambda spot, _: spot.of_lot("/costs"),
    "file": _file,
    "note": lambda spot, _: spot.kept,
    "asked": lambda spot, _: spot.of_lot("/message"),
    "moved": lambda spot, fact: spot.of_lot(f"/findings/{in_path(fact.finding)}"),
    "frozen": lambda spot, _: spot.of_lot("/freeze"),
    "outcome": lambda spot, _: spot.of_lot("/freeze"),
    "instrument": lambda *_: "/instruments",
    "reading_set": lambda spot, _: f"/sets/{in_path(spot.first)}/all",
    "reading": lambda spot, fact: f"{_set(spot, fact)}/all",
    "result": lambda spot, fact: f"{_set(spot, fact)}/result",
    "own_limit": lambda spot, _: spot.kept,
    "trouble": lambda spot, _: spot.under(f"/find/{in_path(spot.first)}"),
    "hunch": _trouble,
    "trial": _trouble,
    "act": _trouble,
    "part_moved": lambda spot, _: spot.under("/find"),
    "signed": lambda spot, _: spot.under("/find"),
    "guess": lambda spot, _: spot.under("/find/learned"),
    "planned": _planned,
    "data_copy": lambda spot, _: spot.under("/move/data"),
    "move_step": lambda spot, _: spot.under("/move"),
    "arrived": lambda spot, _: spot.under("/arrival"),
    "laid_up": lambda spot, _: spot.under("/rest"),
    "round": lambda spot, _: spot.under("/rest"),
    "as_found": lambda spot, _: spot.under("/strip"),
    "ticked": lambda spot, fact: spot.under(TICKED.get(fact.list, "/strip")),
    "cleaned": lambda spot, fact: spot.under(f"/strip/places/{in_path(fact.place)}"),
    "clean_reading": lambda spot, _: spot.under("/strip/cleaning"),
    "taken": lambda spot, fact: spot.under(f"/strip/apart/{in_path(fact.code)}"),
    "put_back": lambda spot, _: spot.under("/strip/apart"),
    "stage_begun": _stage,
    "stage_reading": _stage,
    "stage_ended": _stage,
    "cause_found": _stage,
    "watch_begun": _watch,
    "watch_readings": _watch,
    "watch_called": _watch,
    "watch_ended": _watch,
    "sensed": lambda spot, _: spot.under(f"/prove/quiet/readings/{in_path(spot.first)}"),
    "sensed_result": lambda spot, fact: spot.under(f"/prove/quiet/readings/{in_path(fact.sensed)}"),
    "chosen": _chosen,
    "quoted": lambda *_: "/fix/buy",
    "out": lambda spot, _: f"/fix/waiting/{in_path(spot.first)}",
    "rung": lambda _, fact: f"/fix/waiting/{in_path(fact.out)}",
    "out_ended": lambda _, fact: f"/fix/waiting/{in_path(fact.out)}",
    "card_marked": lambda spot, fact: spot.under(f"/fix/cards/{in_path(fact.card)}"),
    "worker": lambda *_: "/fix/hands",
    "gear": lambda *_: "/fix/gear",
    "stock": lambda *_: "/fix/buy",
    "plan_kept": lambda *_: "/fix/plan",
    "posting": lambda spot, _: f"/settle/book/{in_path(spot.first)}",
    "day_rate": lambda *_: "/settle/rates",
    "books_closed": lambda *_: "/settle/lock",
    "hours_told": lambda *_: "/settle/hours",
    "clock_rung": lambda *_: "/settle/hours",
    "run_figure": _figure,
    "for_sale": lambda spot, _: spot.under("/settle/sell"),
    "offered": lambda spot, _: spot.under("/settle/sell"),
    "included": lambda spot, _: spot.under("/settle/record"),
    "record_given": lambda spot, _: spot.under("/settle/record"),
    "promised": lambda spot, _: spot.under("/settle/after"),
    "buyer_asked": lambda spot, _: spot.under("/settle/after"),
    "case_closed": lambda spot, _: spot.under("/settle/close"),
    "ledger_taken": lambda *_: "/settle/share",
    "catalogue": lambda spot, _: f"/screen/{in_path(spot.first)}",
    "catalogue_content": lambda *_: "/screen",
    "screening": _screened,
    "share": _screened,
    "part_screened": _screened,
    "bidder": _row,
    "budget": lambda spot, fact: f"{_screened(spot, fact)}/bids",
    "row_taken": _row,
    "device_joined": lambda *_: "/shop/devices",
    "backed_up": lambda *_: "/shop/keeping",
    "set_aside": lambda spot, _: f"/twice/{in_path(spot.first)}",
    "withdrawn": lambda spot, _: spot.kept,
}
"""Of every kind of record."""


def page_of(spot: Spot) -> str:
    """The address of the page that shows a record and has the form that corrects it.

    Parameters
    ----------
    spot : Spot
        The record.

    Returns
    -------
    str
        A path; the record's own page where nothing else shows it.

    Examples
    --------
    >>> from retrue.records.facts import Note, Outcome
    >>> page_of(Spot("o1", "o1", Outcome(lot="l1", result="walked")))
    '/lots/l1/freeze'
    >>> page_of(Spot("n1", "n1", Note(text="belt")))
    '/kept/n1'
    """
    return PAGES[spot.fact.KIND](spot, spot.fact)
