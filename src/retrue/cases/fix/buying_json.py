"""The purchase list, and a look at a table, as one flat JSON object each."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from retrue.base.say import say
from retrue.cases.fix.buying_lines import Buying, BuyRow, Offer
from retrue.cases.fix.preview import Preview, PreviewRow
from retrue.cases.fix.spoken import Spoken

SCHEMA = "fix.buy.1"
PREVIEW = "fix.buy.read.1"
SPOKEN = "fix.quote.1"


def flat(view: Buying) -> dict[str, Any]:
    """The purchase list as plain values; ``why`` says of each null why it is one.

    Parameters
    ----------
    view : Buying

    Returns
    -------
    dict
        Money as numbers in ``currency``.

    Examples
    --------
    >>> view = Buying(on="2026-11-26", currency="EUR", rows=(), weeks=(), stock=(), total=0.0)
    >>> flat(view)["schema"], flat(view)["total"]
    ('fix.buy.1', 0.0)
    """
    return {
        "cautions": list(view.cautions),
        "currency": view.currency,
        "no_vendor": list(view.no_vendor),
        "on": view.on,
        "rates": dict(view.rates),
        "rows": [_row(one) for one in view.rows],
        "schema": SCHEMA,
        "stock": [_with_why(asdict(one), say("nobody said, or nothing is known of it"))
                  for one in view.stock],
        "total": view.total,
        "uncounted": list(view.uncounted),
        "undated": view.undated,
        "weeks": [asdict(one) for one in view.weeks],
        "why": {},
    }  # fmt: skip


def flat_preview(preview: Preview, kept: int | None = None) -> dict[str, Any]:
    """What keeping a table would do, or did.

    Parameters
    ----------
    preview : Preview
    kept : int or None
        How many records were kept; None: none was asked to be.

    Returns
    -------
    dict

    Examples
    --------
    >>> flat_preview(Preview(name="list.csv", rows=()))["refused"]
    0
    """
    told: dict[str, Any] = {
        "changed": preview.count("changed"),
        "kept": kept,
        "name": preview.name,
        "new": preview.count("new"),
        "nothing": preview.count("nothing"),
        "refused": preview.count("refused"),
        "rows": [_read(one) for one in preview.rows if one.action != "nothing"],
        "schema": PREVIEW,
        "strange": list(preview.strange),
    }
    return _with_why(told, say("only looked at"))


def flat_spoken(spoken: Spoken, kept: str | None = None) -> dict[str, Any]:
    """What was understood of a spoken quote.

    Parameters
    ----------
    spoken : Spoken
    kept : str or None
        The id it is kept under.

    Returns
    -------
    dict

    Examples
    --------
    >>> from datetime import date
    >>> told = flat_spoken(Spoken(text="x", quoted_on=date(2026, 11, 26)))
    >>> told["quoted_on"], told["why"]["amount"]
    ('2026-11-26', 'nobody said')
    """
    names = ("amount", "currency", "days", "line", "rate", "tax", "text", "units", "vendor")
    told: dict[str, Any] = {name: getattr(spoken, name) for name in names}
    for name in ("amount", "rate"):
        told[name] = None if told[name] is None else float(told[name])
    for name in ("quoted_on", "rate_on", "valid_until_on"):
        day = getattr(spoken, name)
        told[name] = None if day is None else day.isoformat()
    told |= {
        "kept": kept,
        "not_understood": list(spoken.not_understood),
        "problems": [asdict(one) for one in spoken.problems],
        "schema": SPOKEN,
    }
    return _with_why(told, say("nobody said"))


def _row(row: BuyRow) -> dict[str, Any]:
    told: dict[str, Any] = {
        name: getattr(row, name)
        for name in ("amount", "chance", "late", "lot", "lot_name", "machine", "machine_name",
                     "needed_on", "order_by_on")
    }  # fmt: skip
    part = row.part
    told |= {name: getattr(part, name)
             for name in ("days", "line", "mark", "promised_on", "source", "state", "units",
                          "what")}  # fmt: skip
    told |= {
        "cards": list(row.cards),
        "money": asdict(part.money),
        "offers": [_offer(one) for one in part.offers],
        "reason": row.why,
    }
    return _with_why(told, row.why)


def _offer(one: Offer) -> dict[str, Any]:
    quoted = one.record.fact
    told: dict[str, Any] = {
        "amount": one.amount, "cheapest": one.cheapest, "days": one.days, "id": one.record.id,
        "quoted": float(quoted.amount), "quoted_currency": quoted.currency,
        "quoted_on": quoted.quoted_on, "tax": quoted.tax, "told": one.why, "units": quoted.units,
        "valid": one.valid, "vendor": quoted.vendor,
    }  # fmt: skip
    return _with_why(told, one.why or say("nobody said"))


def _read(row: PreviewRow) -> dict[str, Any]:
    return {"action": row.action, "number": row.number, "sort": row.sort, "words": row.words,
            "problems": [asdict(one) for one in row.problems]}  # fmt: skip


def _with_why(told: dict[str, Any], why: str) -> dict[str, Any]:
    return told | {"why": {name: why for name, value in told.items() if value is None}}
