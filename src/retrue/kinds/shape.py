"""Which sections a library has, which keys each entry takes, and how each is read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, get_args

from retrue.kinds import readers as read
from retrue.kinds.library import LEVELS, Scope, Stage, Urgency, Way
from retrue.kinds.readers import Reader
from retrue.kinds.stripping import AsFoundSort, TickList
from retrue.records.stripping import Muck as MuckSort


@dataclass(frozen=True, slots=True)
class Key:
    """One key of an entry.

    Attributes
    ----------
    reader : Reader
        Checks and cleans the value.
    counts : bool
        It holds numbers: an owner may give his own, and a mark binds it.
    needed : bool
        Every shipped entry has it.
    empty : object
        What stands for it where it is not given.
    """

    reader: Reader
    counts: bool = False
    needed: bool = True
    empty: Any = None


@dataclass(frozen=True, slots=True)
class Section:
    """One sort of entry: what names it, and its keys."""

    named_by: tuple[str, ...]
    keys: Mapping[str, Key]
    marked: bool = True


def _number(reader: Reader) -> Key:
    return Key(reader, counts=True)


_TEXT = Key(read.text)
_NOTE = Key(read.text, needed=False, empty="")
_NAME = Key(read.name)
_NAMES = Key(read.words(read.name), needed=False, empty=())
_SHARES = Key(read.by_id(read.share), counts=True, needed=False, empty={})
_TIMES = Key(read.by_id(read.positive), counts=True, needed=False, empty={})
_CURE = Key(read.choice("cure", "cure_or_live", "cure_or_live_if_owner_allows"))

SECTIONS: Mapping[str, Section] = {
    "kind": Section(
        ("id",),
        {
            "id": _NAME,
            "letter": _NAME,
            "name": _TEXT,
            "version": _TEXT,
            "mass_kg": _number(read.positive),
        },
    ),
    "history": Section(
        ("id",),
        {
            "id": _NAME,
            "name": _TEXT,
            "share": _number(read.share),
            "scope": Key(read.choice(*get_args(Scope))),
            "question": _TEXT,
        },
    ),
    "fault": Section(
        ("id",),
        {
            "id": _NAME,
            "name": _TEXT,
            "subsystem": _TEXT,
            "scope": Key(read.choice(*get_args(Scope))),
            "urgency": Key(read.choice(*get_args(Urgency))),
            "prior": _number(read.share),
            "raisers": _TIMES,
            "place": Key(read.place),
            "consequence": _TEXT,
            "resale_drop_share": _number(read.share),
            "accuracy_note": _NOTE,
            "paid": Key(read.choice("each", "unit", "once")),
        },
    ),
    "fix": Section(
        ("fault", "way"),
        {
            "fault": _NAME,
            "way": Key(read.choice(*get_args(Way))),
            "money": _number(read.three),
            "hours": _number(read.three),
            "lead_days": _number(read.amount),
            "cures": _number(read.share),
            "opens": Key(read.place, needed=False),
            "also_cures": _SHARES,
            "good_for": Key(read.choice("", *LEVELS), needed=False, empty=""),
            "paid_if_it_fails": _number(read.share),
            "note": _NOTE,
        },
    ),
    "job": Section(
        ("id",),
        {
            "id": _NAME,
            "sort": Key(
                read.choice("record", "clean", "check", "start", "level", "measure", "finish")
            ),
            "name": _TEXT,
            "places": Key(read.words(read.name)),
            "hours": _number(read.three),
            "money": _number(read.three),
            "when": _TEXT,
            "cures": _SHARES,
            "reveals": _NAMES,
        },
    ),
    "place": Section(
        ("id",),
        {
            "id": _NAME,
            "name": _TEXT,
            "opened_by": _TEXT,
            "open_hours": _number(read.three),
            "close_hours": _number(read.three),
            "needs": _NOTE,
            "behind": Key(read.name, needed=False),
            "stuck_chance": _number(read.share),
            "stuck_raisers": _TIMES,
        },
    ),
    "level": Section(
        ("id",),
        {
            "id": Key(read.choice(*LEVELS)),
            "says": _TEXT,
            "stop": _CURE,
            "must": _CURE,
            "should": _CURE,
            "may": _CURE,
            "live_min_p": _number(read.share),
            "live_max_drop": _number(read.share),
            "jobs": Key(read.words()),
            "resale_state": _TEXT,
            "resale_log_sd": _number(read.positive),
            "resale_share": _number(read.by_age),
        },
    ),
    "state": Section(
        ("id",),
        {
            "id": Key(read.choice("as_found")),
            "name": _TEXT,
            "resale_share": _number(read.by_age),
        },
    ),
    "cost": Section(
        ("id",),
        {
            "id": _NAME,
            "group": _TEXT,
            "item": _TEXT,
            "unit": _TEXT,
            "amount": _number(read.three),
            "hours": _number(read.three),
            "when": _TEXT,
            "cures": _SHARES,
            "note": _NOTE,
        },
    ),
    "check": Section(
        ("id",),
        {
            "id": _NAME,
            "stages": Key(read.words(read.choice(*get_args(Stage)))),
            "text": _TEXT,
            "minutes": _number(read.amount),
            "tools": Key(read.words(), needed=False, empty=()),
            "tool_hire": _number(read.amount),
            "hazard": _NOTE,
            "caution": _NAME,
            "who": Key(read.choice("anyone", "competent", "electrician")),
            "answers": Key(read.choice("yes_no", "degree", "measure")),
            "measures": _NAMES,
            "leak": _number(read.share),
            "links": _SHARES,
        },
    ),
    "measure": Section(
        ("id",),
        {
            "id": _NAME,
            "name": _TEXT,
            "unit": _TEXT,
            "bad_side": Key(read.choice("high", "low")),
            "healthy": _number(read.part),
            "parts": Key(read.by_id(read.part), counts=True, needed=False, empty={}),
            "instrument": _TEXT,
            "uncertainty": _number(read.amount),
            "uncertainty_kind": Key(read.choice("abs", "rel")),
            "check": _NAME,
            "check_limit": _number(read.positive),
            "limits": Key(read.by_id(read.limit), counts=True, needed=False, empty={}),
            "note": _NOTE,
        },
    ),
    "shot": Section(
        ("id",),
        {
            "id": _NAME,
            "view": Key(read.flag),
            "shows": _TEXT,
            "ask": Key(read.by_id(read.text), needed=False, empty={}),
            "checks": _NAMES,
            "chips": Key(read.chips, needed=False, empty=()),
        },
        marked=False,
    ),
    "question": Section(
        ("id",),
        {"id": _NAME, "ask": Key(read.by_id(read.text)), "options": Key(read.options)},
        marked=False,
    ),
    "plate": Section(
        ("id",),
        {
            "id": _NAME,
            "where": _TEXT,
            "label": _TEXT,
            "unit": _NOTE,
            "used_by": Key(read.words()),
            "low": Key(read.figure, counts=True, needed=False),
            "high": Key(read.figure, counts=True, needed=False),
        },
    ),
    "stop_cover": Section(
        ("fault",),
        {
            "fault": _NAME,
            "danger_at": _TEXT,
            "check": _NAME,
            "done_at": _TEXT,
            "danger": _TEXT,
        },
        marked=False,
    ),
    "cause": Section(
        ("fault", "sort"),
        {
            "fault": _NAME,
            "sort": Key(read.choice("feeds", "imitates")),
            "leads_to": Key(read.words(read.name)),
            "why": _TEXT,
        },
    ),
    "limit": Section(
        ("id",),
        {
            "id": _NAME,
            "test": _NAME,
            "key": _NAME,
            "name": _TEXT,
            "value": _number(read.positive),
            "unit": _TEXT,
            "standard": _TEXT,
            "edition": _TEXT,
            "note": _NOTE,
        },
    ),
    "symptom": Section(
        ("id",),
        {
            "id": _NAME,
            "words": _TEXT,
            "check": _NAME,
            "answer": Key(read.choice("seen", "slight", "severe")),
            "also": Key(
                read.by_id(read.choice("not_seen", "seen", "slight", "severe")),
                needed=False,
                empty={},
            ),
            "recipe": _TEXT,
            "switch_off_first": Key(read.flag),
            "links": _SHARES,
            "leak": _number(read.share),
            "shows": _number(read.share),
            "minutes": _number(read.amount),
            "group": _NAME,
        },
    ),
    "group": Section(
        ("id",),
        {
            "id": _NAME,
            "name": _TEXT,
            "subsystems": Key(read.words()),
            "proof": _TEXT,
            "checks": _NAMES,
            "minutes": _number(read.amount),
            "stage": Key(read.choice(*get_args(Stage))),
        },
    ),
    "swappable": Section(
        ("id",),
        {
            "id": _NAME,
            "name": _TEXT,
            "goes_along": Key(read.words(read.name)),
            "stays": Key(read.words(read.name)),
            "follows": Key(read.name, needed=False, empty=""),
            "keeps": Key(read.name, needed=False, empty=""),
            "first": _NAMES,
            "minutes": _number(read.amount),
            "place": _NAME,
        },
    ),
    "severe": Section(("fault",), {"fault": _NAME, "check": _NAME, "why": _TEXT}),
    "estimate": Section(
        ("id",),
        {"id": _NAME, "name": _TEXT, "value": _number(read.amount), "unit": _TEXT},
    ),
    "as_found": Section(
        ("id",),
        {
            "id": _NAME,
            "place": Key(read.name, needed=False),
            "what": Key(read.choice(*get_args(AsFoundSort))),
            "text": _TEXT,
            "needed": Key(read.choice("needed", "later", "allowed")),
            "before": Key(read.choice("", "clean", "apart"), needed=False, empty=""),
            "not_possible": Key(read.words(), needed=False, empty=()),
            "measure": Key(read.name, needed=False, empty=""),
            "note": _NOTE,
        },
    ),
    "tick": Section(
        ("id",),
        {
            "id": _NAME,
            "list": Key(read.choice(*get_args(TickList))),
            "text": _TEXT,
            "cautions": _NAMES,
        },
    ),
    "muck": Section(
        ("id",),
        {
            "id": Key(read.choice(*get_args(MuckSort))),
            "name": _TEXT,
            "how": _TEXT,
            "never": _TEXT,
            "quantities": _number(read.by_id(read.quantity)),
            "waste": Key(read.words()),
            "hours": _number(read.three),
            "cautions": _NAMES,
            "accept": _TEXT,
        },
    ),
    "caution": Section(
        ("id",),
        {
            "id": _NAME,
            "situation": _TEXT,
            "text": _TEXT,
            "defers_to": _TEXT,
            "shown_before": _TEXT,
        },
    ),
}
