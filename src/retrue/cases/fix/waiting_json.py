"""The chase list as one flat JSON object, the same bytes each time."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from retrue.base.say import say
from retrue.cases.fix.lines import Owed, Waiting

SCHEMA = "fix.waiting.1"
OUT_FIELDS = ("amount", "currency", "line", "machine", "lot", "parcel", "quote", "reach",
              "serial", "since_on", "sort", "text", "what", "whom")  # fmt: skip


def flat(view: Waiting) -> dict[str, Any]:
    """The chase list as plain values; ``why`` says of each null why it is one.

    Parameters
    ----------
    view : Waiting

    Returns
    -------
    dict
        Money as numbers in the currency beside it.

    Examples
    --------
    >>> flat(Waiting(on="2026-11-26", owed=()))["schema"]
    'fix.waiting.1'
    """
    return {
        "deposits": {name: float(amount) for name, amount in view.deposits.items()},
        "due": [asdict(one) for one in view.due],
        "on": view.on,
        "owed": [owed_row(one) for one in view.owed],
        "schema": SCHEMA,
        "why": {},
    }


def owed_row(one: Owed) -> dict[str, Any]:
    """One thing that is out, as plain values.

    Parameters
    ----------
    one : Owed

    Returns
    -------
    dict
    """
    told: dict[str, Any] = {name: getattr(one.out, name) for name in OUT_FIELDS}
    names = ("broken", "days_late", "lot_name", "machine_name", "pressing", "promised_on",
             "return_owed", "ring_on", "state")  # fmt: skip
    told |= {name: getattr(one, name) for name in names}
    told |= {
        "amount": None if one.out.amount is None else float(one.out.amount),
        "deposit": None if one.deposit is None else float(one.deposit),
        "holds_up": list(one.holds_up),
        "id": one.first.id,
        "calls": [_call(said.fact.rung_on, said.fact.text, said.fact.nobody) for said in one.rung],
        "ended_on": one.ended.fact.ended_on if one.ended else None,
        "ended": one.ended.fact.how if one.ended else None,
    }
    whys = {
        "amount": say("nobody said"),
        "deposit": say("none is out"),
        "ended": say("it is out"),
        "ended_on": say("it is out"),
        "machine": say("for the lot"),
        "promised_on": say("nothing was promised"),
        "quote": say("no quote was taken"),
        "ring_on": say("no day to ring is set"),
    }
    return told | {"why": {name: why for name, why in whys.items() if told[name] is None}}


def _call(on: str, text: str, nobody: bool) -> dict[str, Any]:
    return {"nobody": nobody, "on": on, "text": text}
