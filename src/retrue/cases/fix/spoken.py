"""A quote by telephone in one line: who, when, how much, how long; nothing is guessed silently.

``F15:local winder in Ghent, Tuesday, 600 incl, 3 weeks``: first the line it is for, then the rest
in any order. What was understood is told back, what was not is named.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal, InvalidOperation
from typing import Any, Literal

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.fix.spoken_doubts import GRANTED, doubts, left_over
from retrue.cases.fix.typed import (
    AMOUNT,
    CODES,
    COUNTED,
    DAY,
    PLAIN_TERM,
    TERM,
    WORDS,
    currency_of,
    day_of,
    money_of,
    term_days,
)
from retrue.cases.known import nearest

OLDEST_DAYS = 300  # of a day said without its year (judgement)
_SIGN = r"[€£$]|\b(?:" + "|".join([*sorted(CODES), *sorted(WORDS)]) + r")\b"
_SHARE = r"(?:[0-9]{1,2}(?:[.,][0-9]+)?\s*%\s*)?"
_TAXED = rf"(?:of\s+)?(?:the\s+)?{_SHARE}(?:vat|tax)"
_HELD = r"incl(?:\.|uding|uded|usive)?"
_LEFT = rf"(?:not\s+{_HELD}|excl(?:\.|uding|uded|usive)?)"
_TAX = (
    rf"(?P<excl>{_LEFT}(?:\s+{_TAXED})?|{_TAXED}\s+(?:is\s+)?{_LEFT}"
    rf"|(?:ex\.?|plus|before|without|\+)\s*{_TAXED})"
    rf"|(?P<incl>{_HELD}(?:\s+{_TAXED}|\s+[0-9]{{1,2}}(?:[.,][0-9]+)?\s*%)?"
    rf"|{_TAXED}\s+(?:is\s+)?{_HELD}|with\s+{_TAXED})"
)
_MONEY = (
    rf"(?:(?P<units>[1-9][0-9]{{0,3}}|{'|'.join(COUNTED[1:])})\s*"
    r"(?:[x×]|(?:(?:pieces?|pcs\.?|off)\s+)?(?:at|@)\s)\s*)?"
    rf"(?P<before>{_SIGN})?\s*(?P<size>{AMOUNT})"
    rf"\s*(?:,-)?\s*(?P<after>{_SIGN})?(?:\s*(?:each|apiece|(?:a|per)\s+piece))?"
)
_RATE = (
    r"(?:at\s+)?(?:a\s+)?rate\s+(?:of\s+)?(?P<rate>[0-9]+[.,][0-9]+)"
    rf"(?:\s+(?:of|on)\s+(?P<on>{DAY}))?"
)
_VALID = rf"(?:valid\s+)?(?:until|till)\s+(?P<until>{DAY})|valid\s+(?:for\s+)?(?P<for>{TERM})"
_FILLED = r"(?:[\s,;]|\b(?:and|on|by|from|at|for|said|says|quoted|asks|phone|telephone)\b)*"
_WHEN = rf"(?:{DAY}|{PLAIN_TERM}\s+ago)"
PARTS = {"valid": _VALID, "rate": _RATE, "when": _WHEN,
         "days": rf"(?:(?:in|within|about|around)\s+)*{TERM}", "tax": _TAX,
         "money": _MONEY}  # fmt: skip
FIELD_OF = {"money": "amount", "when": "quoted_on", "valid": "valid_until_on"}
_LAST = {
    name: re.compile(rf"(?:^|(?<=[\s,;])(?<![0-9][,;]))(?:{part})$", re.I)
    for name, part in PARTS.items()
}
_FIRST = {
    name: re.compile(rf"^(?:{part})(?=\s|[,;](?![0-9])|$)", re.I) for name, part in PARTS.items()
}
_BETWEEN = re.compile(r"[;]\s*|:\s+|,(?!-)(?:\s+|(?![0-9]))|\s+(?:--|–)\s+")


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
    bare: bool = False  # the price was a number behind words

    def grants(self, text: str) -> str:
        """The text without how long it is answered for, which is no part of how long it takes."""
        found = GRANTED.search(text)
        if found is None:
            return text
        self.said["warranty"] = found[0].strip()
        return text[: found.start()] + text[found.end() :]

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
            if name == "when" and _day(found[0], self.on) is None:
                continue
            if name == "money":
                self.bare = not _is_price(found, rest, False)
            self.found[name], self.said[name] = found, found[0].strip()
            return rest[: found.start()] + rest[found.end() :]
        return None


def quote_line(
    text: str, *, on: date, lines: Collection[str], tax_rate: float | None = None
) -> Spoken:
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
    tax_rate : float or None
        Share of tax in the lot: an amount that holds another is not understood.

    Returns
    -------
    Spoken
        Where anything else was said that may turn amount, day or term round, a problem names it.

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
    heard, rest = _Heard(on), _apart(rest)
    doubted = tuple(doubts(rest))
    problems += doubted
    rest = heard.grants(rest)
    words = [left for piece in _BETWEEN.split(rest) if (left := heard.peel(piece))]
    words = [left for piece in words if (left := heard.peel(piece, numbers=True))]
    made = _values(heard, problems, tax_rate)
    vendor = next((one for one in words if re.search(r"[^\W\d_]", one)), "")
    if not vendor:
        problems.append(
            Problem("vendor", say("nobody is named"), say("Say who asks it: the winder in Ghent."))
        )
    if not doubted:
        problems += left_over(words, vendor, bare=heard.bare)
    made, vendor = _undoubted(made, vendor, on, {one.where for one in problems})
    odd = re.findall(r"(?<!\S)[0-9]{1,4}[/.-][0-9]{1,2}(?:[/.-][0-9]{0,4})?(?!\S)", vendor)
    return Spoken(
        text=" ".join(text.split()),
        line=line,
        vendor=vendor,
        understood=tuple(
            (name, heard.said[name])
            for name in sorted(heard.said)
            if FIELD_OF.get(name, name) not in {one.where for one in problems}
        ),
        not_understood=(*(one for one in words if one != vendor), *odd),  # a day that is none
        problems=tuple({one.where: one for one in reversed(problems)}.values())[::-1],
        **made,
    )


def _day(text: str, on: date) -> date | None:
    """A day, or how many days ago it was; of a span nobody knows which."""
    said = " ".join(text.casefold().split())
    if not said.endswith(" ago"):
        return day_of(said, on)
    term = said.removesuffix(" ago")
    span = re.fullmatch(TERM, term)
    days = term_days(term)
    if span is None or span["most"] or days is None:
        return None
    return on - timedelta(days=days)


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


def _apart(text: str) -> str:
    """With blanks around a plus before words: 600+VAT."""
    return re.sub(r"(?<=[0-9])\s*\+\s*(?=[^\W\d_])", " + ", text)


def _undoubted(
    made: dict[str, Any], vendor: str, on: date, doubted: set[str]
) -> tuple[dict[str, Any], str]:
    """Without the fields that a problem names: nothing doubtful is read back as if it were said."""
    bare = {"quoted_on": on, "units": 1, "amount": None, "days": None, "tax": ""}
    gone = doubted | ({"units"} if "amount" in doubted else set())
    kept = {name: bare[name] if name in bare and name in gone else made[name] for name in made}
    return kept, "" if "vendor" in doubted else vendor


def _values(heard: _Heard, problems: list[Problem], tax_rate: float | None) -> dict[str, Any]:
    """The fields that were said."""
    found = heard.found
    when = _day(found["when"][0], heard.on) if "when" in found else None
    quoted_on = when or heard.on
    if quoted_on > heard.on:
        what, remedy = say("is still to come"), say("Say the day on which it was quoted.")
        problems.append(Problem("quoted_on", what, remedy))
    elif "when" in found and _long_ago(found["when"][0], quoted_on, heard.on):
        what = say("{day} is long ago, or still to come", day=found["when"][0])
        problems.append(Problem("quoted_on", what, say("Write it with its year.")))
    made: dict[str, Any] = {"quoted_on": quoted_on}
    if "tax" in found:
        made["tax"] = "incl" if found["tax"]["incl"] else "excl"
        problems += _other_tax(found["tax"], tax_rate)
    if "days" in found:
        said = re.sub(r"^(?:(?:in|within|about|around)\s+)+", "", found["days"][0], flags=re.I)
        made["days"] = _term(said, "days", problems)
    if "valid" in found and quoted_on <= heard.on:
        made["valid_until_on"] = _until(found["valid"], quoted_on, problems)
    return made | _rate(found, heard.on, problems) | _money(found, problems)


def _other_tax(said: re.Match[str], tax_rate: float | None) -> Iterator[Problem]:
    """An amount that holds tax at another rate than the lot's could not be taken apart."""
    share = re.search(r"([0-9.,]+)\s*%", said[0])
    if share is None or tax_rate is None or not said["incl"]:
        return
    percent = Decimal(share[1].replace(",", "."))
    if abs(percent - 100 * Decimal(str(tax_rate))) > Decimal("0.005"):
        what = say(
            "holds {said} % of tax, and the lot has {known} %",
            said=f"{percent}", known=short(100 * tax_rate),
        )  # fmt: skip
        yield Problem("tax", what, say("Say the amount without it: 500 excl."))


def _long_ago(text: str, day: date, on: date) -> bool:
    """Whether a day without a year is so far back that the next one may be meant."""
    return re.search(r"[0-9]{4}|[0-9]+\W[0-9]+\W[0-9]+|ago", text) is None and (
        on - day > timedelta(days=OLDEST_DAYS)
    )


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


def _units(said: str | None) -> int:
    if said is None:
        return 1
    word = said.casefold()
    return COUNTED.index(word) if word in COUNTED else int(said)


def _money(found: dict[str, re.Match[str]], problems: list[Problem]) -> dict[str, Any]:
    if "money" not in found:
        what, remedy = say("no amount was said"), say("Say how much: 600, £250, 1250,50.")
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
    made: dict[str, Any] = {"amount": amount, "units": _units(said["units"])}
    return made | ({"currency": signs[0]} if signs else {})
