"""What may be taken back: of each kind where, why not, and what hangs on it.

Nothing hangs half: what stands on a record that is taken back falls with it, or holds it. A record
that is taken back stays readable for good.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from retrue.base.say import later, say

Way = Literal["here", "room", "page", "never"]
Room = Literal["", "strip", "move", "fix", "wake", "prove", "settle", "sale", "hours"]


@dataclass(frozen=True, slots=True)
class Rule:
    """How records of one kind are taken back.

    Attributes
    ----------
    way : str
        here: by the diary itself; room: by the deed of its own phase, which knows what falls with
        it; page: on a page of its own, for more than a record ends with it; never: with why.
    room : str
        Whose deed, where it is that of a phase.
    again : bool
        Whether what was taken back may be brought back as it was.
    why : str
        Of page and never: why; else why it is not brought back as it was; may be empty.
    """

    way: Way = "here"
    room: Room = ""
    again: bool = True
    why: str = ""


HERE = Rule()
SIGNED = later("A signature is given anew, beside what it stands for; it is not brought back.")
BY_ANSWER = later("Say it again on its page: what stood on it is then asked anew.")
_OF_WAKE = Rule("room", "wake", again=False, why=SIGNED)

RULES: Mapping[str, Rule] = {
    "shop": Rule("never", why=later("Without it nothing could be reckoned. Correct it instead.")),
    "terms": HERE,
    "need": HERE,
    "alternative": HERE,
    "lot": HERE,
    "machine": HERE,
    "plate": HERE,
    "finding": HERE,
    "cost_line": HERE,
    "file": HERE,
    "note": HERE,
    "asked": HERE,
    "moved": Rule("never", why=later("It follows from a look. Take that look back instead.")),
    "frozen": Rule(
        "never",
        why=later("A frozen price is not melted. Freeze it anew, with the reason."),
    ),
    "outcome": HERE,
    "instrument": HERE,
    "reading_set": HERE,
    "reading": HERE,
    "result": Rule("never", why=later("It follows from its readings. Take the wrong one back.")),
    "own_limit": HERE,
    "trouble": HERE,
    "hunch": HERE,
    "trial": HERE,
    "act": HERE,
    "part_moved": HERE,
    "signed": Rule(again=False, why=SIGNED),
    "guess": HERE,
    "planned": HERE,
    "data_copy": Rule("room", "move", again=False, why=BY_ANSWER),
    "move_step": HERE,
    "arrived": HERE,
    "laid_up": HERE,
    "round": Rule("room", "move", again=False, why=BY_ANSWER),
    "as_found": Rule("room", "strip", again=False, why=BY_ANSWER),
    "ticked": HERE,
    "cleaned": HERE,
    "clean_reading": HERE,
    "taken": HERE,
    "put_back": HERE,
    "stage_begun": _OF_WAKE,
    "stage_reading": _OF_WAKE,
    "stage_ended": _OF_WAKE,
    "cause_found": _OF_WAKE,
    "watch_begun": _OF_WAKE,
    "watch_readings": _OF_WAKE,
    "watch_called": _OF_WAKE,
    "watch_ended": _OF_WAKE,
    "sensed": Rule("room", "prove", again=False, why=BY_ANSWER),
    "sensed_result": Rule(
        "never", why=later("It follows from what was measured. Take that back instead.")
    ),
    "chosen": HERE,
    "quoted": HERE,
    "out": HERE,
    "rung": HERE,
    "out_ended": HERE,
    "card_marked": Rule("room", "fix", again=False, why=later("Mark the card again.")),
    "worker": HERE,
    "gear": HERE,
    "stock": HERE,
    "plan_kept": Rule("never", why=later("A plan stands until it is planned again.")),
    "posting": Rule("room", "settle", again=False, why=later("Write the line in the book again.")),
    "day_rate": Rule("room", "settle", again=False, why=later("Type the rate again.")),
    "books_closed": Rule("room", "settle", again=False, why=later("Close the book again.")),
    "hours_told": Rule("room", "hours", again=False, why=later("Answer the evening again.")),
    "clock_rung": Rule("room", "hours", again=False, why=later("Type the hours instead.")),
    "run_figure": Rule("room", "settle"),
    "for_sale": Rule("room", "settle", again=False, why=later("List it again.")),
    "offered": Rule("room", "sale", again=False, why=later("Keep the offer again.")),
    "included": Rule("room", "settle"),
    "record_given": Rule(
        "room", "settle", again=False,
        why=later("Give a new record: what it says is as things stand then."),
    ),
    "promised": Rule("room", "settle"),
    "buyer_asked": Rule("room", "settle"),
    "case_closed": Rule("room", "settle", again=False, why=later("Close it again.")),
    "ledger_taken": Rule("room", "settle", again=False, why=later("Take the file again.")),
    "catalogue": Rule(again=False, why=later("Keep the file of the catalogue again.")),
    "catalogue_content": Rule("never", why=later("Take the catalogue itself back instead.")),
    "screening": Rule("never", why=later("Stop it, or begin it again, on the catalogue's page.")),
    "share": Rule("never", why=later("A part that is left alone is taken over by somebody else.")),
    "part_screened": Rule(
        "never", why=later("It follows from the catalogue. Correct its columns or its terms.")
    ),
    "bidder": Rule(again=False, why=later("Say again that you bid on that lot.")),
    "budget": HERE,
    "row_taken": Rule("never", why=later("Take the lot itself back: this goes with it.")),
    "device_joined": Rule(
        "page",
        why=later("With it the device is shut out at once: that is done on the page of devices."),
    ),
    "backed_up": Rule("never", why=later("That a backup was made stays true.")),
    "set_aside": Rule(
        "page", why=later("One of the two counts: say which on its own page.")
    ),
    "withdrawn": Rule("never", why=later("Bring back what it took away instead.")),
}  # fmt: skip
"""Of every kind of record."""


@dataclass(frozen=True, slots=True)
class Hangs:
    """Records of one kind name the one that is taken back.

    Attributes
    ----------
    kind, field : str
        Theirs.
    falls : bool
        Whether they count no more either; else they hold it.
    before : str
        What stands before the id in that field.
    """

    kind: str
    field: str
    falls: bool = True
    before: str = ""


HANGS: Mapping[str, tuple[Hangs, ...]] = {
    "finding": (Hangs("guess", "finding"),),
    "guess": (),
    "file": (
        Hangs("finding", "picture"),
        Hangs("note", "file"),
        Hangs("trouble", "picture", falls=False),
        Hangs("plate", "picture", falls=False),
        Hangs("instrument", "picture", falls=False),
        Hangs("data_copy", "file", falls=False),
    ),
    "instrument": (Hangs("reading_set", "instrument", falls=False),),
    "reading_set": (
        Hangs("reading", "set"),
        Hangs("result", "set"),
        Hangs("reading_set", "before", falls=False),
    ),
    "trouble": (Hangs("hunch", "trouble"), Hangs("trial", "trouble")),
    "taken": (Hangs("put_back", "taken"),),
    "quoted": (Hangs("out", "quote", falls=False),),
    "out": (
        Hangs("rung", "out"),
        Hangs("out_ended", "out"),
        Hangs("posting", "source", falls=False, before="out:"),
    ),
    "outcome": (Hangs("posting", "source", falls=False, before="outcome:"),),
    "stage_begun": (Hangs("stage_reading", "begun"), Hangs("stage_ended", "begun")),
    "stage_ended": (Hangs("cause_found", "ended"),),
    "watch_begun": (
        Hangs("watch_readings", "watch"),
        Hangs("watch_called", "watch"),
        Hangs("watch_ended", "watch"),
    ),
    "sensed": (Hangs("sensed_result", "sensed"),),
    "posting": (Hangs("posting", "of", falls=False),),
    "catalogue": (
        Hangs("screening", "catalogue"),
        Hangs("share", "catalogue"),
        Hangs("part_screened", "catalogue"),
        Hangs("budget", "catalogue"),
        Hangs("row_taken", "catalogue"),
        Hangs("bidder", "catalogue", falls=False),
    ),
}
"""By the kind of what is taken back. What belongs to a lot or a machine stands below."""

ALSO_NAMES = frozenset(
    {("act", "trouble"), ("moved", "finding"), ("watch_begun", "begun"), ("device_joined", "given")}
)
"""Fields that name a record which may be taken back without them."""

FALL_WITH_MACHINE = frozenset(
    {"machine", "terms", "plate", "asked", "moved", "cost_line", "finding", "guess", "file"}
    | {"note", "planned", "chosen", "result", "row_taken"}
)
"""What belongs to a lot or a machine alone and falls with it; all else holds it."""

FOLLOWS = (".finding", ".act", ".end")
"""Ends of ids of records that a deed kept beside another, whose id stands before the end."""

FALLS_BESIDE = (*FOLLOWS, ".note")
"""Such ends of what falls with that other record; a note may also be taken back alone."""

LEARNED = ".learned-"
"""Between the id of what was heard, felt or seen and the look that a finding of it answers."""

MONEY = frozenset(
    {"terms", "alternative", "cost_line", "moved", "frozen", "outcome", "chosen", "quoted", "out",
     "rung", "out_ended", "plan_kept", "posting", "day_rate", "books_closed", "hours_told",
     "clock_rung", "run_figure", "for_sale", "offered", "included", "record_given", "promised",
     "buyer_asked", "case_closed", "ledger_taken", "shop", "need", "asked", "stock", "gear",
     "worker", "catalogue", "catalogue_content", "part_screened", "bidder", "budget", "row_taken",
     "device_joined", "backed_up", "set_aside", "withdrawn"}
)  # fmt: skip
"""Kinds with money, or with what decides about it: a helper is not shown them."""


def refers_to(kind: str, field: str) -> bool:
    """Whether a field of a kind of record holds the id of another record that has a page.

    Parameters
    ----------
    kind, field : str
        Of the record, of its field.

    Returns
    -------
    bool

    Examples
    --------
    >>> refers_to("rung", "out"), refers_to("posting", "source"), refers_to("note", "text")
    (True, False, False)
    """
    if (kind, field) in ALSO_NAMES:
        return True
    return any(
        (one.kind, one.field) == (kind, field) and not one.before
        for hanging in HANGS.values()
        for one in hanging
    )


def why_not(kind: str) -> tuple[str, str]:
    """Why records of a kind are not taken back here, and what is done instead.

    Parameters
    ----------
    kind : str
        Of a rule whose way is page or never.

    Returns
    -------
    tuple of (str, str)
        Reason and remedy.

    Examples
    --------
    >>> why_not("plan_kept")
    ('this is not taken back', 'A plan stands until it is planned again.')
    """
    rule = RULES[kind]
    if rule.way == "page":
        return say("this is taken back on its own page"), say(rule.why)
    return say("this is not taken back"), say(rule.why)
