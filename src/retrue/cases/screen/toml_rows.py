"""A catalogue as TOML: what the sale says in one table, each lot in one of its own."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

from retrue.base.currencies import known_code
from retrue.base.refusals import Problem, Unreadable, Unusable
from retrue.base.say import say
from retrue.cases.known import nearest
from retrue.cases.lot_fields import make
from retrue.cases.screen.listing import SaidOfSale
from retrue.cases.screen.rows import Tables
from retrue.cases.screen.terms import About
from retrue.cases.screen.toml_machines import MACHINES, Table, tables_of
from retrue.cases.settle.bring_sheet import Line, Sheet
from retrue.cases.toml_text import toml_of, toml_text
from retrue.kinds.lines import Path, line_map
from retrue.records.facts import Terms

BIGGEST_BYTES = 20_000_000
SALE = "catalogue"
LOTS = ("lot", *MACHINES)
OF_THE_SALE = ("premium", "tax_rate", "tax_reclaimable", "tax_scheme", "sale", "distance_km",
               "removal_days", "closes_at")  # fmt: skip
KEYS = ("name", "currency", "rates", *OF_THE_SALE)
_BEGINS = re.compile(rb"(?:\xef\xbb\xbf)?(?:\s|#[^\n]*\n)*\[\[?(?:catalogue|lot|machines?)\]")


@dataclass(slots=True)
class _Told:
    """What is wrong with one file, and where."""

    name: str
    lines: Mapping[Path, int]
    problems: list[Problem] = field(default_factory=list)

    def wrong(self, path: Path, what: str, remedy: str) -> None:
        """Note a problem at the line of its key, else of its table."""
        at = path
        while at and at not in self.lines:
            at = at[:-1]
        line = self.lines.get(at, 1)
        where = f"{say('line {number}', number=line)}, {path[-1]}"
        self.problems.append(Problem(where, what, remedy))


def is_toml(content: bytes, name: str) -> bool:
    """Whether a catalogue is TOML, by its name or by how it begins.

    Parameters
    ----------
    content : bytes
    name : str

    Returns
    -------
    bool

    Examples
    --------
    >>> is_toml(b"", "sale.toml"), is_toml(b"# x\\n[[lot]]\\n", "sale"), is_toml(b"a,b", "x.csv")
    (True, True, False)
    """
    return name.casefold().endswith(".toml") or _BEGINS.match(content) is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class TomlTable:
    """A catalogue in TOML as a table.

    Attributes
    ----------
    sheet : Sheet
        The keys of all lots are its columns; a lot's line is that on which its table begins.
    about : About
        With what the file says where the owner said nothing.
    called : str
        Name of the sale; empty: it has none.
    tables : Tables
        Which rows are machines of which lot.
    said : tuple of SaidOfSale
        What the file says of the sale.
    """

    sheet: Sheet
    about: About
    called: str
    tables: Tables
    said: tuple[SaidOfSale, ...]


def toml_table(content: bytes, name: str, about: About) -> TomlTable:
    r"""A TOML catalogue as a table.

    Parameters
    ----------
    content : bytes
    name : str
        For refusals.
    about : About
        As the owner said.

    Returns
    -------
    TomlTable

    Raises
    ------
    Unreadable
        It is empty, too large, not UTF-8 or not TOML.
    Unusable
        An unknown section or key, or a value of a wrong sort; every one is named with its line.

    References
    ----------
    TOML 1.0.0.

    Examples
    --------
    >>> from retrue.records.facts import Shop
    >>> made = toml_table(
    ...     b'[catalogue]\npremium = 0.18\n[[lot]]\nnumber = 7\ntitle = "CNC lathe"\n',
    ...     "sale.toml", About(shop=Shop(), year=2026))
    >>> made.sheet.heading.cells, made.sheet.rows[0].cells, made.sheet.rows[0].number
    (('number', 'title'), ('7', 'CNC lathe'), 3)
    >>> made.about.premium, made.said[0].line
    (0.18, 2)
    """
    text = _text(content, name)
    remedy = say("Words stand in quotation marks, numbers do not; see docs/catalogue-file.md.")
    parsed = toml_of(text, name, remedy)
    told = _Told(name, line_map(text))
    for section in parsed:
        if section not in (SALE, *LOTS):
            what = say("there is no section {section}", section=section)
            told.wrong((section,), what, nearest(section, (SALE, *LOTS)))
    made, called = _sale(parsed.get(SALE, {}), about, told)
    for section in LOTS:
        _refuse_no_list(parsed, section, told)
    tables = tables_of(parsed)
    sheet = _sheet(tables, name, told)
    if told.problems:
        raise Unusable(
            say("{name}: {count} to put right", name=name, count=len(told.problems)),
            remedy=say("Mend the lines named; a field nobody knows may simply be left out."),
            problems=tuple(told.problems),
        )
    if not sheet.rows:
        raise Unreadable(
            say("{name} has no lot", name=name),
            remedy=say("Each lot is a section of its own, [[lot]]; see docs/catalogue-file.md."),
        )
    together = Tables(
        frozenset(place for place, one in enumerate(tables) if one.is_head),
        frozenset(place for place, one in enumerate(tables) if one.joins),
    )
    said = tuple(_said(parsed.get(SALE, {}), about, told))
    return TomlTable(sheet=sheet, about=made, called=called, tables=together, said=said)


def _refuse_no_list(parsed: dict[str, Any], section: str, told: _Told) -> None:
    """Lots and machines are each a table of their own."""
    rows = parsed.get(section, [])
    if not isinstance(rows, list) or not all(isinstance(one, dict) for one in rows):
        what = say("must be sections of their own, [[{section}]]", section=section)
        told.wrong((section,), what, say("Write it in double brackets."))
        parsed[section] = []


def _said(table: Mapping[str, Any], about: About, told: _Told) -> Iterator[SaidOfSale]:
    """What a file says of the sale, key by key; what the owner said stands before it."""
    for key, raw in table.items():
        typed = key != "rates" and getattr(about, key, None) is not None
        value = ", ".join(f"{code} {rate}" for code, rate in raw.items()) if isinstance(
            raw, dict) else _cell(raw, (SALE, key), told)  # fmt: skip
        yield SaidOfSale(
            line=told.lines.get((SALE, key), 1), text=f"{key} = {value}",
            how="ignored" if typed else "understood", field=key, value=value,
            why=say("you said it yourself") if typed else "",
        )  # fmt: skip


def _text(content: bytes, name: str) -> str:
    if not content.strip():
        raise Unreadable(
            say("{name} is empty", name=name),
            remedy=say("Each lot is a section of its own, [[lot]]; see docs/catalogue-file.md."),
        )
    if len(content) > BIGGEST_BYTES:
        raise Unreadable(
            say("{name} has {count} bytes, too many", name=name, count=len(content)),
            remedy=say("Cut it in parts: a sale at a time."),
        )
    return toml_text(content, name)


def _sale(table: Any, about: About, told: _Told) -> tuple[About, str]:
    """What the file says of the sale, where the owner said nothing."""
    if not isinstance(table, dict):
        what = say("must be one section, [{section}]", section=SALE)
        told.wrong((SALE,), what, say("Write it once, in single brackets."))
        return about, ""
    for key in table:
        if key not in KEYS:
            what = say("there is no key {key}", key=key)
            told.wrong((SALE, key), what, nearest(key, KEYS))
    terms = {key: value for key, value in table.items() if key in OF_THE_SALE}

    def report(key: str | None, what: str, remedy: str) -> None:
        told.wrong((SALE, key or SALE), what, remedy)

    made = make(Terms, terms, report, {"lot": SALE})
    given: dict[str, Any] = {key: getattr(made, key) for key in terms} if made else {}
    given["currency"] = _code(table.get("currency"), told, "currency")
    fresh = {
        key: value
        for key, value in given.items()
        if value is not None and getattr(about, key) is None
    }
    rates = {**_rates(table.get("rates", {}), told), **about.rates}
    called = table.get("name", "")
    if not isinstance(called, str):
        told.wrong((SALE, "name"), say("must be words in quotation marks"), "")
        called = ""
    return replace(about, rates=rates, **fresh), called


def _code(raw: Any, told: _Told, *path: str) -> str | None:
    if raw is None:
        return None
    try:
        return known_code(str(raw))
    except Unusable as refusal:
        told.wrong((SALE, *path), refusal.reason, refusal.remedy)
        return None


def _rates(table: Any, told: _Told) -> dict[str, Decimal]:
    found: dict[str, Decimal] = {}
    for key, value in table.items() if isinstance(table, dict) else [("", table)]:
        code = _code(key, told, "rates", key)
        if isinstance(value, bool) or not isinstance(value, int | Decimal) or not value > 0:
            what = say("must be a number without quotation marks")
            told.wrong((SALE, "rates", key), what, say("For example: {text}", text="CHF = 1.05"))
        elif code is not None:
            found[code] = Decimal(value)
    return found


def _sheet(tables: Sequence[Table], name: str, told: _Told) -> Sheet:
    keys = tuple(dict.fromkeys(key for one in tables for key in one.values))
    rows = tuple(
        Line(
            told.lines.get(one.path) or told.lines.get(one.path[:-1], 1),
            tuple(_cell(one.values.get(key), (*one.path, key), told) for key in keys),
        )
        for one in tables
    )
    return Sheet(name=name, mark="", coding="utf-8", heading=Line(0, keys), rows=rows)


def _cell(raw: Any, path: Path, told: _Told) -> str:
    """A value as a cell of a table."""
    if raw is None:
        return ""
    if isinstance(raw, bool):
        return "true" if raw else "false"
    if isinstance(raw, str):
        return " ".join(raw.split())
    if isinstance(raw, datetime | date | time):
        return raw.isoformat()
    if isinstance(raw, list) and not any(isinstance(one, list | dict) for one in raw):
        return " x ".join(_cell(one, path, told) for one in raw)
    if isinstance(raw, int | Decimal) and Decimal(raw).is_finite():
        return _plain(Decimal(raw))
    if isinstance(raw, int | Decimal):
        told.wrong(
            path, say("must be a finite number"), say("Write it in figures, or leave it out.")
        )
        return ""
    told.wrong(
        path,
        say("must be one value"),
        say("Of tables in a lot only its machines are read: [[lot.machine]]."),
    )
    return ""


def _plain(number: Decimal) -> str:
    """Digits that mean one thing: never a point before exactly three of them."""
    text = f"{number:f}"
    return f"{text}0" if re.search(r"\.[0-9]{3}$", text) else text
