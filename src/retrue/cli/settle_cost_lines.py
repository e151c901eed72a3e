"""What it cost for the terminal: the answer, then next, then where the money went, fine print."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.settle.cost_lines import CostLineRow, CostRow, CostView, Range
from retrue.cases.settle.cost_ranges import NOTHING
from retrue.cases.settle.cost_said import end_words
from retrue.cases.settle.cost_words import against_words, state_words
from retrue.cli.lines import table

FEW = 8  # lines shown of a bucket's list, unless all are asked for
MANY_WEEKS = 12
LONGEST = 38  # letters of a line's words


def cost_lines(view: CostView, *, whole: bool = False) -> Iterator[str]:
    """The whole of it.

    Parameters
    ----------
    view : CostView
        Of one machine, or of a lot.
    whole : bool
        Every line, not the first few; every week.

    Yields
    ------
    str
        One line each.
    """
    yield from _answer(view)
    yield ""
    yield say("Next: {what}.", what=view.next)
    yield f"  {view.next_why}"
    yield from _machines(view)
    yield from _buckets(view)
    yield from _hours(view)
    yield from _days(view)
    yield from _lines(view, whole)
    yield from _weeks(view, whole)
    yield from _stop(view)
    yield from _fine(view)


def _answer(view: CostView) -> Iterator[str]:
    yield view.answer
    yield end_words(view)
    c = view.currency
    yield say(
        "On the floor: {so_far}; expected {expected}.",
        so_far=formatter.money(view.landed, c),
        expected=_span(view.landed_forecast, c),
    )
    yield say(
        "With own hours at {low} and {high} an hour: {at_low} and {at_high} so far.",
        low=formatter.money(view.hour_rates[0], c),
        high=formatter.money(view.hour_rates[1], c),
        at_low=formatter.money(view.by_hour_value.alternative or 0.0, c),
        at_high=formatter.money(view.by_hour_value.full or 0.0, c),
    )
    if view.brings:
        yield say("It brought {money}.", money=formatter.money(view.brings, c))
    if view.brings_forecast is not None:
        yield say("Its sale may bring {span}.", span=_span(view.brings_forecast, c))


def _span(told: Range, currency: str) -> str:
    low, high = formatter.money(told.p10, currency), formatter.money(told.p90, currency)
    return low if low == high else say("{low} to {high}", low=low, high=high)


def _machines(view: CostView) -> Iterator[str]:
    if not view.machines:
        return
    yield ""
    rows = [
        (say("Machine"), say("so far"), say("in the end"), say("expected"), say("own hours"), "")
    ]
    rows += [
        (
            one.machine_name,
            formatter.money(one.restored, view.currency),
            formatter.money(one.restored_end.p50, view.currency),
            _span(one.restored_forecast, view.currency),
            formatter.number(one.hours),
            against_words(one.against),
        )
        for one in view.machines
    ]
    yield from table(rows)


def _buckets(view: CostView) -> Iterator[str]:
    """Buckets and their sum; what is owed has a column where anything is."""
    yield ""
    owed = sum(row.owed for row in view.rows)
    heading = (say("Where the money went"), say("expected"), say("spent"), say("owed"))
    rows: list[tuple[str, ...]] = [(*heading, say("to come"), "")]
    rows += [_bucket(row, view.currency) for row in view.rows]
    rows.append(
        (
            say("all until the first good part"),
            _span(view.restored_forecast, view.currency),
            formatter.money(view.restored - owed, view.currency),
            formatter.money(owed, view.currency),
            formatter.money(view.still.mean, view.currency),
            against_words(view.against),
        )
    )
    yield from table(rows if owed else [(*row[:3], *row[4:]) for row in rows])


def _bucket(row: CostRow, currency: str) -> tuple[str, ...]:
    said = row.state in ("spent", "to_come")
    return (
        row.words,
        "–" if row.forecast is None else _span(row.forecast, currency),
        formatter.money(row.spent, currency),
        formatter.money(row.owed, currency),
        formatter.money(row.still.mean, currency) if row.still is not None else "–",
        against_words(row.against) if said else state_words(row.state),
    )


def _hours(view: CostView) -> Iterator[str]:
    yield ""
    yield say(
        "Own hours: {so_far} h, in the end about {end} h; expected {low} to {high} h{against}.",
        so_far=formatter.number(view.hours, 1),
        end=formatter.number(view.hours_end.p50),
        low=formatter.number(view.hours_forecast.p10),
        high=formatter.number(view.hours_forecast.p90),
        against=f": {against_words(view.hours_against)}" if view.hours_against else "",
    )


def _days(view: CostView) -> Iterator[str]:
    days = view.days
    if days.reached_on is not None:
        yield say("First good part: {day}.", day=days.reached_on)
    elif days.even_on is not None:
        yield say("First good part most likely on {day}{plan}.", day=days.even_on,
                  plan=say(", by the plan that is kept") if days.by_plan else "")  # fmt: skip
    if days.was_early_on is not None and days.was_late_on is not None:
        yield say(
            "  Expected from {early} to {late}{against}.",
            early=days.was_early_on,
            late=days.was_late_on,
            against=f": {against_words(days.against)}" if days.against else "",
        )


def _lines(view: CostView, whole: bool) -> Iterator[str]:
    told = [row for row in view.lines if _says(row)] if not whole else list(view.lines)
    if not told:
        return
    yield ""
    rows: list[tuple[str, ...]] = [
        (say("Line by line"), say("expected"), say("spent"), say("to come"), "")
    ]
    shown = told if whole else _largest(told)
    rows += [_line(row, view.currency) for row in shown]
    yield from table(rows)
    left = len(view.lines) - len(shown)
    if left:
        yield say("  {count} lines more: --all.", count=left)


def _says(row: CostLineRow) -> bool:
    return row.state != "to_come" or row.still >= NOTHING


def _largest(rows: list[CostLineRow]) -> list[CostLineRow]:
    """Lines with money in the book first, then the dearest that are to come."""
    spent = [row for row in rows if abs(row.spent + row.owed) >= NOTHING]
    rest = sorted((row for row in rows if row not in spent), key=lambda row: -row.still)
    kept = spent + rest[: max(0, FEW - len(spent))]
    return [row for row in rows if row in kept]


def _line(row: CostLineRow, currency: str) -> tuple[str, ...]:
    words = textwrap.shorten(f"{row.line} {row.words}".strip(), LONGEST, placeholder="…")
    state = "" if row.state in ("spent", "to_come") else state_words(row.state)
    stands = [state, against_words(row.against), _if_needed(row, currency), row.why]
    return (
        words,
        "–" if row.forecast is None else formatter.money(row.forecast, currency),
        formatter.money(row.spent + row.owed, currency),
        formatter.money(row.still, currency),
        ", ".join(str(one) for one in stands if one),
    )


def _if_needed(row: CostLineRow, currency: str) -> str:
    """What a line that money went to takes where it is needed: its average counts the chance."""
    if not row.against or row.low is None or row.high is None:
        return ""
    return say("if needed {low} to {high}", low=formatter.money(row.low, currency),
               high=formatter.money(row.high, currency))  # fmt: skip


def _weeks(view: CostView, whole: bool) -> Iterator[str]:
    points = [one for one in view.cash.points if abs(one.amount) >= NOTHING]
    if not points:
        return
    yield ""
    rows: list[tuple[str, ...]] = [
        (say("Money by week"), say("of the week"), say("in all"), say("from"), say("to"))
    ]
    for one in points if whole else points[:MANY_WEEKS]:
        all_ = one.paid if one.even is None else one.even
        rows.append(
            (
                one.week_on,
                formatter.money(one.amount, view.currency),
                formatter.money(all_ or 0.0, view.currency),
                "" if one.low is None else formatter.money(one.low, view.currency),
                "" if one.high is None else formatter.money(one.high, view.currency),
            )
        )
    yield from table(rows)
    if not whole and len(points) > MANY_WEEKS:
        yield say("  {count} weeks more: --all.", count=len(points) - MANY_WEEKS)


def _stop(view: CostView) -> Iterator[str]:
    for one in (view, *view.machines):
        if one.stop is not None:
            yield ""
            yield say("Whether to go on: {machine}", machine=one.machine_name)
            yield f"  {one.stop.words}"


def _fine(view: CostView) -> Iterator[str]:
    yield ""
    if view.forecast_from == "frozen":
        yield say("Expected: the sheet of the number frozen on {day}.", day=view.forecast_on)
    for text in view.fine:
        yield text
    if view.assumed:
        yield say("Assumed:")
        for text in view.assumed:
            yield f"  {text}"
    yield say("Seed {seed}, {worlds} ways it could turn out. Not yet placed: {bucket}.",
              seed=view.seed, worlds=formatter.number(view.worlds),
              bucket=say("{count} lines", count=view.unplaced) if view.unplaced
              else say("none"))  # fmt: skip
