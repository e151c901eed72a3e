"""What reading a file would do to the book, in sentences and as one flat JSON object."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from retrue.base.currencies import minor_units
from retrue.base.formatter import money
from retrue.base.say import say
from retrue.cases.settle.bring_columns import NOT_NEEDED
from retrue.cases.settle.bring_lines import BroughtRow, Deed, Preview
from retrue.cases.settle.cost_words import bucket_words
from retrue.records.settling import Posting

SCHEMA = "settle.import.1"
FEW = 15  # rows of a file that nobody asked to see whole


def counted(preview: Preview) -> str:
    """How many rows are what, in one sentence.

    Parameters
    ----------
    preview : Preview

    Returns
    -------
    str

    Examples
    --------
    >>> empty = Preview(name="bank.csv", kind="bank", currency="EUR", columns=(), decimal="comma",
    ...                 dates="day")
    >>> counted(empty)
    'No line below its heading says anything.'
    """
    counts = [
        text
        for text, state in (
            (say("{count} new", count=preview.count("new")), "new"),
            (say("{count} in the book already", count=preview.count("there")), "there"),
            (say("{count} probably in it", count=preview.count("probable")), "probable"),
            (say("{count} left out before", count=preview.count("left")), "left"),
            (say("{count} not understood", count=preview.count("refused")), "refused"),
            (say("{count} no payment", count=preview.count("skipped")), "skipped"),
        )
        if any(row.state == state for row in preview.rows)
    ]
    if not counts:
        return say("No line below its heading says anything.")
    return say("{counts}.", counts=", ".join(map(str, counts)))


def line_of(fact: Posting, preview: Preview) -> str:
    """A row as the line it would be.

    Parameters
    ----------
    fact : Posting
    preview : Preview
        For the names of machines.

    Returns
    -------
    str
    """
    told = [
        fact.posted_on,
        say(SORT_WORDS[fact.sort]),
        money(fact.amount, fact.currency, minor_units(fact.currency)),
        fact.what,
        fact.whom if fact.whom != fact.what else "",
        bucket_words(fact.bucket) if fact.bucket or fact.sort in ("bought", "paid") else "",
        preview.machines.get(fact.machine or "", ""),
        say("{share} % tax in it", share=format(100 * float(fact.tax_rate), "g"))
        if fact.tax_rate is not None and fact.tax_in
        else "",
    ]
    return ", ".join(map(str, filter(None, told)))


SORT_WORDS = {
    "bought": "bought",
    "paid": "paid",
    "deposit": "a deposit given",
    "deposit_back": "a deposit back",
    "sold": "sold",
    "received": "received",
    "returned": "returned",
    "moved": "moved",
    "exchanged": "exchanged",
}
"""What a line is, as it is told and chosen."""

DEED_WORDS: dict[Deed, str] = {
    "add": "added",
    "take": "takes its place",
    "leave": "left out",
}
"""What is done of a row."""


def preview_lines(preview: Preview, *, whole: bool) -> Iterator[str]:
    """What keeping a file would do, as a terminal tells it.

    Parameters
    ----------
    preview : Preview
    whole : bool
        Every row, not the first few.

    Yields
    ------
    str
    """
    yield counted(preview)
    yield from preview.understood
    yield from _columns(preview)
    for text in preview.guessed:
        yield say("Guessed: {text}", text=text)
    for text in preview.ignored:
        yield say("Left out: {text}", text=text)
    for row in preview.rows:
        for problem in row.problems:
            yield str(problem)
    shown = [row for row in preview.rows if row.state in ("new", "probable", "left", "skipped")]
    for row in shown if whole else shown[:FEW]:
        yield from _row(row, preview)
    if len(shown) > FEW and not whole:
        yield say("And {count} more: --all.", count=len(shown) - FEW)


def _columns(preview: Preview) -> Iterator[str]:
    """By which heading each column was known; its code is what --column takes."""
    for one in preview.columns:
        heading = f"“{one.heading}”"
        if one.role and one.said:
            yield say("{heading} is read as {role}, as you said.", heading=heading, role=one.role)
        elif one.role and one.role not in NOT_NEEDED:
            yield say("{heading} is read as {role}.", heading=heading, role=one.role)


def _row(row: BroughtRow, preview: Preview) -> Iterator[str]:
    if row.fact is None:
        yield say("line {number}: {words}; left out", number=row.number, words=row.words)
        return
    yield say("line {number}: {line}", number=row.number, line=line_of(row.fact, preview))
    if row.words:
        yield "  " + say("{words}: {deed}", words=row.words, deed=say(DEED_WORDS[row.deed]))
    if row.guessed:
        yield "  " + say("guessed: {reasons}", reasons="; ".join(map(str, row.guessed)))


def flat(preview: Preview, kept: int | None = None) -> dict[str, Any]:
    """What keeping a file would do, or did, as plain values.

    Parameters
    ----------
    preview : Preview
    kept : int or None
        How many lines were kept; None: it was only looked at.

    Returns
    -------
    dict
        ``why`` says of each null why it is one.

    Examples
    --------
    >>> empty = Preview(name="bank.csv", kind="bank", currency="EUR", columns=(), decimal="comma",
    ...                 dates="")
    >>> flat(empty)["why"]
    {'kept': 'only looked at'}
    """
    return {
        "columns": {one.role: one.heading for one in preview.columns if one.role},
        "currency": preview.currency,
        "dates": preview.dates,
        "decimal": preview.decimal,
        "guessed": list(preview.guessed),
        "ignored": list(preview.ignored),
        "kept": kept,
        "kind": preview.kind,
        "left": preview.count("left"),
        "name": preview.name,
        "new": preview.count("new"),
        "probable": preview.count("probable"),
        "refused": preview.count("refused"),
        "rows": [_flat_row(row) for row in preview.rows],
        "schema": SCHEMA,
        "skipped": preview.count("skipped"),
        "there": preview.count("there"),
        "understood": list(preview.understood),
        "why": {} if kept is not None else {"kept": say("only looked at")},
    }


def _flat_row(row: BroughtRow) -> dict[str, Any]:
    fact = row.fact
    told: dict[str, Any] = {
        "alike": [part.id for part in row.alike.parts] if row.alike else [],
        "amount": float(fact.amount) if fact else None,
        "bucket": fact.bucket if fact else None,
        "currency": fact.currency if fact else None,
        "deed": row.deed,
        "guessed": list(row.guessed),
        "id": row.id,
        "line": row.number,
        "machine": fact.machine if fact else None,
        "on": fact.posted_on if fact else None,
        "problems": [str(one) for one in row.problems],
        "sort": fact.sort if fact else None,
        "state": row.state,
        "tax_rate": None if fact is None or fact.tax_rate is None else float(fact.tax_rate),
        "what": fact.what if fact else None,
        "whom": fact.whom if fact else None,
        "words": row.words,
    }
    reason = say("of no machine alone") if fact else say("no line is made of it")
    whys = {key: reason for key, value in told.items() if value is None}
    if fact and told["tax_rate"] is None:
        whys["tax_rate"] = say("nobody said its tax")
    return told | {"why": whys}
