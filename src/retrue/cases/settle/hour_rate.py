"""What an hour of a machine costs: the whole answer, from its figures in every world."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from retrue.base import formatter
from retrue.base.say import say
from retrue.books.break_even import BreakEven, days_that_eat, within_a_year
from retrue.books.break_even import same_cost as crossing_of
from retrue.books.hour_rate import HourRate, price_an_hour
from retrue.cases.fix.amounts import about
from retrue.cases.settle.cost_ranges import range_of
from retrue.cases.settle.hour_rate_even import beside_buying_in
from retrue.cases.settle.hour_rate_figures import YEARLY
from retrue.cases.settle.hour_rate_inputs import Inputs, part_words, rate_of
from retrue.cases.settle.rate_lines import (
    ByHourValue,
    EvenRow,
    HourRateView,
    RateMove,
    RatePart,
)

MOVING = 0.005  # money an hour below which a figure moves nothing
NOT_MOVING = ("wage_an_hour", "work_cost_an_hour")


def hour_rate_view(
    inputs: Inputs,
    blank: HourRateView,
    *,
    other: Inputs | None = None,
    other_name: str = "",
    wage_known: bool = False,
) -> HourRateView:
    """What an hour costs, what moves it, where it costs as much as something else.

    Parameters
    ----------
    inputs : Inputs
    blank : HourRateView
        With names, currency, hour values, notes; its numbers are filled in here.
    other : Inputs, optional
        Another machine for the same work.
    other_name : str
    wage_known : bool
        The operator is paid; else his hour is an own hour.

    Returns
    -------
    HourRateView
    """
    value, full = blank.hour_values
    rate = rate_of(inputs, value)
    wage = float(inputs.values["wage_an_hour"].mean())
    by_value = ByHourValue(
        zero=rate_of(inputs, 0.0).mean, alternative=rate.mean, full=rate_of(inputs, full).mean
    )
    wages = (wage, wage, wage) if wage_known else (0.0, value, full)
    with_wage = ByHourValue(
        zero=by_value.zero + wages[0],
        alternative=by_value.alternative + wages[1],
        full=by_value.full + wages[2],
    )
    made = replace(
        blank,
        an_hour=range_of(rate.total),
        with_operator=range_of(rate.total + inputs.values["wage_an_hour"]),
        by_hour_value=by_value,
        with_operator_by_hour_value=with_wage,
        wage=wage,
        ratio_of_means=float(rate.a_year.mean() / rate.hours.mean()),
        parts=_parts(rate),
        hours=range_of(rate.hours),
        paid=range_of(inputs.values["paid"]),
        own_hours=range_of(inputs.values["own_hours"]),
        figures=inputs.rows,
        moves=_moves(inputs, value),
        even=_even(inputs, value, blank, other, other_name),
        asked=None if blank.margin is None else price_an_hour(rate.mean + wage, blank.margin),
    )
    return replace(made, answer=_answer(made))


def _answer(view: HourRateView) -> str:
    told = view.an_hour
    assert told is not None
    name, currency = view.machine_name, view.currency
    cost = formatter.money(told.mean, currency, 2)
    if told.p10 == told.p90:
        return say("An hour of {name} costs {cost}; {whole} with the operator's hour.",
                   name=name, cost=cost,
                   whole=formatter.money(told.mean + view.wage, currency, 2))  # fmt: skip
    return say(
        "An hour of {name} costs about {cost}, in eight ways of ten between {low} and {high}; "
        "{whole} with the operator's hour.",
        name=name,
        cost=formatter.money(told.mean, currency, _digits(told.mean)),
        low=formatter.money(told.p10, currency, _digits(told.mean)),
        high=formatter.money(told.p90, currency, _digits(told.mean)),
        whole=formatter.money(told.mean + view.wage, currency, _digits(told.mean)),
    )


def _digits(value: float) -> int:
    return 1 if abs(value) < 10.0 else 0


def _parts(rate: HourRate) -> tuple[RatePart, ...]:
    return tuple(
        RatePart(
            part=name,
            words=part_words(name),
            an_hour=range_of(np.broadcast_to(money, rate.total.shape)),
            a_year=float((money * rate.hours).mean()),
        )
        for name, money in rate.parts.items()
    )


def _moves(inputs: Inputs, value: float) -> tuple[RateMove, ...]:
    """The mean with each figure alone at its low and at its high end, the widest first."""
    ends = [
        (row.item, row.words, row.low, row.high)
        for row in inputs.rows
        if row.item not in NOT_MOVING and row.low < row.high
    ]
    put_in = {"paid": say("money put into it"), "own_hours": say("own hours put into it")}
    for item, words in put_in.items():
        told = range_of(inputs.values[item])
        ends += [(item, words, told.p10, told.p90)] if told.p10 < told.p90 else []
    moves = [
        RateMove(
            what=item,
            words=words,
            low=rate_of(inputs.having(**{item: _scaled(inputs, item, low)}), value).mean,
            high=rate_of(inputs.having(**{item: _scaled(inputs, item, high)}), value).mean,
        )
        for item, words, low, high in ends
    ]
    moves = [one for one in moves if abs(one.high - one.low) >= MOVING]
    return tuple(sorted(moves, key=lambda one: (-abs(one.high - one.low), one.what)))


def _scaled(inputs: Inputs, item: str, end: float) -> float:
    """An end of a row as the worlds hold it: by the hour where its row tells a year of hours."""
    if item not in YEARLY or item in inputs.fixed:
        return end
    return end / float(np.median(inputs.hours))


def fixed_and_hourly(inputs: Inputs, value: float) -> tuple[float, float]:
    """What a year costs whatever the hours, and what each hour adds; means.

    Parameters
    ----------
    inputs : Inputs
    value : float
        Of an own hour put into it.

    Returns
    -------
    fixed, hourly : float
        Money a year, money an hour worked.

    Examples
    --------
    >>> told = dict.fromkeys(("resale_at_end", "down_days_a_year", "floor_m2", "own_hours",
    ...                       "insurance_a_year", "tooling_a_year", "wage_an_hour",
    ...                       "work_cost_an_hour"), 0.0)
    >>> told |= dict(paid=7_000.0, life_years=7.0, floor_m2_year=0.0, maintenance_a_year=500.0,
    ...              energy_kw=6.0, energy_price_kwh=0.25, hours_a_year=900.0)
    >>> values = {name: np.array([value]) for name, value in told.items()}
    >>> fixed = frozenset(("maintenance_a_year", "insurance_a_year", "tooling_a_year"))
    >>> a_year, an_hour = fixed_and_hourly(Inputs(values, (), fixed, 0.0), 15.0)
    >>> round(a_year, 6), round(an_hour, 6)
    (1500.0, 1.5)
    """
    beside = beside_buying_in(inputs, value)
    return float(beside.fixed.mean()), float(beside.hourly.mean())


def _even(
    inputs: Inputs, value: float, blank: HourRateView, other: Inputs | None, other_name: str
) -> tuple[EvenRow, ...]:
    beside = beside_buying_in(inputs, value)
    rows = [_buying_in(beside.even(), blank, float(beside.bought.mean()))]
    if other is not None:
        ours, theirs = fixed_and_hourly(inputs, value), fixed_and_hourly(other, value)
        rows.append(_machines(within_a_year(crossing_of(*ours, *theirs)), blank, other_name))
        gap = float((rate_of(other, value).a_year - rate_of(inputs, value).a_year).mean())
        day = beside.lost_day
        rows.append(_days(days_that_eat(gap, day), day, blank, gap, other_name))
    return tuple(rows)


def _row(what: str, found: BreakEven, words: str) -> EvenRow:
    return EvenRow(
        what=what, says=found.says, at=found.at, from_there=found.from_there, words=words
    )


def _buying_in(found: BreakEven, blank: HourRateView, work: float) -> EvenRow:
    money = formatter.money(work, blank.currency)
    if found.says == "never":
        words = say("It never beats buying the work in at {money} an hour.", money=money)
    elif found.says == "always":
        words = say("It always beats buying the work in at {money} an hour.", money=money)
    elif found.from_there:
        words = say("It beats buying the work in at {money} an hour from {hours} h a year on.",
                    money=money, hours=formatter.number(found.at or 0.0))  # fmt: skip
    else:
        words = say("It beats buying the work in at {money} an hour up to {hours} h a year.",
                    money=money, hours=formatter.number(found.at or 0.0))  # fmt: skip
    return _row("buying_in", found, words)


def _machines(found: BreakEven, blank: HourRateView, other: str) -> EvenRow:
    names = {"name": blank.machine_name, "other": other}
    if found.says == "never":
        words = say("{name} is never cheaper than {other}.", **names)
    elif found.says == "always":
        words = say("{name} is always cheaper than {other}.", **names)
    else:
        hours = formatter.number(found.at or 0.0)
        words = (
            say("{name} is cheaper than {other} from {hours} h a year on.", hours=hours, **names)
            if found.from_there
            else say("{name} is cheaper than {other} up to {hours} h a year.", hours=hours, **names)
        )
    return _row("other_machine", found, words)


def _days(found: BreakEven, day: float, blank: HourRateView, gap: float, other: str) -> EvenRow:
    told = {"other": other, "money": formatter.money(day, blank.currency)}
    if found.says == "never":
        words = say("It is not ahead of {other}: there is nothing for lost days to eat.", **told)
    elif found.says == "always":
        words = say("A lost day costs nothing: it stays ahead of {other}.", **told)
    else:
        words = say(
            "{days} days a year, lost when there was work ({money} each), eat up the {gap} a year "
            "by which it is ahead of {other}.",
            days=formatter.number(found.at or 0.0, 0 if (found.at or 0.0) >= 10 else 1),
            gap=about(gap, blank.currency),
            **told,
        )
    return _row("lost_days", found, words)
