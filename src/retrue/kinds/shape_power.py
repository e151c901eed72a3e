"""The sections of first power: its stages, what each should read, the run-in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import get_args

from retrue.kinds import readers as read
from retrue.kinds.keys import (
    BOUND,
    LINES,
    MAYBE_NAME,
    NAME,
    NAMES,
    NOTE,
    TEXT,
    YES,
    Key,
    Section,
    number,
)
from retrue.kinds.waking import RunInLadder, Taker

POWER: Mapping[str, Section] = {
    "stage": Section(
        ("id",),
        {
            "id": Key(read.stage),
            "stage": NAME,
            "title": TEXT,
            "energises": TEXT,
            "live": Key(read.flag),
            "licensed": Key(read.flag),
            "who": TEXT,
            "alone": Key(read.flag),
            "alone_instead": TEXT,
            "faults": NAMES,
            "checks": NAMES,
            "jobs": NAMES,
            "part_of": NAMES,
            "touches": LINES,
            "cautions": NAMES,
            "why": NOTE,
            "needs": LINES,
            "abort_limits": Key(read.words()),
            "on_abort": Key(read.words()),
            "hands_back": Key(read.words()),
            "leave_it": Key(read.words()),
            "watch": YES,
            "optional": YES,
            "choices": Key(read.by_id(read.text), needed=False, empty={}),
            "pieces_hours": Key(read.words(read.positive), counts=True, needed=False, empty=()),
        },
    ),
    "stage_reading": Section(
        ("stage", "name"),
        {
            "stage": Key(read.stage),
            "name": NAME,
            "words": TEXT,
            "unit": TEXT,
            "expected_low": BOUND,
            "expected_high": BOUND,
            "abort_low": BOUND,
            "abort_high": BOUND,
            "taken_by": Key(read.choice(*get_args(Taker))),
            "points": LINES,
            "least": Key(read.whole, needed=False, empty=0),
            "each": LINES,
            "hold": YES,
            "hard": YES,
            "measure": MAYBE_NAME,
            "away_from": MAYBE_NAME,
            "if_stamped": MAYBE_NAME,
            "unless_stamped": MAYBE_NAME,
            "for_choice": MAYBE_NAME,
            "without": NAMES,
            "note": NOTE,
        },
    ),
    "run_in": Section(
        ("id",),
        {
            "id": NAME,
            "ladder": Key(read.choice(*get_args(RunInLadder))),
            "stage": NAME,
            "step": Key(read.whole),
            "percent": number(read.positive),
            "minutes": number(read.positive),
            "rise_k": Key(read.positive, counts=True, needed=False),
            "abort_rise_k": Key(read.positive, counts=True, needed=False),
            "text": TEXT,
        },
    ),
}
