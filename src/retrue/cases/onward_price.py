"""What the price that is remembered says of the next step before a lot is won."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from retrue.cases.onward_facts import Along, Bid, Question
from retrue.cases.sheet import PriceSheet, QuestionRow
from retrue.cases.sheet_json import from_json
from retrue.records.facts import File, Finding, Note
from retrue.records.shop import Record, RecordShop

PICTURES = ("image/", "video/")


def with_price(along: Along, sheet: bytes) -> Bid:
    """What is to be paid, with the price that is remembered.

    Parameters
    ----------
    along : Along
    sheet : bytes
        The price sheet of its lot, as it was remembered.

    Returns
    -------
    Bid
        Of the questions the best one of this machine that is worth more than it costs; else that
        of the lot.
    """
    priced = _read(sheet)
    asking = [one for one in priced.questions if one.net > 0]
    asking.sort(key=lambda one: (one.machine != along.name, -one.net))
    visit = priced.visit
    return replace(
        along.bid,
        reckoned=True,
        walk_away=priced.walk_away.amount,
        why=priced.walk_away.why or "",
        question=_question(asking[0]) if asking else None,
        visit=(visit.worth, visit.costs) if visit is not None and visit.net > 0 else None,
        clear_first=tuple(
            (row.what, row.why) for row in priced.clear_first if row.machine in (None, along.name)
        ),
    )


@lru_cache(maxsize=128)
def _read(sheet: bytes) -> PriceSheet:
    return from_json(sheet)


def _question(row: QuestionRow) -> Question:
    return Question(check=row.check, text=row.text, machine=row.machine, channel=row.channel,
                    worth=row.worth, costs=row.asking_costs)  # fmt: skip


def unjudged(shop: RecordShop, lot: str, files: Sequence[Record[File]]) -> int:
    """How many photographs of the sale nobody has looked through.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    lot : str
        Id of its first record.
    files : sequence of Record
        Of the lot.

    Returns
    -------
    int
        Those taken of a place of a machine are no seller's pictures.

    Examples
    --------
    >>> unjudged(None, "1", ())
    0
    """
    shown = [
        one for one in files if one.fact.media_type.startswith(PICTURES) and not one.fact.place
    ]
    if not shown:
        return 0
    said = {one.fact.picture for one in shop.current(Finding, lot=lot)}
    said |= {one.fact.file for one in shop.current(Note, lot=lot)}
    return sum(not (_ids(shop, one) & said) for one in shown)


def _ids(shop: RecordShop, record: Record[File]) -> set[str]:
    """All ids of a line."""
    return {one.id for one in shop.history(record.id)} if record.replaces else {record.id}
