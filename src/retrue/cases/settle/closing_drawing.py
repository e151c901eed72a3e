"""A closed machine as its picture takes it: each bucket's band, and what it came to."""

from __future__ import annotations

from retrue.cases.settle.closed_case import ClosedCase, ComparedRow
from retrue.cases.settle.cost_drawing import MOST_BARS, CostBar, CostBars
from retrue.cases.settle.cost_lines import Range


def closing_bars(case: ClosedCase, name: str) -> CostBars | None:
    """Where money was to go, and went.

    Parameters
    ----------
    case : ClosedCase
    name : str
        Of the machine.

    Returns
    -------
    CostBars or None
        None where no money was expected and none was spent.

    Examples
    --------
    >>> rows = tuple(ComparedRow(sort=sort, line=line, words=line, guessed=90.0, low=50.0,
    ...     high=200.0, was=120.0) for sort, line in (("bucket", "parts"), ("total", "restored")))
    >>> case = ClosedCase(kind="turning_centre", age_years=None, level="right", end="sold",
    ...     currency="EUR", year=2026, rows=rows)
    >>> closing_bars(case, "lathe").bars[0].actual
    120.0
    """
    whole = next((row for row in case.rows if row.line == "restored"), None)
    buckets = [row for row in case.rows if row.sort == "bucket"]
    if whole is None or not buckets:
        return None
    largest = sorted(buckets, key=lambda row: -max(row.high or 0.0, row.was or 0.0))[:MOST_BARS]
    return CostBars(
        name=name,
        bars=tuple(_bar(row) for row in buckets if row in largest),
        whole=_bar(whole),
        currency=case.currency,
        left_out=len(buckets) - len(largest),
    )


def _bar(row: ComparedRow) -> CostBar:
    came = row.was or 0.0
    expected = None
    if row.guessed is not None and row.low is not None and row.high is not None:
        expected = Range(p10=row.low, p50=row.guessed, p90=row.high, mean=row.guessed)
    end = Range(p10=came, p50=came, p90=came, mean=came)
    return CostBar(words=row.words, forecast=expected, actual=came, end=end)
