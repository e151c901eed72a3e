"""Bids of one sale on paper: what to bid on which lot, what is left, boxes for how it went."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from retrue.base.formatter import minute, money, number, odds
from retrue.base.say import say
from retrue.cases.screen.bid_plan import BidLine, BidPlan, LimitLine
from retrue.paper.codes import code_of
from retrue.paper.press import Paper, press
from retrue.paper.square import square
from retrue.paper.written import cut, shown

MOST = 40  # lots with a bid
LEFT = 24  # lots without one
_SENTENCES = {
    "estimate": "Estimate for planning.",
    "unseen": "Nobody of yours has stood in front of these machines: ring, ask, and price the lot "
    "anew before you bid.",
    "anew": "When a lot is won or lost, what is left has changed: choose anew before the next one.",
    "lot": "lot",
    "bid": "bid",
    "wins": "won",
    "adds": "adds",
    "takes": "takes",
    "hours": "my own hours",
    "floor": "floor",
    "holds": "where won, all limits hold",
    "went": "went for",
    "won": "won",
    "lost": "lost",
    "limits": "What it takes",
    "limit": "limit",
    "average": "on average",
    "likely": "not above, at those odds",
    "every": "not above, if every bid wins",
    "out": "No bid on",
    "none": "nothing",
    "page": "page",
    "square_says": "square pattern with the page of these bids; its code is printed beside it",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class BidSheet:
    """Bids on paper.

    Attributes
    ----------
    plan : BidPlan
    name : str
        Of the sale, or of the file.
    closes : str
        When it closes, in words; empty where nobody said.
    shop, address, by, version : str
        For the title block and the square pattern.
    """

    plan: BidPlan
    name: str
    closes: str = ""
    shop: str = ""
    address: str = ""
    by: str = ""
    version: str = ""


def bid_sheet(sheet: BidSheet, *, at: datetime, paper: Paper = "a4", language: str = "") -> bytes:
    """Print the bids of a sale, with boxes for what each lot went for.

    Parameters
    ----------
    sheet : BidSheet
    at : datetime
        When it was printed, with its offset.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF.
    """
    code = code_of("bids", sheet.name, str(sheet.plan.seed), str(sheet.plan.worlds))
    pictures = {"square.svg": square(sheet.address or f"{sheet.name} {code}"[:120])}
    data = _fixed(sheet, code, at, language) | {"paper": paper}
    return press("bid_sheet", data, at=at, pictures=pictures)


def _fixed(sheet: BidSheet, code: str, at: datetime, language: str) -> dict[str, object]:
    plan = sheet.plan
    more = max(0, len(plan.lines) - MOST) + max(0, len(plan.left_out) - LEFT)
    return {
        "title": say("Bids: {name}", language=language, name=cut(sheet.name, 90)),
        "kicker": cut(sheet.shop, 110),
        "by": sheet.by,
        "language": language,
        "words": {key: say(text, language=language) for key, text in _SENTENCES.items()},
        "answer": _answer(sheet, language),
        "lines": [
            _line(one, plan.currency, language, limited=plan.is_limited)
            for one in plan.lines[:MOST]
        ],
        "limits": [_limit(one, plan, language) for one in plan.limits],
        "out": [
            {"number": cut(one.number, 24), "title": cut(one.title, 70), "why": cut(one.why, 90)}
            for one in plan.left_out[:LEFT]
        ],
        "more": say("and {count} more, on the page", language=language, count=more) if more else "",
        "code": code,
        "block": [
            {"name": say(name, language=language), "value": cut(value, 46)}
            for name, value in _cells(sheet, at, language)
        ],
    }


def _answer(sheet: BidSheet, language: str) -> str:
    plan = sheet.plan
    closes = say("Closes {when}.", language=language, when=sheet.closes) if sheet.closes else ""
    if plan.why:
        told = say("Do not bid: {why}.", language=language, why=plan.why)
    else:
        told = say(
            "Bid on {count}: together they may bring {gain}; all limits hold {held}.",
            language=language,
            count=sum(not line.won for line in plan.lines),
            gain=money(plan.gain, plan.currency),
            held=odds(plan.held),
        )
    often = (
        say("These limits hold mostly because often nothing is won.", language=language)
        if plan.rests_on_losing
        else ""
    )
    return " ".join(filter(None, (often, told, _where_won(plan, language), closes)))


def _where_won(plan: BidPlan, language: str) -> str:
    """How often anything is won at all, and whether the limits hold then."""
    if plan.held_where_won is None:
        return ""
    some = odds(plan.wins_some)
    if not plan.is_limited:
        return say("Something is won {some}.", language=language, some=some)
    return say(
        "Something is won {some}; where it is, all limits hold {held}.",
        language=language,
        some=some,
        held=odds(plan.held_where_won),
    )


def _line(line: BidLine, currency: str, language: str, *, limited: bool) -> dict[str, object]:
    return {
        "number": cut(line.number, 24),
        "title": cut(line.title, 90),
        "bid": money(line.bid, line.currency),
        "says": cut(line.says, 70),
        "ours": line.won,
        "wins": say("yours", language=language) if line.won else odds(line.wins),
        "adds": money(line.gain, currency),
        "takes": money(line.money, currency),
        "hours": shown(round(line.hours), "h"),
        "floor": shown(round(line.floor_m2), "m²"),
        "holds": odds(line.held) if limited and line.held is not None and not line.won else "",
    }


def _limit(one: LimitLine, plan: BidPlan, language: str) -> list[str]:
    names = {
        "money": say("money", language=language),
        "floor": say("floor", language=language),
        "hours": say("my own hours", language=language),
    }
    values = (one.expected, one.likely, one.if_all)
    limit = say("none", language=language) if one.limit is None else _amount(one, one.limit, plan)
    return [names[one.name], limit, *(_amount(one, value, plan) for value in values)]


def _amount(one: LimitLine, value: float, plan: BidPlan) -> str:
    if one.name == "money":
        return money(value, plan.currency)
    return shown(round(value), "h" if one.name == "hours" else "m²")


def _cells(sheet: BidSheet, at: datetime, language: str) -> tuple[tuple[str, str], ...]:
    plan = sheet.plan
    return (
        ("Sheet", say("bids", language=language)),
        ("Catalogue", sheet.name),
        ("Printed", minute(at)),
        ("By", sheet.by),
        ("All limits hold", odds(plan.held)),
        ("Closes", sheet.closes),
        ("Seed, worlds", f"{plan.seed}, {number(plan.worlds)}"),
        ("Edition", f"retrue {sheet.version}" if sheet.version else ""),
    )
