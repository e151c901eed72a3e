"""The sections of the work itself: how cards are done, what ages, what can be added."""

from __future__ import annotations

from collections.abc import Mapping
from typing import get_args

from retrue.kinds import readers as read
from retrue.kinds.fixing import Adds, CardAfter, CardWho, UpgradeSort
from retrue.kinds.keys import LINES, NAME, NAMES, NOTE, SHARES, TEXT, TIMES, Key, Section, number

_MAYBE = Key(read.flag, needed=False)
_DAYS = Key(read.amount, counts=True, needed=False, empty=0.0)

FIXING: Mapping[str, Section] = {
    "card_rule": Section(
        ("of",),
        {
            "of": Key(read.ruled),
            "hoist": _MAYBE,
            "unbroken": _MAYBE,
            "alone": _MAYBE,
            "people": Key(read.whole, counts=True, needed=False),
            "least_hours": _DAYS,
            "dries_days": _DAYS,
            "who": Key(read.choice(*get_args(CardWho)), needed=False, empty=""),
            "after": Key(read.choice(*get_args(CardAfter)), needed=False, empty=""),
            "before": LINES,
            "work": LINES,
            "clean": LINES,
            "measure": LINES,
            "close": LINES,
            "cautions": NAMES,
            "tools": LINES,
        },
    ),
    "renewal": Section(
        ("id",),
        {
            "id": NAME,
            "name": TEXT,
            "place": Key(read.place),
            "faults": NAMES,
            "money": number(read.three),
            "hours": number(read.three),
            "shape": number(read.positive),
            "life_years": number(read.positive),
            "raisers": TIMES,
            "failing_money": Key(read.three, counts=True, needed=False),
        },
    ),
    "upgrade": Section(
        ("id",),
        {
            "id": NAME,
            "name": TEXT,
            "sort": Key(read.choice(*get_args(UpgradeSort))),
            "place": Key(read.place),
            "money": number(read.three),
            "hours": number(read.three),
            "dries_days": _DAYS,
            "adds": Key(
                read.by_word(*get_args(Adds))(read.figure), counts=True, needed=False, empty={}
            ),
            "comfort": NOTE,
            "cures": SHARES,
            "cautions": NAMES,
        },
    ),
    "way_effect": Section(
        ("of",),
        {
            "of": Key(read.of_way),
            "again": number(read.share),
            "again_years": number(read.positive),
            "accuracy": NOTE,
            "noise": NOTE,
        },
    ),
}
