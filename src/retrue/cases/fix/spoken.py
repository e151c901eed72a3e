"""A quote by telephone in one line: who, when, how much, how long; nothing is guessed silently.

``F15:local winder in Ghent, Tuesday, 600 incl, 3 weeks``: first the line it is for, then the rest
in any order. What was understood is told back, what was not is named.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal, InvalidOperation
from typing import Any, Literal

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.fix.typed import (
    AMOUNT,
    CODES,
    DAY,
    TERM,
    WORDS,
    currency_of,
    day_of,
    money_of,
    term_days,
)
from retrue.cases.known import nearest

_SIGN = r"[€£$]|\b(?:" + "|".join([*sorted(CODES), *sorted(WORDS)]) + r")\b"
_TAX = (
    r"(?P<incl>incl(?:\.|uding|usive)?(?:\s+(?:of\s+)?(?:vat|tax))?|with\s+(?:vat|tax))"
    r"|(?P<excl>excl(?:\.|uding|usive)?(?:\s+(?:of\s+)?(?:vat|tax))?|ex\.?\s+(?:vat|tax)"
    r"|(?:plus|before|without)\s+(?:vat|tax))"
)
_MONEY = (
    rf"(?:(?P<units>[1-9][0-9]{{0,3}})\s*[x×]\s*)?(?P<before>{_SIGN})?\s*(?P<size>{AMOUNT})"
    rf"\s*(?:,-)?\s*(?P<after>{_SIGN})?(?:\s*(?:each|apiece))?"
)
_RATE = (
    r"(?:at\s+)?(?:a\s+)?rate\s+(?:of\s+)?(?P<rate>[0-9]+[.,][0-9]+)"
    rf"(?:\s+(?:of|on)\s+(?P<on>{DAY}))?"
)
_VALID = rf"(?:valid\s+)?(?:until|till)\s+(?P<until>{DAY})|valid\s+(?:for\s+)?(?P<for>{TERM})"
_FILLED = r"(?:[\s,;]|\b(?:and|on|by|from|at|for|said|says|quoted|asks|phone|telephone)\b)*"
PARTS = {"valid": _VALID, "rate": _RATE, "days": rf"(?:in\s+)?{TERM}", "when": DAY, "tax": _TAX,
         "money": _MONEY}  # fmt: skip
_LAST = {
    name: re.compile(rf"(?:^|(?<=[\s,;])(?<![0-9][,;]))(?:{part})$", re.I)
    for name, part in PARTS.items()
}
_FIRST = {
    name: re.compile(rf"^(?:{part})(?=\s|[,;](?![0-9])|$)", re.I) for name, part in PARTS.items()
}
_BETWEEN = re.compile(r"[;]\s*|,(?!-)(?:\s+|(?![0-9]))|\s+(?:--|–)\s+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """One line as spoken, read.

    Attributes
    ----------
    line, vendor : str
        Empty where nothing was understood; ``problems`` says so then.
    quoted_on : date
        The day that was said, else the day of typing.
    amount : Decimal or None
        For each, in ``currency``.
    currency : str
        As said; empty: none was.
    tax : str
        incl, excl, or empty.
    days : float or None
        Until it is here.
    understood : tuple of (field, words)
        To be read back before it is kept.
    not_understood : tuple of str
        Pieces of the line that told nothing; they stay in ``text``.
    problems : tuple of Problem
        What must be mended before it can be kept.
    """

    text: str
    line: str = ""
    vendor: str = ""
    quoted_on: date
    amount: Decimal | None = None
    currency: str = ""
    rate: Decimal | None = None
    rate_on: date | None = None
    units: int = 1
    tax: Literal["", "incl", "excl"] = ""
    days: float | None = None
    valid_until_on: date | None = None
    understood: tuple[tuple[str, str], ...] = ()
    not_understood: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()


@dataclass
class _Heard:
    """What was heard so far."""

    on: date
    said: dict[str, str] = field(default_factory=dict)  # by part, as said
    found: dict[str, re.Match[str]] = field(default_factory=dict)
    left: list[str] = field(default_factory=list)

    def peel(self, piece: str, *, numbers: bool = False) -> str:
        """Take parts off the end of a piece, then off its beginning; what is left is words.

        A bare number behind words may belong to a name, as in workshop 4: ``numbers`` says that it
        is taken for the price all the same, for no other was said.
        """
        rest = piece
        while (shorter := self._one(rest, _LAST, numbers)) is not None:
            rest = shorter
        while (shorter := self._one(rest, _FIRST, numbers)) is not None:
            rest = shorter
        return _bare(rest)

    def _one(self, rest: str, parts: dict[str, re.Pattern[str]], numbers: bool) -> str | None:
        rest = _bare(rest)
        for name, part in parts.items():
            found = part.search(rest)
            if found is None or name in self.found or not found[0].strip():
                continue
            if name == "money" and not _is_price(found, rest, numbers and parts is _LAST):
                continue
            if name == "when" and day_of(found[0], self.on) is None:
                continue
            self.found[name], self.said[name] = found, found[0].strip()
            return rest[: found.start()] + rest[found.end() :]
        return None


def quote_line(text: str, *, on: date, lines: Collection[str]) -> Spoken:
    """Read a quote as it was spoken.

    Parameters
    ----------
    text : str
        The line it is for, then who, when, how much, how long, in any order, commas between.
        When: today, yesterday, a weekday (the last such day), 2026-11-24, 24/11. How much: 600,
        1 250,50, 2 x 80, with €, £, $, CHF or three letters; incl or excl of tax. How long:
        3 weeks, 10 days, 2-3 weeks (the longer). valid until 24/12. rate 1.17 on 24/11.
    on : date
        The day of typing.
    lines : collection of str
        Lines that are known: F15:local, J05.

    Returns
    -------
    Spoken

    Examples
    --------
    >>> told = quote_line("F15:local the winder in Ghent, Tuesday, 600 incl 3 weeks",
    ...     on=date(2026, 11, 26), lines=["F15:local"])
    >>> told.vendor, f"{told.quoted_on}", told.amount, told.tax, told.days
    ('the winder in Ghent', '2026-11-24', Decimal('600'), 'incl', 21.0)
    >>> quote_line("F15:locl winder, 600", on=date(2026, 11, 26), lines=["F15:local"]).problems[0]
    Problem(where='line', what='F15:locl is no line', remedy='Did you mean F15:local?')
    """
    line, rest, problems = _line(text.strip(), lines)
    heard = _Heard(on)
    words = [left for piece in _BETWEEN.split(rest) if (left := heard.peel(piece))]
    words = [left for piece in words if (left := heard.peel(piece, numbers=True))]
    made = _values(heard, problems)
    vendor = next((one for one in words if re.search(r"[^\W\d_]", one)), "")
    if not vendor:
        problems.append(
            Problem("vendor", say("nobody is named"), say("Say who asks it: the winder in Ghent."))
        )
    odd = re.findall(r"(?<!\S)[0-9]{1,4}[/.-][0-9]{1,2}(?:[/.-][0-9]{0,4})?(?!\S)", vendor)
    return Spoken(
        text=" ".join(text.split()),
        line=line,
        vendor=vendor,
        understood=tuple((name, heard.said[name]) for name in sorted(heard.said)),
        not_understood=(*(one for one in words if one != vendor), *odd),  # a day that is none
        problems=tuple(problems),
        **made,
    )


def _is_price(found: re.Match[str], rest: str, numbers: bool) -> bool:
    """Whether a number is one: it has a sign, stands alone, or no other was said."""
    return bool(numbers or found["before"] or found["after"] or found[0].strip() == rest.strip())


def _bare(words: str) -> str:
    """Without the blanks, commas and small words that only join parts."""
    bare = re.sub(rf"^{_FILLED}", "", words, flags=re.I)
    return re.sub(r"(?:[\s,;]|\b(?:and|on|at|for|said|says|asks)\s*$)+$", "", bare, flags=re.I)


def _line(text: str, lines: Collection[str]) -> tuple[str, str, list[Problem]]:
    """The line it is for, the rest, and what is wrong with it."""
    for known in sorted(lines, key=len, reverse=True):
        if re.match(rf"{re.escape(known)}(?=[\s,;:]|$)", text, re.I):
            return known, text[len(known) :].lstrip(" :,;"), []
    first, _, rest = text.partition(" ")
    word = first.rstrip(":,;")
    if re.fullmatch(r"[A-Za-z]+[0-9]+(:\w*)?|[a-z]+:\w+", word) or not rest:
        what = say("{line} is no line", line=word or "-")
        return "", rest, [Problem("line", what, nearest(word, sorted(lines)))]
    own, colon, rest = text.partition(": ")
    if colon and own.strip():
        return own.strip(), rest, []
    what = say("no line is named")
    remedy = say("Begin with it: F15:local winder in Ghent, 600; or in words: new jaws: who, 350.")
    return "", text, [Problem("line", what, remedy)]


def _values(heard: _Heard, problems: list[Problem]) -> dict[str, Any]:
    """The fields that were said."""
    found = heard.found
    when = day_of(found["when"][0], heard.on) if "when" in found else None
    quoted_on = when or heard.on
    if quoted_on > heard.on:
        what, remedy = say("is still to come"), say("Say the day on which it was quoted.")
        problems.append(Problem("quoted_on", what, remedy))
    made: dict[str, Any] = {"quoted_on": quoted_on}
    if "tax" in found:
        made["tax"] = "incl" if found["tax"]["incl"] else "excl"
    if "days" in found:
        made["days"] = _term(re.sub(r"^in\s+", "", found["days"][0], flags=re.I), "days", problems)
    if "valid" in found and quoted_on <= heard.on:
        made["valid_until_on"] = _until(found["valid"], quoted_on, problems)
    return made | _rate(found, heard.on, problems) | _money(found, problems)


def _term(text: str, name: str, problems: list[Problem]) -> float | None:
    days = term_days(text)
    if days is None:
        what = say("{text} is too long", text=f"“{text}”")
        problems.append(Problem(name, what, say("Say it in days or weeks.")))
    return days


def _until(found: re.Match[str], quoted_on: date, problems: list[Problem]) -> date | None:
    if found["for"]:
        days = _term(found["for"], "valid_until_on", problems)
        return quoted_on + timedelta(days=days) if days is not None else None
    until = day_of(found["until"], quoted_on, ahead=True)
    if until is None or until < quoted_on:
        what = say("{text} is no day after the quote", text=f"“{found['until']}”")
        problems.append(Problem("valid_until_on", what, say("Write it as 2026-12-24.")))
        return None
    return until


def _rate(found: dict[str, re.Match[str]], on: date, problems: list[Problem]) -> dict[str, Any]:
    if "rate" not in found:
        return {}
    said = found["rate"]
    day = day_of(said["on"], on) if said["on"] else on
    try:
        return {"rate": Decimal(said["rate"].replace(",", ".")), "rate_on": day or on}
    except InvalidOperation:
        problems.append(Problem("rate", say("is no number"), say("Write it as 1.17.")))
        return {}


def _money(found: dict[str, re.Match[str]], problems: list[Problem]) -> dict[str, Any]:
    if "money" not in found:
        what, remedy = say("no amount was said"), say("Say how much: 600, £250, 1 250,50.")
        problems.append(Problem("amount", what, remedy))
        return {}
    said = found["money"]
    signs = [
        currency_of(sign, field="currency") for sign in (said["before"], said["after"]) if sign
    ]
    if len(set(signs)) > 1:
        what = say("{one} and {two} stand at one amount", one=signs[0], two=signs[1])
        problems.append(Problem("currency", what, say("Leave one of them out.")))
    try:
        amount = money_of(said["size"], field="amount")
    except Unusable as refused:
        problems += refused.problems
        return {}
    made: dict[str, Any] = {"amount": amount, "units": int(said["units"] or 1)}
    return made | ({"currency": signs[0]} if signs else {})
