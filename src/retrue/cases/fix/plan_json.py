"""A plan as text that is read back bit for bit, and the hash of what it was made of."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, fields, is_dataclass, replace
from functools import lru_cache
from typing import Any, TypeVar

import msgspec

from retrue.base.recalled import recall
from retrue.base.say import english
from retrue.cases.fix.hands import Staff
from retrue.cases.fix.kept import FixKept
from retrue.cases.fix.plan_lines import PlanView
from retrue.kinds.library import Kind

# what of a plan is words for a person; all else is keys, dates, names as they were typed
SHOWN = frozenset(("title", "place_name", "text", "part", "why", "state_why", "remedy", "words",
                   "late_by", "titles", "fine", "what", "tools", "hands_back",
                   "cautions"))  # fmt: skip
T = TypeVar("T")


def to_text(view: PlanView) -> str:
    """A plan as canonical JSON.

    Parameters
    ----------
    view : PlanView

    Returns
    -------
    str
        Sorted keys, no spaces; offers stay with their quotes.

    Examples
    --------
    >>> plan = PlanView(at="2026-11-26T12:00:00+00:00", lots=(), machines=(), rows=(), hire=(),
    ...                 refused=(), hands=("me",), proved=True, by_rule=False, gap=0.0, seed=7,
    ...                 worlds=10, currency="EUR")
    >>> from_text(to_text(plan)) == plan
    True
    """
    rows = tuple(replace(row, card=_bare(row.card)) for row in view.rows)
    plain = msgspec.to_builtins(replace(view, rows=rows, kept=False, stale=False), enc_hook=english)
    return json.dumps(plain, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


@lru_cache(maxsize=4)  # it is read by every page of what to do
def from_text(text: str) -> PlanView:
    """The plan of a text.

    Parameters
    ----------
    text : str
        As :func:`to_text` gave it; of an older version what is new takes its default.

    Returns
    -------
    PlanView
    """
    return in_words(msgspec.json.decode(text.encode(), type=PlanView))


def in_words(value: T) -> T:
    """A plan, or a part of it, whose sentences are said in the language of who reads it.

    Parameters
    ----------
    value : object
        A plan as it was made or kept, in English.

    Returns
    -------
    object
        Equal to it.

    Examples
    --------
    >>> from retrue.base.say import speaking, teach
    >>> from retrue.cases.fix.lines import Refused
    >>> teach("nl", {"nobody is there": "er is niemand"})
    >>> with speaking("nl"):
    ...     f"{in_words(Refused(card='', title='', why='nobody is there', remedy='')).why}"
    'er is niemand'
    """
    made: T = _in_words(value, False)
    return made


def _in_words(value: Any, shown: bool) -> Any:
    if isinstance(value, str):
        return recall(value) if shown else value
    if isinstance(value, tuple):
        return tuple(_in_words(one, shown) for one in value)
    if is_dataclass(value) and not isinstance(value, type):
        told = {
            one.name: _in_words(getattr(value, one.name), one.name in SHOWN)
            for one in fields(value)
            if one.init
        }
        return replace(value, **told)
    return value


def inputs_of(lots: Iterable[FixKept], kinds: Mapping[str, Kind]) -> str:
    """The hash of everything a plan is made of, but the day it is made on.

    Parameters
    ----------
    lots : iterable of FixKept
    kinds : mapping of str to Kind

    Returns
    -------
    str
        SHA-256 in hex.

    References
    ----------
    FIPS 180-4 (SHA-256).

    Examples
    --------
    >>> inputs_of((), {}) == inputs_of((), {})
    True
    """
    told: list[Any] = []
    for lot in lots:
        told.append(repr(lot.plain or lot.case))
        told.append([(one.machine, one.line, one.amount, one.reason)
                     for one in lot.case.cost_lines])  # fmt: skip
        told += [asdict(one.fact) for group in (lot.workers, lot.gear, lot.stock, lot.quotes)
                 for one in group]  # fmt: skip
        for out in lot.outs:
            told.append([asdict(out.out), out.promised_on, out.open, out.here])
        for machine in lot.machines:
            told += [[one.seq, asdict(one.fact)] for one in machine.marks]
            told.append([sorted(machine.as_found), repr(sorted(machine.cleaned.items()))])
            told.append([(one.id, one.back) for one in machine.taken])
            told.append([(id, one.signed) for id, one in machine.stages.items()])
            told.append(kinds[machine.kind.id].hash if machine.kind.id in kinds else "")
    return _hash(told)


def made_of(lots: Iterable[FixKept], staff: Staff) -> tuple[tuple[str, str], ...]:
    """Hashes of what is said of a plan beside the machines, by what it is.

    Parameters
    ----------
    lots : iterable of FixKept
    staff : Staff

    Returns
    -------
    tuple of (name, hash)
        ``hands``, ``gear`` and ``chosen``: so a plan can tell which of them changed.

    Examples
    --------
    >>> from retrue.cases.fix.hands import staff
    >>> one, other = made_of((), staff((), (), 8.0)), made_of((), staff((), (), 9.0))
    >>> [name for (name, was), (_, now) in zip(one, other, strict=True) if was != now]
    ['hands']
    """
    chosen = {
        f"{one.machine} {one.sort} {one.what}": [one.way, one.level, one.yes]
        for lot in lots
        for one in lot.case.chosen
    }  # the newest counts
    gear = [repr(staff.shared), sorted(staff.hire), staff.day_costs]
    every = {"hands": repr(staff.hands), "gear": gear, "chosen": chosen}
    return tuple((name, _hash(told)[:16]) for name, told in every.items())


def _hash(told: Any) -> str:
    text = json.dumps(told, sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()


def _bare(card: Any) -> Any:
    return replace(card, parts=tuple(replace(part, offers=()) for part in card.parts))
