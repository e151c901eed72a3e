"""Which sections a library has, which keys each entry takes, and how each is read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import get_args

from retrue.kinds import readers as read
from retrue.kinds.keys import CURE, NAME, NAMES, NOTE, SHARES, TEXT, TIMES, YES, Key, number
from retrue.kinds.keys import Section as Section
from retrue.kinds.library import LEVELS, Scope, Stage, Urgency, Way
from retrue.kinds.shape_fixing import FIXING
from retrue.kinds.shape_guarding import GUARDING
from retrue.kinds.shape_power import POWER
from retrue.kinds.stripping import AsFoundSort, TickList
from retrue.records.stripping import Muck as MuckSort

SECTIONS: Mapping[str, Section] = {
    "kind": Section(
        ("id",),
        {
            "id": NAME,
            "letter": NAME,
            "name": TEXT,
            "version": TEXT,
            "mass_kg": number(read.positive),
        },
    ),
    "history": Section(
        ("id",),
        {
            "id": NAME,
            "name": TEXT,
            "share": number(read.share),
            "scope": Key(read.choice(*get_args(Scope))),
            "question": TEXT,
        },
    ),
    "fault": Section(
        ("id",),
        {
            "id": NAME,
            "name": TEXT,
            "subsystem": TEXT,
            "scope": Key(read.choice(*get_args(Scope))),
            "urgency": Key(read.choice(*get_args(Urgency))),
            "prior": number(read.share),
            "raisers": TIMES,
            "place": Key(read.place),
            "consequence": TEXT,
            "resale_drop_share": number(read.share),
            "accuracy_note": NOTE,
            "paid": Key(read.choice("each", "unit", "once")),
            "optional": YES,
        },
    ),
    "fix": Section(
        ("fault", "way"),
        {
            "fault": NAME,
            "way": Key(read.choice(*get_args(Way))),
            "money": number(read.three),
            "hours": number(read.three),
            "lead_days": number(read.amount),
            "cures": number(read.share),
            "opens": Key(read.place, needed=False),
            "also_cures": SHARES,
            "good_for": Key(read.choice("", *LEVELS), needed=False, empty=""),
            "paid_if_it_fails": number(read.share),
            "note": NOTE,
        },
    ),
    "job": Section(
        ("id",),
        {
            "id": NAME,
            "sort": Key(
                read.choice("record", "clean", "check", "start", "level", "measure", "finish")
            ),
            "name": TEXT,
            "places": Key(read.words(read.name)),
            "hours": number(read.three),
            "money": number(read.three),
            "when": TEXT,
            "cures": SHARES,
            "reveals": NAMES,
        },
    ),
    "place": Section(
        ("id",),
        {
            "id": NAME,
            "name": TEXT,
            "opened_by": TEXT,
            "open_hours": number(read.three),
            "close_hours": number(read.three),
            "needs": NOTE,
            "behind": Key(read.name, needed=False),
            "stuck_chance": number(read.share),
            "stuck_raisers": TIMES,
        },
    ),
    "level": Section(
        ("id",),
        {
            "id": Key(read.choice(*LEVELS)),
            "says": TEXT,
            "stop": CURE,
            "must": CURE,
            "should": CURE,
            "may": CURE,
            "live_min_p": number(read.share),
            "live_max_drop": number(read.share),
            "jobs": Key(read.words()),
            "resale_state": TEXT,
            "resale_log_sd": number(read.positive),
            "resale_share": number(read.by_age),
        },
    ),
    "state": Section(
        ("id",),
        {
            "id": Key(read.choice("as_found")),
            "name": TEXT,
            "resale_share": number(read.by_age),
        },
    ),
    "cost": Section(
        ("id",),
        {
            "id": NAME,
            "group": TEXT,
            "item": TEXT,
            "unit": TEXT,
            "amount": number(read.three),
            "hours": number(read.three),
            "when": TEXT,
            "cures": SHARES,
            "note": NOTE,
        },
    ),
    "check": Section(
        ("id",),
        {
            "id": NAME,
            "stages": Key(read.words(read.choice(*get_args(Stage)))),
            "text": TEXT,
            "minutes": number(read.amount),
            "tools": Key(read.words(), needed=False, empty=()),
            "tool_hire": number(read.amount),
            "hazard": NOTE,
            "caution": NAME,
            "who": Key(read.choice("anyone", "competent", "electrician")),
            "answers": Key(read.choice("yes_no", "degree", "measure")),
            "measures": NAMES,
            "leak": number(read.share),
            "links": SHARES,
        },
    ),
    "measure": Section(
        ("id",),
        {
            "id": NAME,
            "name": TEXT,
            "unit": TEXT,
            "bad_side": Key(read.choice("high", "low")),
            "healthy": number(read.part),
            "parts": Key(read.by_id(read.part), counts=True, needed=False, empty={}),
            "instrument": TEXT,
            "uncertainty": number(read.amount),
            "uncertainty_kind": Key(read.choice("abs", "rel")),
            "check": NAME,
            "check_limit": number(read.positive),
            "limits": Key(read.by_id(read.limit), counts=True, needed=False, empty={}),
            "note": NOTE,
        },
    ),
    "shot": Section(
        ("id",),
        {
            "id": NAME,
            "view": Key(read.flag),
            "shows": TEXT,
            "ask": Key(read.by_id(read.text), needed=False, empty={}),
            "checks": NAMES,
            "chips": Key(read.chips, needed=False, empty=()),
        },
        marked=False,
    ),
    "question": Section(
        ("id",),
        {"id": NAME, "ask": Key(read.by_id(read.text)), "options": Key(read.options)},
        marked=False,
    ),
    "plate": Section(
        ("id",),
        {
            "id": NAME,
            "where": TEXT,
            "label": TEXT,
            "unit": NOTE,
            "used_by": Key(read.words()),
            "low": Key(read.figure, counts=True, needed=False),
            "high": Key(read.figure, counts=True, needed=False),
        },
    ),
    "stop_cover": Section(
        ("fault",),
        {
            "fault": NAME,
            "danger_at": TEXT,
            "check": NAME,
            "done_at": TEXT,
            "danger": TEXT,
        },
        marked=False,
    ),
    "cause": Section(
        ("fault", "sort"),
        {
            "fault": NAME,
            "sort": Key(read.choice("feeds", "imitates")),
            "leads_to": Key(read.words(read.name)),
            "why": TEXT,
        },
    ),
    "limit": Section(
        ("id",),
        {
            "id": NAME,
            "test": NAME,
            "key": NAME,
            "name": TEXT,
            "value": number(read.positive),
            "unit": TEXT,
            "standard": TEXT,
            "edition": TEXT,
            "note": NOTE,
        },
    ),
    "symptom": Section(
        ("id",),
        {
            "id": NAME,
            "words": TEXT,
            "check": NAME,
            "answer": Key(read.choice("seen", "slight", "severe")),
            "also": Key(
                read.by_id(read.choice("not_seen", "seen", "slight", "severe")),
                needed=False,
                empty={},
            ),
            "recipe": TEXT,
            "switch_off_first": Key(read.flag),
            "links": SHARES,
            "leak": number(read.share),
            "shows": number(read.share),
            "minutes": number(read.amount),
            "group": NAME,
        },
    ),
    "group": Section(
        ("id",),
        {
            "id": NAME,
            "name": TEXT,
            "subsystems": Key(read.words()),
            "proof": TEXT,
            "checks": NAMES,
            "minutes": number(read.amount),
            "stage": Key(read.choice(*get_args(Stage))),
        },
    ),
    "swappable": Section(
        ("id",),
        {
            "id": NAME,
            "name": TEXT,
            "goes_along": Key(read.words(read.name)),
            "stays": Key(read.words(read.name)),
            "follows": Key(read.name, needed=False, empty=""),
            "keeps": Key(read.name, needed=False, empty=""),
            "first": NAMES,
            "minutes": number(read.amount),
            "place": NAME,
        },
    ),
    "severe": Section(("fault",), {"fault": NAME, "check": NAME, "why": TEXT}),
    "estimate": Section(
        ("id",),
        {"id": NAME, "name": TEXT, "value": number(read.amount), "unit": TEXT},
    ),
    "as_found": Section(
        ("id",),
        {
            "id": NAME,
            "place": Key(read.name, needed=False),
            "what": Key(read.choice(*get_args(AsFoundSort))),
            "text": TEXT,
            "needed": Key(read.choice("needed", "later", "allowed")),
            "before": Key(read.choice("", "clean", "apart"), needed=False, empty=""),
            "not_possible": Key(read.words(), needed=False, empty=()),
            "measure": Key(read.name, needed=False, empty=""),
            "note": NOTE,
        },
    ),
    "tick": Section(
        ("id",),
        {
            "id": NAME,
            "list": Key(read.choice(*get_args(TickList))),
            "text": TEXT,
            "cautions": NAMES,
        },
    ),
    "muck": Section(
        ("id",),
        {
            "id": Key(read.choice(*get_args(MuckSort))),
            "name": TEXT,
            "how": TEXT,
            "never": TEXT,
            "quantities": number(read.by_id(read.quantity)),
            "waste": Key(read.words()),
            "hours": number(read.three),
            "cautions": NAMES,
            "accept": TEXT,
        },
    ),
    **POWER,
    **FIXING,
    **GUARDING,
    "caution": Section(
        ("id",),
        {
            "id": NAME,
            "situation": TEXT,
            "text": TEXT,
            "defers_to": TEXT,
            "shown_before": TEXT,
        },
    ),
}
