"""A rate before its numbers are filled in: names, what was put in, the fine print."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.settle.cost_ranges import range_of
from retrue.cases.settle.hour_rate_inputs import Inputs
from retrue.cases.settle.hour_rate_whole import Whole
from retrue.cases.settle.rate_lines import HourRateView

Ids = tuple[str, str, str, str]  # lot, its name, machine, its name


def blank_rate(
    ids: Ids, whole: Whole, inputs: Inputs, *, margin: float | None = None
) -> HourRateView:
    """A view with everything but the numbers of an hour.

    Parameters
    ----------
    ids : tuple of (lot, lot name, machine, machine name)
    whole : Whole
    inputs : Inputs
    margin : float or None
        Share of the price that is to be left.

    Returns
    -------
    HourRateView

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.cases.settle.hour_rate_figures import Figures
    >>> from retrue.cases.settle.hour_rate_inputs import inputs_of
    >>> from retrue.cases.settle.hour_rate_whole import Spent, whole_of
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre", age_years=24)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> sold = Spent(money=4000.0, brought=5000.0, sold_on="2026-11-01")
    >>> whole = whole_of(case, "mill", load(), spent=sold, worlds=100)
    >>> inputs = inputs_of(whole, Figures({}), (None, None))
    >>> blank_rate(("a", "a", "m", "mill"), whole, inputs).why
    'mill is sold: no hour of it is worked any more.'
    """
    spent, settled = whole.spent, whole.settled
    return HourRateView(
        lot=ids[0],
        lot_name=ids[1],
        machine=ids[2],
        machine_name=ids[3],
        currency=whole.currency,
        an_hour=None,
        with_operator=None,
        by_hour_value=None,
        with_operator_by_hour_value=None,
        wage=settled.rate,
        ratio_of_means=None,
        parts=(),
        hours=range_of(inputs.values["hours_a_year"]),
        paid=range_of(whole.money),
        own_hours=range_of(whole.hours),
        paid_so_far=spent.money,
        own_hours_so_far=spent.hours,
        hour_values=(settled.rate, settled.rate_full),
        interest=inputs.interest,
        figures=inputs.rows,
        margin=margin,
        run_years=spent.run_years,
        run_a_year=spent.run_a_year,
        assumed=(*inputs.far(whole.currency), *whole.assumed),
        fine=tuple(_fine(whole, inputs)),
        why=_why(whole, inputs),
        answer=_why(whole, inputs),
        seed=whole.drawer.seed,
        worlds=whole.drawer.worlds,
    )


def _why(whole: Whole, inputs: Inputs) -> str:
    """Why an hour has no cost; empty where it has."""
    if whole.spent.sold_on:
        return say("{name} is sold: no hour of it is worked any more.", name=whole.name)
    if whole.spent.gone:
        return say("{name} is gone: no hour of it is worked any more.", name=whole.name)
    if not (inputs.values["hours_a_year"] > 0.0).any():
        return say(
            "There is no work for {name}, so an hour of it has no cost: say under what it must "
            "do which work it is for, or give hours a year.",
            name=whole.name,
        )
    return ""


def _fine(whole: Whole, inputs: Inputs) -> Iterator[str]:
    yield say(
        "Estimate for planning. What was paid and your own hours come back over the years it is "
        "kept with {share} % a year, less what it brings in the end; all of a year over the hours "
        "in which it is there and has work. The average is that of cost over hours in each way it "
        "may turn out, not of average cost over average hours: few hours cost more than many save.",
        share=formatter.number(100 * inputs.interest, 1),
    )
    if not whole.plan.keeps:
        yield say("It is worked for to be sold: the rate is as if it stayed.")
    if inputs.run_a_year is not None:
        yield say("Running is what the book says was spent in a year, in place of its parts.")
    elif whole.spent.run_years:
        yield say("What was spent on running stands beside it until the book has a year of it.")
    yield say("A day on which it stands takes its part of {days} working days. What goes by the "
              "hour goes by the hours it works.", days=220)  # fmt: skip
