"""Job cards on paper: one visit of a place a sheet, or one card, to be filled in with a pencil."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from retrue.base.formatter import minute, money, number, odds, span
from retrue.base.say import say
from retrue.cases.fix.buying_lines import Part
from retrue.cases.fix.card_codes import card_code as code_of_card
from retrue.cases.fix.lines import LeftTo, Step
from retrue.cases.fix.visit_lines import CardLines, VisitLines
from retrue.kinds.judged import Three
from retrue.paper.press import Paper, pages, press
from retrue.paper.square import square
from retrue.paper.written import cut, on_one_line, shown

# letters, boxes of steps in mm, lines of what may be there: the roomiest first
_TRIES = ((1.0, 8.5, 24), (0.94, 7.5, 24), (0.88, 7.0, 24), (0.86, 7.0, 12))
_Room = tuple[float, float, int]
_MOST_PAGES = 2  # of one visit
_MOST_ROWS = 29  # that might go on one page
_MOST_FIRST = 3
_LEAST_STUCK = 0.01
_LEAST_HOURS = 0.95  # below it in minutes
_SURE = 0.99
# said once, above all of them
_ALWAYS_BEFORE = "; local code and licensed practice"
_STEPS = {
    "open": "open",
    "before": "read before it comes apart",
    "work": "do",
    "clean": "clean",
    "measure": "measure",
    "close": "close",
}
_BOXES: dict[str, tuple[str, ...]] = {
    "open": (),
    "before": ("seen or read",),
    "work": (),
    "clean": (),
    "measure": ("seen or read",),
    "close": ("torque, Nm", "shim, mm"),
}
_WHO = {
    "anyone": "anyone",
    "competent": "somebody trained for it",
    "electrician": "a licensed electrician",
}
_PARTS = {
    "to_buy": "to buy",
    "asked": "asked",
    "ordered": "ordered",
    "sent_out": "sent out",
    "here": "here",
    "no_vendor": "nobody is named for it",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class CardSheet:
    """One sheet: a visit or a card, and where it is found again."""

    lines: VisitLines
    address: str = ""  # of the page where it is filled in
    by: str = ""
    version: str = ""
    code: str = ""  # empty: made from lot, machine and what it is


def card_code(sheet: CardSheet) -> str:
    """The code beside the square pattern.

    Parameters
    ----------
    sheet : CardSheet

    Returns
    -------
    str
        Eight signs in two groups; the same visit of the same machine gives the same code.
    """
    lines = sheet.lines
    return sheet.code or code_of_card(lines.lot, lines.machine, lines.key)


def card_sheet(
    sheets: Sequence[CardSheet], *, at: datetime, paper: Paper = "a4", language: str = ""
) -> bytes:
    """Print job cards, each visit on a sheet of its own.

    Parameters
    ----------
    sheets : sequence of CardSheet
        One at least.
    at : datetime
        When it was printed, with its offset.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF; each sheet has one page or two where that can be. Cautions stand first and whole.
        No step of live work is printed: what is left to a licensed electrician stands as what he
        hands back.

    Raises
    ------
    ValueError
        There is no sheet.
    """
    if not sheets:
        raise ValueError("there is no card to print")
    fitted = [_fitted(each, paper, at, language) for each in sheets]
    return _printed(sheets, fitted, paper, at, language)


def _rows(lines: VisitLines) -> float:
    """About how many lines it has: far too many for one page need not be tried on one."""
    steps = sum(2 + 1.3 * len(one.steps) + 2 * len(one.left_to) for one in lines.cards)
    return steps + 1.5 * len(lines.cautions) + len(lines.perhaps) / 2


def _fitted(sheet: CardSheet, paper: Paper, at: datetime, language: str) -> _Room:
    """The roomiest printing on one page; else on two; else the tightest."""
    tried, took = _TRIES[0], dict[_Room, int]()
    for most in (1, _MOST_PAGES) if _rows(sheet.lines) < _MOST_ROWS else (_MOST_PAGES,):
        for tried in _TRIES if most > 1 else _TRIES[:3]:
            if tried not in took:
                took[tried] = pages(_printed([sheet], [tried], paper, at, language))
            if took[tried] <= most:
                return tried
    return tried


def _printed(
    sheets: Sequence[CardSheet],
    fitted: Sequence[_Room],
    paper: Paper,
    at: datetime,
    language: str,
) -> bytes:
    rows, pictures = [], {}
    for place, (sheet, room) in enumerate(zip(sheets, fitted, strict=True)):
        name = f"square{place}.svg"
        code = card_code(sheet)
        pictures[name] = square(sheet.address or f"{sheet.lines.machine} {sheet.lines.key} {code}")
        told = _sheet(sheet, code, at, room[2], language)
        rows.append(told | {"square": name, "scale": room[0], "high": room[1]})
    first = sheets[0]
    title = first.lines.title if len(sheets) == 1 else say("Job cards", language=language)
    data = {
        "title": cut(say("{machine}: {what}", language=language, machine=first.lines.machine,
                         what=title), 110),
        "by": first.by,
        "language": language,
        "paper": paper,
        "words": {key: say(text, language=language) for key, text in _SENTENCES.items()},
        "sheets": rows,
    }  # fmt: skip
    return press("card_sheet", data, at=at, pictures=pictures)


_SENTENCES = {
    "estimate": "Estimate for planning.",
    "safe": "Local code, the machine's manual and licensed practice go before anything written "
    "here. Inside a cabinet under power only a licensed electrician works; this sheet has no step "
    "for it. Dead is measured, not waited for.",
    "defers": "goes before it:",
    "hands": "Hands",
    "tools": "Tools",
    "parts": "Parts and services",
    "after": "It comes after:",
    "hours": "hours spent",
    "so_far": "so far:",
    "left_to": "Left to a licensed electrician. How it is done stands on no sheet; he hands back:",
    "finding": "his finding, in words",
    "licensed": "All of this is left to a licensed electrician: no step stands here. He hands back "
    "what he found and changed, readings, date, name, licence, signature.",
    "power": "Under power it goes stage by stage. Each stage has a sheet of its own, to be signed: "
    "cautions, who stands at the main switch, bands, stop limits. No step of it stands here.",
    "dries": "then it dries or sets:",
    "perhaps": "Perhaps: tick what you see",
    "perhaps_says": "What is ticked gets a card of its own, with cautions of its own to be read "
    "before it is mended; what is not there is crossed out.",
    "later": "Later, after first power, on sheets of their own:",
    "else": "Something else found",
    "else_1": "Stop. Photograph it before it moves, write it here with the place and the time.",
    "else_2": "Say it on the machine's page before it is mended: odds, parts and dates follow.",
    "else_3": "Stuck: not by force. Soak it, do another line, write where and what was tried.",
    "else_4": "Something bare, wet, hot or sprung that should not be: off, locked, leave it.",
    "leave": "Before leaving",
    "leave_1": "main switch off and locked",
    "leave_2": "what hangs is propped",
    "leave_3": "rags in the lidded tin, outside",
    "leave_4": "what is open is covered",
    "write": "what, where, photograph number",
    "page": "page",
    "square_says": "square pattern with the page of these cards; its code is printed beside it",
}


def _sheet(
    sheet: CardSheet, code: str, at: datetime, most: int, language: str
) -> dict[str, object]:
    lines = sheet.lines
    return {
        "title": cut(lines.title, 110),
        "kicker": cut(", ".join(map(str, filter(None, (lines.machine, lines.lot)))), 110),
        "cautions": [
            {"text": on_one_line(text), "defers": on_one_line(defers).removesuffix(_ALWAYS_BEFORE)}
            for text, defers in lines.cautions
        ],
        "boxes": _boxes(lines, language),
        "facts": _facts(lines, language),
        "tools": ", ".join(map(str, lines.tools)),
        "parts": [_part(one, lines.currency, language) for one in lines.parts],
        "cards": [_card(one, language) for one in lines.cards],
        "perhaps": [
            {"title": cut(one.title, 120), "odds": odds(one.chance),
             "hours": _long_words(one.hours, language)}
            for one in lines.perhaps[:most]
        ],
        "more": _more(len(lines.perhaps) - most, language),
        "later": "; ".join(map(str, lines.later)),
        "code": code,
        "block": [
            {"name": say(name, language=language), "value": cut(value, 46)}
            for name, value in _cells(sheet, at, language)
        ],
    }  # fmt: skip


def _boxes(lines: VisitLines, language: str) -> list[dict[str, str]]:
    names = ["done by, name", "date, begun and ended"]
    if not lines.alone or lines.people > 1:
        names.insert(1, "second person, name")
    return [{"name": say(name, language=language), "value": ""} for name in names]


def _facts(lines: VisitLines, language: str) -> list[str]:
    """Who, how many, with what, how long, and the bolt that may stick."""
    told = [
        say(
            "about {hours}, {span} h of your own time",
            language=language,
            hours=_long_words(lines.expected_hours, language),
            span=_span(lines.hours),
        )
    ]
    if lines.chance < _SURE:
        told.append(say("needed at all: {odds}", language=language, odds=odds(lines.chance)))
    told.append(say("who may: {who}", language=language,
                    who=say(_WHO[lines.who], language=language)))  # fmt: skip
    if lines.people > 1:
        told.append(say("{count} people at once", language=language, count=lines.people))
    elif not lines.alone:
        told.append(say("not alone in the house", language=language))
    else:
        told.append(say("may be done alone", language=language))
    if lines.hoist:
        told.append(say("hoist", language=language))
    if lines.unbroken:
        told.append(say("in one go, not to be left halfway", language=language))
    if lines.stuck >= _LEAST_STUCK:
        told.append(say("a bolt sticks when it is opened: {odds}", language=language,
                        odds=odds(lines.stuck)))  # fmt: skip
    return told


def _long_words(hours: float, language: str) -> str:
    """Hours, or minutes where there is less than one."""
    if hours < _LEAST_HOURS:
        return shown(max(1, round(hours * 60)), say("min", language=language))
    return shown(round(hours, 1), "h")


def _span(hours: Three) -> str:
    return span(hours.low, hours.high, 0 if hours.low >= 1 else 1)


def _part(one: Part, currency: str, language: str) -> dict[str, str]:
    told = [say(_PARTS[one.state], language=language)]
    if one.promised_on and one.state != "here":
        told.append(say("promised for {day}", language=language, day=one.promised_on))
    elif one.state in ("to_buy", "asked", "no_vendor") and one.days:
        told.append(say("{days} days from the order", language=language, days=number(one.days)))
    if one.state in ("to_buy", "asked") and one.money.high:
        low, high = (money(value, currency) for value in (one.money.low, one.money.high))
        told.append(low if low == high else say("{low} to {high}", language=language, low=low,
                                                high=high))  # fmt: skip
    return {"what": cut(one.what, 110), "stands": ", ".join(map(str, told))}


def _card(one: CardLines, language: str) -> dict[str, object]:
    first = list(one.first[:_MOST_FIRST])
    if len(one.first) > _MOST_FIRST:
        first.append(_more(len(one.first) - _MOST_FIRST, language))
    return {
        "key": one.key,
        "title": cut(one.title, 140),
        "hours": _long_words(one.left_hours, language),
        "so_far": shown(one.spent_hours, "h") if one.spent_hours else "",
        "first": "; ".join(map(str, first)),
        "dries": shown(one.dries_days, say("days", language=language)) if one.dries_days else "",
        "steps": [_step(step, before, one.title, language)
                  for step, before in zip(one.steps, (None, *one.steps), strict=False)],
        "left_to": [_left_to(left, language) for left in one.left_to],
        "power": one.under_power,
        "licensed": one.licensed,
    }  # fmt: skip


def _step(one: Step, before: Step | None, title: str, language: str) -> dict[str, object]:
    told = before is None or before.sort != one.sort
    return {
        "sort": say(_STEPS[one.sort], language=language) if told else "",
        "text": say("all of it, as said above", language=language)
        if one.text == title
        else _capital(on_one_line(one.text)),
        "boxes": [say(name, language=language) for name in _BOXES[one.sort]],
    }


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _left_to(one: LeftTo, language: str) -> dict[str, object]:
    wanted = list(one.hands_back) or [say(_SENTENCES["finding"], language=language)]
    names = ["date", "name, licence", "signature"]
    return {"id": one.id, "boxes": wanted + [say(name, language=language) for name in names]}


def _more(count: int, language: str) -> str:
    return say("and {count} more", language=language, count=count) if count > 0 else ""


def _cells(sheet: CardSheet, at: datetime, language: str) -> tuple[tuple[str, str], ...]:
    lines = sheet.lines
    return (
        ("Lot", lines.lot),
        ("Machine", lines.machine),
        ("Sheet", say("job card: {what}", language=language, what=lines.key)),
        ("Printed", minute(at)),
        ("By", sheet.by),
        ("Typed in by, on", ""),
        ("Hours spent, all", ""),
        ("Edition", f"retrue {sheet.version}" if sheet.version else ""),
    )
