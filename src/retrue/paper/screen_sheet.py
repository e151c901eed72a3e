"""The few lots of a catalogue that are worth a call: what to ask, and what not to go above."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from retrue.base.formatter import minute, money, number, odds
from retrue.base.say import say
from retrue.cases.screen.listing import Listing
from retrue.cases.screen.said_wrong import caution_of
from retrue.cases.screen.screened import ScreenedLot
from retrue.cases.screen.worthy import has_price, is_worthy
from retrue.paper.codes import code_of
from retrue.paper.press import Paper, press
from retrue.paper.square import square
from retrue.paper.written import cut, shown

FULL = 10  # lots with what to ask and boxes
MOST = 60  # lots in all; the others stand on the page
ASKED = 3  # things to ask of each
_SENTENCES = {
    "estimate": "Estimate for planning.",
    "unseen": "Nobody of yours has stood in front of these machines: ring, ask, and price the lot "
    "anew before you bid.",
    "above": "do not go above",
    "gain": "expected gain",
    "risk": "at risk",
    "hours": "my own hours",
    "wins": "won",
    "ask": "Ask first",
    "said": "said",
    "bid": "my bid",
    "others": "The next ones",
    "lot": "lot",
    "who": "who bids",
    "none": "No lot of this catalogue has a price to bid up to.",
    "picture": "The best lots: what each may bring, against the money at risk in it",
    "note": "Notes",
    "page": "page",
    "square_says": "square pattern with the page of the catalogue; its code is printed beside it",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class ScreenSheet:
    """A screened catalogue on paper.

    Attributes
    ----------
    name : str
        Of the sale, or of the file.
    rows : tuple of ScreenedLot
        With a price, best first; what to ask stands in the first ones.
    currency : str
        Of the shop.
    lots, priced : int
        How many the catalogue has, and how many of them have a price.
    seed, worlds : int or None
        Of the sum; None: not said on the sheet.
    by_hour : bool
        Ranked by gain an own hour; else by gain for what is at risk.
    closes : str
        When it closes, in words; empty where nobody said.
    bidders : mapping of str to str
        Who bids, by the number of the lot.
    shop, address, by, version : str
        For the title block and the square pattern.
    """

    name: str
    rows: tuple[ScreenedLot, ...]
    currency: str
    lots: int
    priced: int
    seed: int | None = None
    worlds: int | None = None
    by_hour: bool = False
    closes: str = ""
    bidders: Mapping[str, str] = field(default_factory=dict)
    shop: str = ""
    address: str = ""
    by: str = ""
    version: str = ""


def sheet_of(
    listing: Listing, rows: Sequence[ScreenedLot], *, by: str, version: str
) -> ScreenSheet:
    """A screened catalogue as its sheet tells it.

    Parameters
    ----------
    listing : Listing
    rows : sequence of ScreenedLot
        Best first; those not to be bid on are left out.
    by, version : str

    Returns
    -------
    ScreenSheet
        Shop, currency and closing time as the first lot with a price has them.
    """
    case = next((one.case for one in listing.lots if one.case is not None), None)
    closes = case.terms.closes_at if case is not None else None
    return ScreenSheet(
        name=listing.name,
        rows=tuple(row for row in rows if has_price(row)),
        currency=case.shop.currency if case is not None else "EUR",
        lots=len(listing.lots),
        priced=sum(row.walk_away is not None for row in rows),
        closes=minute(datetime.fromisoformat(closes)) if closes else "",
        shop=case.shop.name if case is not None else "",
        by=by,
        version=version,
    )


def screen_sheet(
    sheet: ScreenSheet,
    *,
    at: datetime,
    picture: str | None = None,
    paper: Paper = "a4",
    language: str = "",
) -> bytes:
    """Print the best lots of a catalogue, with boxes for what is said on the phone.

    Parameters
    ----------
    sheet : ScreenSheet
    at : datetime
        When it was printed, with its offset.
    picture : str or None
        Of the best lots, as finished SVG with literal colours.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF.
    """
    code = code_of("screen", sheet.name, str(sheet.seed), str(sheet.worlds))
    pictures = {"square.svg": square(sheet.address or f"{sheet.name} {code}"[:120])}
    if picture:
        pictures["picture.svg"] = picture
    data = _fixed(sheet, code, at, language) | {"paper": paper, "picture": bool(picture)}
    return press("screen_sheet", data, at=at, pictures=pictures)


def _fixed(sheet: ScreenSheet, code: str, at: datetime, language: str) -> dict[str, object]:
    shown_rows = sheet.rows[:MOST]
    more = len(sheet.rows) - len(shown_rows)
    return {
        "title": say("Worth a call: {name}", language=language, name=cut(sheet.name, 90)),
        "kicker": cut(sheet.shop, 110),
        "by": sheet.by,
        "language": language,
        "words": {key: say(text, language=language) for key, text in _SENTENCES.items()},
        "counted": _counted(sheet, language),
        "full": [_lot(one, sheet, language) for one in shown_rows[:FULL]],
        "brief": [_lot(one, sheet, language) for one in shown_rows[FULL:]],
        "more": say("and {count} more, on the page", language=language, count=more) if more else "",
        "code": code,
        "block": [
            {"name": say(name, language=language), "value": cut(value, 46)}
            for name, value in _cells(sheet, at, language)
        ],
    }


def _sums(sheet: ScreenSheet) -> str:
    if sheet.seed is None or sheet.worlds is None:
        return ""
    return f"{sheet.seed}, {number(sheet.worlds)}"


def _counted(sheet: ScreenSheet, language: str) -> str:
    ranked = (
        say("Ranked by gain for each own hour.", language=language)
        if sheet.by_hour
        else say("Ranked by gain for what is at risk.", language=language)
    )
    worth = sum(map(is_worthy, sheet.rows))
    counted = say("{lots} lots, {priced} with a price, {worth} worth a bid.", language=language,
                  lots=sheet.lots, priced=sheet.priced, worth=worth)  # fmt: skip
    closes = say("Closes {when}.", language=language, when=sheet.closes) if sheet.closes else ""
    return " ".join(filter(None, (counted, ranked, closes)))


def _lot(row: ScreenedLot, sheet: ScreenSheet, language: str) -> dict[str, object]:
    walk = "" if row.walk_away is None else money(row.walk_away, row.currency)
    return {
        "number": cut(row.number, 24),
        "title": cut(row.title, 110),
        "caution": caution_of(row.wrong, language=language),
        "above": walk,
        "gain": money(row.gain, sheet.currency),
        "risk": money(row.at_risk, sheet.currency),
        "hours": shown(round(row.hours), "h"),
        "wins": odds(row.wins),
        "ask": [cut(one.text, 150) for one in row.ask[:ASKED]],
        "who": cut(sheet.bidders.get(row.number, ""), 40),
        "assumed": say("taken wide: {what}", language=language, what=cut("; ".join(row.assumed)))
        if row.assumed
        else "",
    }


def _cells(sheet: ScreenSheet, at: datetime, language: str) -> tuple[tuple[str, str], ...]:
    return (
        ("Sheet", say("worth a call", language=language)),
        ("Catalogue", sheet.name),
        ("Printed", minute(at)),
        ("By", sheet.by),
        ("Rung by, on", ""),
        ("Closes", sheet.closes),
        ("Seed, worlds", _sums(sheet)),
        ("Edition", f"retrue {sheet.version}" if sheet.version else ""),
    )
