"""A kept record in plain words: one line for a list, all of its fields for its own page."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields
from typing import Any

from retrue.base.say import say
from retrue.cases.diary_fields import field_word, is_shown
from retrue.cases.diary_lines import line_words
from retrue.cases.diary_rules import refers_to
from retrue.cases.diary_values import value_words
from retrue.cases.diary_words import kind_word
from retrue.cases.said import answer_words, looked_at
from retrue.kinds.library import Kind
from retrue.records.facts import Fact, File, Finding, Note, Withdrawn
from retrue.records.measuring import Reading
from retrue.records.searching import TEXTS
from retrue.records.settling import HoursTold, Posting
from retrue.records.shop import Record

_BLANKS = re.compile(r"[ \t\r\n\f\v\x85\u2028\u2029]+")
LONGEST = 160  # signs of a headline
SHORT = 80  # of them for what a record hangs on
FEW = 3  # fields in a headline of a record without words
MACHINES = frozenset({"machine", "from_machine"})
PICTURES = "image/"


@dataclass(frozen=True, slots=True)
class About:
    """What names the ids of records.

    Attributes
    ----------
    lots, machines : mapping of str to str
        Names by the id of the first record.
    kinds : mapping of str to (Kind or None)
        The type of each machine, by its id.
    currencies : mapping of str to str
        Of each lot, by its id.
    currency : str
        Of the shop.
    homes : mapping of str to str
        The lot of each machine, by ids.
    devices : mapping of str to str
        What each device is called by its person, by the id records know it by.
    """

    lots: Mapping[str, str] = field(default_factory=dict)
    machines: Mapping[str, str] = field(default_factory=dict)
    kinds: Mapping[str, Kind | None] = field(default_factory=dict)
    currencies: Mapping[str, str] = field(default_factory=dict)
    currency: str = "EUR"
    homes: Mapping[str, str] = field(default_factory=dict)
    devices: Mapping[str, str] = field(default_factory=dict)

    def device(self, id: str) -> str:
        """A device by its name; one that nobody has named by its id, none by nothing."""
        return self.devices.get(id, id)

    def kind_of(self, fact: Fact) -> Kind | None:
        """The type of the machine a fact is about."""
        return self.kinds.get(getattr(fact, "machine", None) or "")

    def currency_of(self, fact: Fact) -> str:
        """In which its amounts are: its own, its lot's, the shop's."""
        lot = getattr(fact, "lot", None) or ""
        own: str = getattr(fact, "currency", "")
        return own or self.currencies.get(lot, self.currency)

    def where(self, fact: Fact) -> str:
        """Lot and machine in words; empty where it belongs to none."""
        machine = self.machines.get(getattr(fact, "machine", None) or "", "")
        home = self.homes.get(getattr(fact, "machine", None) or "")
        lot = self.lots.get(getattr(fact, "lot", None) or home or "", "")
        return f"{machine}, {lot}" if machine and lot else machine or lot


@dataclass(frozen=True, slots=True)
class Told:
    """One field of a record in words.

    Attributes
    ----------
    name, value : str
        As a page says them.
    record : str
        Id of another record that it names; empty: none.
    """

    name: str
    value: str
    record: str = ""


def told(fact: Fact, about: About) -> tuple[Told, ...]:
    """All that a record says, field by field, in its own order.

    Parameters
    ----------
    fact : Fact
        What was kept.
    about : About
        Names of lots, machines, types.

    Returns
    -------
    tuple of Told
        Without what nobody said, and without what a program made for itself.

    Examples
    --------
    >>> [(one.name, one.value) for one in told(Note(alarm="402", doing="homing"), About())]
    [('alarm', '402'), ('what I was doing', 'homing')]
    """
    return tuple(_told(fact, about))


def _told(fact: Fact, about: About) -> Iterator[Told]:
    for one in fields(fact):
        value: Any = getattr(fact, one.name)
        if not is_shown(fact.KIND, one.name) or value in (None, "", ()):
            continue
        if (said := _named(one.name, value, about)) is not None:
            yield Told(field_word(one.name), said)
        elif refers_to(fact.KIND, one.name):
            yield Told(field_word(one.name), say("see it"), str(value))
        elif said := _value(fact, one.name, about):
            yield Told(field_word(one.name), said)


def _named(name: str, value: Any, about: About) -> str | None:
    """A lot or machine by its name; None: it is neither."""
    if name == "lot":
        return about.lots.get(value, say("a lot that was taken back"))
    if name in MACHINES:
        return about.machines.get(value, say("a machine that was taken back"))
    if name == "shared_by":
        return ", ".join(about.machines.get(one, "?") for one in value)
    if name == "lots":
        return ", ".join(about.lots.get(one, "?") for one in value)
    return None


def _value(fact: Fact, name: str, about: About) -> str:
    if isinstance(fact, Finding) and name in ("answer", "reading"):
        return answer_words(fact, {fact.machine or "": about.kind_of(fact)})
    if name == "rows":
        return say("{count} readings", count=len(getattr(fact, name)))
    return value_words(fact, name, currency=about.currency_of(fact), kind=about.kind_of(fact))


def headline(fact: Fact, about: About, of: Fact | None = None) -> str:
    """A record in one line, so that its owner knows it again.

    Parameters
    ----------
    fact : Fact
        What was kept.
    about : About
        Names of lots, machines, types.
    of : Fact or None
        What it hangs on, where `retrue.cases.diary_lines.OF` names such a field: what was put
        back, what was rung about.

    Returns
    -------
    str
        At most `LONGEST` signs.

    Examples
    --------
    >>> headline(Note(text="Belt smells hot"), About())
    'Belt smells hot'
    >>> headline(Finding(lot="l", machine="m", check="C12", answer="seen"), About())
    'C12: seen'
    """
    line = _spaced(_headline(fact, about, of))
    return line if len(line) <= LONGEST else f"{line[: LONGEST - 1].rstrip()}…"


def _spaced(text: str) -> str:
    """On one line; the thin space of a number stays."""
    return _BLANKS.sub(" ", text).strip()


def _short(line: str) -> str:
    """The beginning of a line, so that what hangs on it has room behind it."""
    return line if len(line) <= SHORT else f"{line[: SHORT - 1].rpartition(' ')[0]}…"


def _headline(fact: Fact, about: About, of: Fact | None) -> str:
    if isinstance(fact, Withdrawn):
        what = kind_word(fact.of_kind)
        return f"{what}: {fact.reason}" if fact.reason else what
    if isinstance(fact, Finding):
        kinds = {fact.machine or "": about.kind_of(fact)}
        what = say(
            "{what}: {answer}", what=looked_at(fact, kinds), answer=answer_words(fact, kinds)
        )
        return f"{what}; {fact.text}" if fact.text else what
    if isinstance(fact, Note) and fact.setting:
        return f"{fact.setting}: {fact.old} → {fact.new}"
    if isinstance(fact, Reading):
        return f"{fact.cell}: {fact.text}"
    if isinstance(fact, File):
        return fact.caption or fact.name
    hangs_on = _short(headline(of, about)) if of is not None else ""
    if own := line_words(fact, lambda name: _value(fact, name, about), hangs_on):
        return own
    words = [_value(fact, name, about) for name in TEXTS.get(fact.KIND, ())]
    first = [*_firsts(fact, about), *(one for one in words if one)]
    if not first:
        every = (one for one in told(fact, about) if not one.record)
        names = {field_word(name) for name in ("lot", "machine", "set")}
        first = [f"{one.name}: {one.value}" for one in every if one.name not in names][:FEW]
    return ", ".join(map(str, dict.fromkeys(first)))


def _firsts(fact: Fact, about: About) -> Iterator[str]:
    """What stands before the words of a few kinds: the amount, the hours."""
    if isinstance(fact, Posting):
        yield _value(fact, "amount", about)
    elif isinstance(fact, HoursTold):
        yield _value(fact, "worked_on", about)
        yield say("{hours} h", hours=_value(fact, "hours", about))


def picture_of(record: Record[Any]) -> str:
    """The id of the photograph that belongs to a record; empty where there is none.

    Parameters
    ----------
    record : Record
        Of any kind.

    Returns
    -------
    str
    """
    fact = record.fact
    if isinstance(fact, File):
        return record.id if fact.media_type.startswith(PICTURES) else ""
    if isinstance(fact, Note):
        return fact.file or ""
    return getattr(fact, "picture", None) or ""
