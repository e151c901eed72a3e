"""A closing, and a file of others, as flat objects for programs."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from retrue.base.say import say
from retrue.cases.settle.closing_lines import Closing
from retrue.cases.settle.sharing import TakenIn


def flat(made: Closing, kept: str | None = None) -> dict[str, Any]:
    """One flat object.

    Parameters
    ----------
    made : Closing
    kept : str or None
        Id of the record it was kept under.

    Returns
    -------
    dict
        With ``schema``, ``currency``, and ``why`` for what is null.
    """
    case = made.case
    told: dict[str, Any] = {
        "age_years": case.age_years,
        "base_brier": case.base_brier,
        "brier": case.brier,
        "changes": made.changes,
        "closed_on": made.closed_on or None,
        "currency": case.currency,
        "end": case.end,
        "families": [asdict(one) for one in made.families],
        "kept": kept,
        "kind": case.kind,
        "level": case.level,
        "lot": made.lot_name,
        "machine": made.machine_name,
        "moved": [asdict(one) for one in made.moved],
        "others": made.others,
        "rows": [asdict(one) for one in case.rows],
        "schema": "settle.close.1",
        "seen": made.seen,
        "still": made.still,
        "waits": list(made.waits),
    }
    whys = {
        "age_years": say("nobody said"),
        "base_brier": say("no fault was seen"),
        "brier": say("no fault was seen"),
        "closed_on": say("it is not closed"),
        "kept": say("nothing is kept yet"),
    }
    told["why"] = {name: words for name, words in whys.items() if told[name] is None}
    return told


def flat_taken(read: TakenIn, kept: str | None = None) -> dict[str, Any]:
    """What a file of others holds.

    Parameters
    ----------
    read : TakenIn
    kept : str or None
        Id of the record it was kept under.

    Returns
    -------
    dict
        With ``schema``, and ``why`` for what is null.

    Examples
    --------
    >>> read = TakenIn(content='{"cases":[]}', cases=(), known=2, strange=())
    >>> told = flat_taken(read)
    >>> told["known"], told["kept"], told["why"]["kept"]
    (2, None, 'nothing is kept yet')
    """
    return {
        "cases": [
            {
                "end": one.end,
                "kind": one.kind,
                "level": one.level,
                "rows": len(one.rows),
                "year": one.year,
            }
            for one in read.cases
        ],
        "kept": kept,
        "known": read.known,
        "schema": "settle.share.1",
        "strange": list(read.strange),
        "why": {} if kept else {"kept": say("nothing is kept yet")},
    }
