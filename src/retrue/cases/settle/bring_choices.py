"""What the owner says of single rows of a file, checked against what there is. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.settle.bring_lines import BroughtRow, Choices, Deed, Preview
from retrue.cases.settle.bring_own import own_fields
from retrue.cases.settle.posting_rules import Grounds, placed, posting_problems
from retrue.records.checking import problems_of
from retrue.records.settling import BUCKETS, Posting

Chosen = tuple[BroughtRow, Deed, Posting | None]
SORTS_OUT = ("paid", "bought", "deposit")
SORTS_IN = ("received", "sold")
TAXED = ("paid", "bought", "received", "sold")
UNDOING = ("returned", "deposit_back")


def sorts_of(row: BroughtRow) -> tuple[str, ...]:
    """What the money of a row may be: the owner chooses from these.

    Parameters
    ----------
    row : BroughtRow

    Returns
    -------
    tuple of str
        The one that was guessed first.

    Examples
    --------
    >>> sorts_of(BroughtRow(number=2, state="refused"))
    ()
    """
    if row.fact is None:
        return ()
    rest = SORTS_OUT if row.fact.sort in SORTS_OUT else SORTS_IN
    return (row.fact.sort, *(one for one in rest if one != row.fact.sort))


def chosen(preview: Preview, choices: Choices, about: Grounds, *, on: date) -> list[Chosen]:
    """Every row of a file with what is done of it.

    Parameters
    ----------
    preview : Preview
    choices : Choices
    about : Grounds
        The book as it is now.
    on : date
        Today.

    Returns
    -------
    list of (BroughtRow, deed, Posting or None)
        The posting where the owner changed it.

    Raises
    ------
    Unknown
        A choice is of a row that the file does not have.
    Unusable
        A choice cannot be; each is named with its line.
    """
    by_number = {row.number: row for row in preview.rows}
    _known_rows(choices, by_number.keys(), preview.name)
    problems: list[Problem] = []
    found: list[Chosen] = []
    for row in preview.rows:
        deed = choices.deeds.get(row.number, row.deed)
        wrong = list(_wrong_deed(row, deed))
        fact = None if wrong else _changed(row, choices)
        if fact is not None and deed == "add":
            wrong += _wrong_fact(fact, about, on)
            fact = fact if wrong else placed(fact, about)
        problems += [replace(one, where=say("line {number}", number=row.number)) for one in wrong]
        found.append((row, deed, fact))
    _refuse(problems, preview.name)
    return found


def _known_rows(choices: Choices, numbers: Any, name: str) -> None:
    said = (choices.deeds, choices.sorts, choices.buckets, choices.belongs, choices.taxes)
    strange = sorted({number for one in said for number in one} - set(numbers))
    if strange:
        what = say("{name} has no row in line {number}", name=name, number=strange[0])
        remedy = say("Count the lines of the file from 1, the heading among them.")
        raise Unknown(what, remedy=remedy, problems=(Problem("row", what, remedy),))


def _wrong_deed(row: BroughtRow, deed: Deed) -> Iterator[Problem]:
    if deed == "add" and row.fact is None:
        what = row.words or say("is not understood")
        yield Problem("", what, say("It cannot be added; leave it out."))
    if deed == "take" and not row.taking:
        yield Problem(
            "", say("there is no line whose place it can take"), say("Add it, or leave it out.")
        )


def _changed(row: BroughtRow, choices: Choices) -> Posting | None:
    """The line as the owner changed it; None where he did not."""
    fact = row.fact
    if fact is None:
        return None
    more: dict[str, Any] = {}
    if row.number in choices.sorts:
        more["sort"] = choices.sorts[row.number]
        more["of"] = fact.of if more["sort"] in UNDOING else None
        more |= _own(fact, more["sort"])
    if row.number in choices.buckets:
        more["bucket"] = choices.buckets[row.number]
    if row.number in choices.belongs:
        more["lot"], more["machine"] = choices.belongs[row.number]
    rate = choices.taxes.get(row.number, fact.tax_rate)
    if rate != fact.tax_rate:
        more |= {"tax_rate": rate, "tax_in": True, "tax_reclaimable": None}
    if more.get("sort", fact.sort) not in TAXED:
        more |= {"tax_rate": None, "tax_reclaimable": None}
    made = replace(fact, **more)
    return None if made == fact else made


def _own(fact: Posting, sort: str) -> dict[str, Any]:
    """One's own money as the owner says so, or not so."""
    if sort == "exchanged" and fact.into_amount is None:
        out = fact.sort in ("bought", "paid", "deposit")
        return own_fields(fact.amount, fact.currency, "own_pocket", out=out)
    if sort != "exchanged" and fact.sort == "exchanged":
        return {"into_amount": None, "into_currency": "", "into_place": "", "paid_from": "bank"}
    return {}


def _wrong_fact(fact: Posting, about: Grounds, on: date) -> list[Problem]:
    if fact.bucket not in ("", *BUCKETS):
        remedy = say("It can be {named}.", named=", ".join(BUCKETS))
        return [Problem("bucket", say("there is no bucket {bucket}", bucket=fact.bucket), remedy)]
    wrong = list(problems_of(fact))
    if wrong:
        return wrong
    try:
        return list(posting_problems(placed(fact, about), about, today=on))
    except (Unknown, Unusable) as refusal:
        return [Problem("", refusal.reason, refusal.remedy)]


def _refuse(problems: Sequence[Problem], name: str) -> None:
    if problems:
        raise Unusable(
            say("a choice for {name} cannot be kept", name=name),
            remedy=say("Mend the lines named; nothing is kept yet."),
            problems=tuple(problems),
        )
