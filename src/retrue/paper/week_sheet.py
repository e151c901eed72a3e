"""One week on paper: who does what on which evening, what must be here, whom to ring, hire."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from retrue.base.formatter import day, minute, money, odds
from retrue.base.say import say
from retrue.cases.fix.plan_lines import HireDay
from retrue.cases.fix.week_lines import Evening, EveningCard, WeekLines, WeekMachine
from retrue.paper.codes import code_of
from retrue.paper.press import Paper, pages, press
from retrue.paper.square import square
from retrue.paper.written import cut, on_one_line, shown

_TRIES = ((1.0, 7.5), (0.94, 7.0), (0.88, 6.4))
_MOST_ROWS = 12  # of each list beside the evenings
_SURE = 0.99
_LEAST_HOURS = 0.95  # below it in minutes
_ALWAYS_BEFORE = "; local code and licensed practice"  # said once, above all of them
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_SENTENCES = {
    "estimate": "Estimate for planning.",
    "safe": "Local code, the machine's manual and licensed practice go before anything written "
    "here. The cautions of a card stand on its own sheet: read them before its first line.",
    "defers": "goes before it:",
    "stale": "Something was kept since this was planned. Plan again before you trust the dates.",
    "machine": "first good part",
    "even": "as likely as not by",
    "promise": "promise",
    "promise_says": "The promise is kept in 9 of 10 ways it could go.",
    "hangs": "what the date hangs on",
    "none": "No evening of this week has a card.",
    "needs": "needs",
    "spent": "hours",
    "here_by": "Here by then",
    "ring": "Ring",
    "order": "Order",
    "hire": "Here on hire",
    "nothing": "nothing",
    "said": "said, new promise",
    "came": "came on",
    "note": "Notes: found, stuck, hours, readings to type in",
    "page": "page",
    "square_says": "square pattern with the page of the plan; its code is printed beside it",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekSheet:
    """A week, and where it is found again."""

    lines: WeekLines
    shop: str = ""
    address: str = ""  # of the page of the plan
    by: str = ""
    version: str = ""


def week_sheet(sheet: WeekSheet, *, at: datetime, paper: Paper = "a4", language: str = "") -> bytes:
    """Print a week, with a box for every line.

    Parameters
    ----------
    sheet : WeekSheet
    at : datetime
        When it was printed, with its offset.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF of one page or two where that can be.
    """
    lines = sheet.lines
    code = code_of("week", lines.week_on.isoformat(), lines.planned_at)
    pictures = {"square.svg": square(sheet.address or f"{day(lines.week_on)} {code}")}
    fixed = _fixed(sheet, code, at, language) | {"paper": paper}
    printed = [
        press("week_sheet", fixed | {"scale": scale, "high": high}, at=at, pictures=pictures)
        for scale, high in _TRIES
    ]
    return min(printed, key=lambda one: max(1, pages(one)))


def _fixed(sheet: WeekSheet, code: str, at: datetime, language: str) -> dict[str, object]:
    lines = sheet.lines
    last = lines.week_on + timedelta(days=6)
    return {
        "title": say("Week of {first} to {last}", language=language, first=day(lines.week_on),
                     last=day(last)),
        "kicker": cut(sheet.shop, 110),
        "by": sheet.by,
        "language": language,
        "words": {key: say(text, language=language) for key, text in _SENTENCES.items()},
        "stale": lines.stale,
        "cautions": [
            {"text": on_one_line(text), "defers": on_one_line(defers).removesuffix(_ALWAYS_BEFORE)}
            for text, defers in lines.cautions
        ],
        "machines": [
            [one.name, one.even_on or say("no date", language=language), _promise(one, language),
             cut("; ".join(map(str, filter(None, (one.why, *one.hangs)))), 160)]
            for one in lines.machines
        ],
        "evenings": [_evening(one, language) for one in lines.evenings],
        "here_by": _here_by(lines, language),
        "ring": _ring(lines, language),
        "order": _order(lines, language),
        "hire": [_hire(one, lines.currency, language) for one in lines.hire],
        "code": code,
        "block": [
            {"name": say(name, language=language), "value": cut(value, 46)}
            for name, value in _cells(sheet, at, language)
        ],
    }  # fmt: skip


def _promise(one: WeekMachine, language: str) -> str:
    on = one.promise_on or say("no date", language=language)
    if not one.was_on:
        return on
    return say("{on} (before: {was})", language=language, on=on, was=one.was_on)


def weekday(on: date, language: str) -> str:
    """A day with its name.

    Parameters
    ----------
    on : date
    language : str

    Returns
    -------
    str

    Examples
    --------
    >>> weekday(date(2026, 11, 30), "en")
    'Monday 2026-11-30'
    """
    return f"{say(_DAYS[on.weekday()], language=language)} {day(on)}"


def _on(iso: str, language: str) -> str:
    return weekday(date.fromisoformat(iso), language)


def _evening(one: Evening, language: str) -> dict[str, object]:
    shared = all(each.people == one.people for each in one.cards)
    return {
        "day": weekday(one.on, language),
        "hours": f"{one.begins:%H:%M} – {one.ends:%H:%M}",
        "people": ", ".join(one.people),
        "cards": [_card(each, shared, language) for each in one.cards],
    }


def _card(one: EveningCard, shared: bool, language: str) -> dict[str, object]:
    needs = []
    if one.perhaps:
        needs.append(say("up to {count} cards, by what is seen", language=language,
                         count=one.perhaps))  # fmt: skip
    elif one.chance < _SURE:
        needs.append(say("needed: {odds}", language=language, odds=odds(one.chance)))
    if one.hoist:
        needs.append(say("hoist", language=language))
    if not one.alone:
        needs.append(say("not alone", language=language))
    if one.of > 1:
        needs.append(say("evening {number} of {of}", language=language, number=one.number,
                         of=one.of))  # fmt: skip
    where = ", ".join(map(str, dict.fromkeys(filter(None, (one.machine, one.place)))))
    return {
        "title": cut(one.title, 110),
        "where": cut(where, 90),
        "key": one.key if not one.perhaps else "",
        "needs": "; ".join(map(str, needs)),
        "people": "" if shared else ", ".join(one.people),
        "from": f"{one.begins:%H:%M}",
        "hours": _long(one.hours, language),
    }


def _long(hours: float, language: str) -> str:
    if hours < _LEAST_HOURS:
        return shown(max(1, round(hours * 60)), say("min", language=language))
    return shown(round(hours, 1), "h")


def _here_by(lines: WeekLines, language: str) -> list[dict[str, str]]:
    rows = []
    for one in lines.here_by:
        whom = one.whom or say("nobody has it in hand", language=language)
        late = say("late", language=language) if one.late else ""
        told = ", ".join(map(str, filter(None, (one.machine, whom, late))))
        rows.append({"on": _on(one.on, language), "what": cut(one.what, 90), "told": cut(told, 90)})
    return _capped(rows, language)


def _ring(lines: WeekLines, language: str) -> list[dict[str, str]]:
    rows = []
    for one in lines.ring:
        promised = ""
        if one.promised_on:
            promised = say("promised for {day}", language=language, day=one.promised_on)
        late = ""
        if one.days_late:
            late = say("{days} days late", language=language, days=one.days_late)
        told = ", ".join(map(str, filter(None, (one.what, promised, late))))
        whom = " ".join(map(str, filter(None, (one.whom, one.reach))))
        rows.append({"on": _on(one.on, language), "what": cut(whom, 90), "told": cut(told, 120)})
    return _capped(rows, language)


def _order(lines: WeekLines, language: str) -> list[dict[str, str]]:
    rows = []
    for one in lines.order:
        amount = money(one.amount, lines.currency) if one.amount else ""
        chance = odds(one.chance) if one.chance < _SURE else ""
        needed = say("needed: {odds}", language=language, odds=chance) if chance else ""
        told = ", ".join(map(str, filter(None, (one.machine, amount, needed))))
        rows.append({"on": _on(one.on, language), "what": cut(one.what, 90), "told": cut(told, 90)})
    return _capped(rows, language)


def _hire(one: HireDay, currency: str, language: str) -> dict[str, str]:
    name = say(one.name.replace("_", " "), language=language)
    costs = money(one.costs, currency) if one.costs is not None else ""
    return {
        "on": _on(one.on, language),
        "what": ", ".join(map(str, filter(None, (name, costs)))),
        "told": cut("; ".join(map(str, one.titles)), 160),
    }


def _capped(rows: Sequence[dict[str, str]], language: str) -> list[dict[str, str]]:
    """So many rows, and how many more there are: a list must not push the evenings off."""
    more = len(rows) - _MOST_ROWS
    if more <= 0:
        return list(rows)
    told = say("and {count} more, on the page", language=language, count=more)
    return [*rows[:_MOST_ROWS], {"on": "", "what": told, "told": ""}]


def _cells(sheet: WeekSheet, at: datetime, language: str) -> tuple[tuple[str, str], ...]:
    planned = datetime.fromisoformat(sheet.lines.planned_at)
    return (
        ("Sheet", say("week sheet", language=language)),
        ("Planned", minute(planned)),
        ("Printed", minute(at)),
        ("By", sheet.by),
        ("Typed in by, on", ""),
        ("Hours spent, all", ""),
        ("Machines", ", ".join(one.name for one in sheet.lines.machines)),
        ("Edition", f"retrue {sheet.version}" if sheet.version else ""),
    )
