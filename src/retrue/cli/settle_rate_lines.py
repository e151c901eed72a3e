"""What an hour costs, as lines of a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.settle.hour_rate_figures import far_words, figures_of
from retrue.cases.settle.rate_lines import FigureRow, HourRateView
from retrue.cli.lines import table
from retrue.records.settling import RunFigure

MOST_MOVES = 5
MARKS = {"own": "your own", "assumed": "assumed", "reckoned": "reckoned", "file": "as given"}
TENTHS_BELOW = 10.0
HUNDREDTHS_BELOW = 1.0


def rate_lines(view: HourRateView) -> Iterator[str]:
    """The answer, the three values of an own hour, parts, what moves it, figures, fine print.

    Parameters
    ----------
    view : HourRateView

    Yields
    ------
    str
        One line each.
    """
    yield view.answer
    if view.an_hour is None:
        return
    if view.asked is not None and view.margin is not None:
        share = formatter.number(100 * view.margin)
        price = _money(view.asked, view)
        yield say("Ask {price} for an hour: {share} % of it is left.", price=price, share=share)
    for row in view.even:
        yield row.words
    yield from _values(view)
    yield from _parts(view)
    yield from _moves(view)
    yield from _figures(view)
    yield from _running(view)
    yield ""
    yield from (*view.assumed, *view.fine)
    yield say("Seed {seed}, {worlds} ways it could turn out.", seed=view.seed,
              worlds=formatter.number(view.worlds))  # fmt: skip


def figure_text(value: float, unit: str, currency: str) -> str:
    """A figure in its own unit, no finer than it is known.

    Examples
    --------
    >>> figure_text(0.25, "", "EUR"), figure_text(6.0, "kW", "EUR")
    ('€\\u202f0.25', '6\\u202fkW')
    """
    digits = 0
    if abs(value) < HUNDREDTHS_BELOW and value:
        digits = 2
    elif abs(value) < TENTHS_BELOW and value != round(value):
        digits = 1
    if unit:
        return f"{formatter.number(value, digits)}{formatter.THIN}{unit}"
    return formatter.money(value, currency, digits)


def _money(value: float, view: HourRateView) -> str:
    return formatter.money(value, view.currency, 2)


def _values(view: HourRateView) -> Iterator[str]:
    alone, whole = view.by_hour_value, view.with_operator_by_hour_value
    if alone is None or whole is None:
        return
    alternative, full = (formatter.money(one, view.currency) for one in view.hour_values)
    yield ""
    yield from table([
        ("", say("own hours at nothing"), say("at {rate}", rate=alternative),
         say("at {rate}", rate=full)),
        (say("an hour of it"), *(_money(one, view) for one in
                                 (alone.zero, alone.alternative, alone.full))),
        (say("with the operator"), *(_money(one, view) for one in
                                     (whole.zero, whole.alternative, whole.full))),
    ])  # fmt: skip


def _parts(view: HourRateView) -> Iterator[str]:
    yield ""
    rows = [(say("What an hour is made of"), say("an hour"), say("a year"))]
    rows += [
        (part.words, _money(part.an_hour.mean, view), formatter.money(part.a_year, view.currency))
        for part in view.parts
    ]
    yield from table(rows)


def _moves(view: HourRateView) -> Iterator[str]:
    if not view.moves:
        return
    yield ""
    rows = [(say("What moves it most"), say("at its low"), say("at its high"))]
    rows += [(one.words, _money(one.low, view), _money(one.high, view))
             for one in view.moves[:MOST_MOVES]]  # fmt: skip
    yield from table(rows)


def _figures(view: HourRateView) -> Iterator[str]:
    yield ""
    yield from table([
        (say("Figures"), say("low"), say("likely"), say("high"), ""),
        *(_figure(one, view.currency) for one in view.figures),
    ])  # fmt: skip


def _figure(row: FigureRow, currency: str) -> tuple[str, str, str, str, str]:
    low, likely, high = (figure_text(one, row.unit, currency)
                         for one in (row.low, row.likely, row.high))  # fmt: skip
    return f"{row.item}: {row.words}", low, likely, high, say(MARKS[row.mark])


def _running(view: HourRateView) -> Iterator[str]:
    for one in view.run_years:
        yield say("Spent on running it in {year}: {money}, {count} lines in the book.",
                  year=one.year, money=_money(one.amount, view), count=one.lines)  # fmt: skip


def figure_lines(fact: RunFigure, machine: str, currency: str) -> Iterator[str]:
    """What was kept, in a sentence; and what is to be looked at again.

    Parameters
    ----------
    fact : RunFigure
    machine : str
        By name.
    currency : str
        Of the shop.

    Yields
    ------
    str
        One line each.
    """
    row = figures_of([("", fact)]).own[fact.item]
    told = {"machine": machine, "words": row.words}
    low, likely = (_typed(one, "", "" if row.unit else currency)
                   for one in (fact.low, fact.likely))  # fmt: skip
    high = _typed(fact.high, row.unit, currency)
    if fact.low == fact.high:
        yield say("Kept: {machine}, {words}: {value}.", value=high, **told)
    else:
        yield say("Kept: {machine}, {words}: {low}, {likely}, {high}.", low=low, likely=likely,
                  high=high, **told)  # fmt: skip
    if words := far_words(row, currency):
        yield words


def _typed(value: Decimal, unit: str, currency: str) -> str:
    """A figure as finely as it was typed, with its unit or as money."""
    places = value.normalize().as_tuple().exponent
    digits = max(0, -places) if isinstance(places, int) else 0
    if currency and not unit:
        return formatter.money(float(value), currency, digits)
    return f"{formatter.number(float(value), digits)}{formatter.THIN}{unit}".rstrip()
