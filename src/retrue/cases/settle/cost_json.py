"""What it cost for programs: one JSON object, and the rows of a table."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from retrue.base.say import say
from retrue.cases.settle.cost_lines import CostLineRow, CostRow, CostView, Range
from retrue.cases.settle.cost_words import against_words, state_words

SCHEMA = "settle.cost.1"
LINE_NULLS = ("forecast", "chance", "low", "high")
DAYS = ("was_early_on", "was_even_on", "was_late_on", "early_on", "even_on", "late_on",
        "reached_on")  # fmt: skip
HEADINGS = (
    "machine", "row", "unit", "bucket", "line", "what", "expected_good_luck", "expected_even",
    "expected_bad_luck", "expected_average", "spent", "owed", "still_to_come", "in_the_end",
    "stands", "against", "why",
)  # fmt: skip


def flat(view: CostView) -> dict[str, Any]:
    """A cost as plain values; ``why`` says of each null why it is one.

    Parameters
    ----------
    view : CostView

    Returns
    -------
    dict
        Documented in docs/json.md; money as numbers in ``currency``.
    """
    told = asdict(view)
    told["schema"] = SCHEMA
    told["hour_rates"] = {"alternative": view.hour_rates[0], "full": view.hour_rates[1]}
    told["missing_rates"] = [
        {"currency": currency, "on": day} for currency, day in view.missing_rates
    ]
    told["machines"] = [flat(one) for one in view.machines]
    told["why"] = dict(_whys(view))
    return told


def _whys(view: CostView) -> Iterator[tuple[str, str]]:
    for at, row in enumerate(view.rows):
        if row.forecast is None:
            yield f"rows.{at}.forecast", say("nothing of it was expected")
        if row.still is None:
            yield f"rows.{at}.still", say("nothing is to come")
        if row.assumed is None:
            yield f"rows.{at}.assumed", say("nothing had to be assumed")
    for at, line in enumerate(view.lines):
        for name in LINE_NULLS:
            if getattr(line, name) is None:
                yield f"lines.{at}.{name}", _line_why(line)
    for name in DAYS:
        if getattr(view.days, name) is None:
            yield f"days.{name}", _day_why(view, name)
    yield from _other_whys(view)


def _line_why(line: CostLineRow) -> str:
    if line.forecast is None:
        return say("nobody foresaw it")
    return say("on no line") if not line.line else say("of several machines")


def _day_why(view: CostView, name: str) -> str:
    if name == "reached_on":
        return say("no first good part yet")
    return say("no number was frozen and no day of purchase is kept")


def _other_whys(view: CostView) -> Iterator[tuple[str, str]]:
    for at, point in enumerate(view.cash.points):
        for name in ("paid", "low", "even", "high"):
            if getattr(point, name) is None:
                past = name != "paid"
                yield f"cash.points.{at}.{name}", say("past") if past else say("still to come")
    if view.cash.stop_at is None:
        yield "cash.stop_at", _stop_why(view)
    if view.stop is None:
        yield "stop", _stop_why(view)
    if view.brings_forecast is None:
        yield "brings_forecast", say("it is not worked on to be sold")
    if view.brings_then is None:
        yield "brings_then", say("it was not to be sold")
    if view.lot_price is None:
        yield "lot_price", say("no price was frozen or asked")


def _stop_why(view: CostView) -> str:
    if not view.machine:
        return say("each machine has its own")
    return say("nothing is worked for, or it makes good parts")


def table_rows(view: CostView) -> list[list[Any]]:
    """Rows for CSV or XLSX, the heading first: buckets, their sum, own hours, then every line.

    Parameters
    ----------
    view : CostView

    Returns
    -------
    list of list
        Each row says what it is (bucket, sum, line) and its unit: the shop's currency, or h.
    """
    rows: list[list[Any]] = [list(HEADINGS)]
    for one in view.machines or (view,):
        rows += _table_of(one, one.machine_name)
    if view.machines:
        rows += _sums(view, view.lot_name)
    return rows


def _table_of(view: CostView, name: str) -> Iterator[list[Any]]:
    for row in view.rows:
        yield _bucket(row, name, view.currency)
    yield from _sums(view, name)
    for line in view.lines:
        yield [
            name, "line", view.currency, line.bucket, line.line, line.words,
            _r(line.low), None, _r(line.high), _r(line.forecast), _r(line.spent), _r(line.owed),
            _r(line.still),
            _r(line.spent + line.owed + line.still), state_words(line.state),
            against_words(line.against), line.why,
        ]  # fmt: skip


def _sums(view: CostView, name: str) -> Iterator[list[Any]]:
    owed = sum(row.owed for row in view.rows)
    spent, what = (view.restored - owed, owed), say("all until the first good part")
    yield _sum((name, view.currency), what, view.restored_forecast, spent, view.still,
               view.restored_end, view.against)  # fmt: skip
    yield _sum((name, "h"), say("own hours"), view.hours_forecast, (view.hours, 0.0),
               view.hours_still, view.hours_end, view.hours_against)  # fmt: skip


def _bucket(row: CostRow, name: str, currency: str) -> list[Any]:
    told, still = row.forecast, row.still
    return [
        name, "bucket", currency, row.bucket, "", row.words, *_three(told), _r(row.spent),
        _r(row.owed),
        _r(still.mean if still else 0.0), _r(row.end.p50), state_words(row.state),
        against_words(row.against), "",
    ]  # fmt: skip


def _sum(
    at: tuple[str, str], what: str, told: Range, spent: tuple[float, float], still: Range,
    end: Range, against: str,
) -> list[Any]:  # fmt: skip
    return [
        at[0], "sum", at[1], "", "", what, *_three(told), _r(spent[0]), _r(spent[1]),
        _r(still.mean), _r(end.p50), "", against_words(against), "",
    ]  # fmt: skip


def _three(told: Range | None) -> tuple[float | None, ...]:
    if told is None:
        return (None, None, None, None)
    return _r(told.p10), _r(told.p50), _r(told.p90), _r(told.mean)


def _r(value: float | None) -> float | None:
    """To the cent: finer is not known.

    >>> _r(1.2345), _r(None)
    (1.23, None)
    """
    return None if value is None else round(value, 2)
