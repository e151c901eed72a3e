"""Lines of several machines as one list. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from retrue.cases.settle.cost_lines import CostLineRow
from retrue.cases.settle.cost_words import in_order

Key = tuple[str, str]  # bucket of what stands on no line, and the line


def lines_together(told: Iterable[Iterable[CostLineRow]]) -> Iterator[CostLineRow]:
    """Lines of several machines, each with its sums added.

    Parameters
    ----------
    told : iterable of iterable of CostLineRow

    Yields
    ------
    CostLineRow
        Of a line that several have, the state of the one that has most money.

    Examples
    --------
    >>> mine = CostLineRow(line="F15", words="winding", bucket="outside", spent=600.0)
    >>> other = CostLineRow(line="F15", words="winding", bucket="outside", still=40.0)
    >>> [(one.line, one.spent, one.still) for one in lines_together([[mine], [other]])]
    [('F15', 600.0, 40.0)]
    """
    sums: dict[Key, CostLineRow] = {}
    for rows in told:
        for row in rows:
            key = ("", row.line) if row.line else (row.bucket, "")
            sums[key] = _both(sums[key], row) if key in sums else row
    yield from sorted(
        sums.values(),
        key=lambda row: (in_order(row.bucket), not row.line, -(row.forecast or 0.0), row.line),
    )


def _both(one: CostLineRow, other: CostLineRow) -> CostLineRow:
    first = max(one, other, key=lambda row: abs(row.spent + row.owed) + row.still)
    return replace(
        first,
        forecast=None
        if one.forecast is None and other.forecast is None
        else (one.forecast or 0.0) + (other.forecast or 0.0),
        chance=None,
        low=_least(one.low, other.low),
        high=None if one.high is None or other.high is None else one.high + other.high,
        spent=one.spent + other.spent,
        owed=one.owed + other.owed,
        still=one.still + other.still,
        against="",
    )


def _least(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else one + other
